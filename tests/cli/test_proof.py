"""`fixbook proof`: every fault of every file at once, its shape and its status."""

from __future__ import annotations

import json

import pytest


@pytest.fixture
def proof(fixbook):
    """Proof, and give the status and the parsed answer: `proof("entries/test-amp")`."""

    def run(*paths: str) -> tuple[int, dict]:
        ran = fixbook("proof", *paths, "--json")
        return ran.status, json.loads(ran.out)

    return run


def files(found: dict) -> set[str]:
    """Give the names of the files that have problems."""
    return {row["file"].rsplit("/", 1)[-1] for row in found["problems"]}


def rules(found: dict) -> set[str]:
    """Give the rules that were broken."""
    return {row["rule"] for row in found["problems"]}


def test_a_book_without_faults_is_status_0(write, proof):
    """Nothing wrong: an empty list, and the count of files looked at, vocabulary included."""
    write("amp-one")
    assert proof() == (0, {"files": 3, "problems": []})


def test_the_shape_of_a_problem(book, proof):
    """A row has file, line, column, rule, what was found and what to do."""
    text = "---\nid: amp-one\nkind: fult\ntitle: Hums\nunit: test-amp\n---\n"
    book.add("amp-one", text=text)
    status, found = proof()
    row = found["problems"][0]
    assert (status, list(found), list(row)) == (
        1, ["files", "problems"], ["file", "line", "column", "rule", "problem", "do"],
    )  # fmt: skip
    assert (row["line"], row["column"]) == (3, 7)
    assert "fault" in row["do"]


def test_in_words_each_fault_is_one_line(book, fixbook):
    """`file:line:column: what was found; what to do`, and a count at the end."""
    book.add("amp-one", text="---\nid: amp-one\nkind: fult\ntitle: Hums\nunit: test-amp\n---\n")
    ran = fixbook("proof")
    lines = ran.out.strip().split("\n")
    assert (ran.status, lines[-1]) == (1, "2 files read, 1 fault")
    assert "/test-amp/amp-one.md:3:7: " in lines[0]


BAD = {
    "no front matter": b"just words\n",
    "not closed": b"---\nid: amp-bad\n",
    "not YAML": b"---\nid: [\n---\n",
    "not UTF-8": b"---\nid: amp-bad\ntitle: \xff\n---\n",
    "too large": b"---\nid: amp-bad\n---\n" + b"x" * 1_100_000,
    "repeated key": b"---\nid: amp-bad\nid: amp-bad\n---\n",
    "an alias": b"---\nid: &a amp-bad\ntitle: *a\n---\n",
    "empty": b"",
    "null bytes": b"\x00\x00\x00",
    "deep": b"---\nid: " + b"[" * 5000 + b"\n---\n",
}


@pytest.mark.parametrize("data", BAD.values(), ids=BAD)
def test_one_bad_file_never_hides_another(data, book, proof):
    """A file that cannot be read is reported, and the next file's own fault as well."""
    bad = book.add("amp-bad")
    bad.write_bytes(data)
    book.add("amp-worse", text="---\nid: amp-worse\nkind: fult\ntitle: a\nunit: test-amp\n---\n")
    status, found = proof()
    assert (status, files(found)) == (1, {"amp-bad.md", "amp-worse.md"})


@pytest.mark.parametrize("data", BAD.values(), ids=BAD)
def test_a_bad_file_leaves_the_others_findable(data, book, fixbook):
    """The healthy write-ups are found, and the answer says that one has faults."""
    book.add("amp-bad").write_bytes(data)
    book.add("amp-good", title="Hums")
    ran = fixbook("find", "drone")
    assert ("amp-good" in ran.out, "1 write-up has faults" in ran.out) == (True, True)


def test_two_files_with_one_id_are_reported(book, proof):
    """The second file of an id is named, with the first, and the first one holds."""
    book.add("amp-one")
    text = book.add("amp-two").read_text(encoding="utf-8").replace("id: amp-two", "id: amp-one")
    book.add("amp-two", text=text)
    _, found = proof()
    row = next(row for row in found["problems"] if row["rule"] == "repeated-id")
    assert row["file"].endswith("amp-two.md")
    assert "amp-one.md" in row["problem"]


def test_a_file_in_the_wrong_folder_is_reported(book, proof):
    """A write-up's folder is its unit."""
    path = book.add("amp-one")
    (book.folder / "entries" / "test-supply").mkdir()
    path.rename(book.folder / "entries" / "test-supply" / "amp-one.md")
    assert "file-name" in rules(proof()[1])


def test_a_fault_in_the_vocabulary_is_reported(book, proof):
    """Vocabulary files are proofed too."""
    (book.folder / "entries" / "vocabulary" / "bad.yaml").write_text("unitz: {}\n", "utf-8")
    status, found = proof()
    assert (status, files(found)) == (1, {"bad.yaml"})


def test_wrong_settings_are_reported(book, proof):
    """fixbook.toml is proofed with the book."""
    (book.folder / "fixbook.toml").write_text("starter = false\nwaranty_days = 3\n", "utf-8")
    _, found = proof()
    (row,) = found["problems"]
    assert (row["file"].rsplit("/", 1)[-1], row["line"]) == ("fixbook.toml", 2)
    assert "warranty_days" in row["do"]


LINKS = {
    "an entry that is not there": ("[a](fault:amp-nine)", "link"),
    "no such scheme": ("[a](drawer:fuses)", "link"),
    "a picture that is not there": ("![a](../pictures/none.svg)", "picture"),
    "a picture outside": ("![a](../../../../etc/passwd)", "picture"),
    "a picture of the web": ("![a](https://example.invalid/a.png)", "picture"),
    "a calculator that is not there": ("[a](calc:no-such-sum?x=1)", "calculator-link"),
    "commas in a list": ("[a](calc:network?values=10k,4k7&topology=series)", "calculator-link"),
    "a choice begun": ("[a](calc:preferred-value?target=4831&series=E9)", "calculator-link"),
}


@pytest.mark.parametrize(("link", "rule"), LINKS.values(), ids=LINKS)
def test_a_link_to_nothing_is_reported_at_its_line(link, rule, book, proof):
    """What leads nowhere is named at its line in the file."""
    path = book.add("amp-one", body=f"\n## Look\n\nSee {link} first.\n")
    (row,) = [row for row in proof()[1]["problems"] if row["rule"] == rule]
    line = path.read_text(encoding="utf-8").split("\n")[row["line"] - 1]
    assert link in line


def test_only_the_named_file_is_proofed(book, proof):
    """A path to one file leaves the others alone."""
    for name in ("amp-one", "amp-two"):
        book.add(name, text=f"---\nid: {name}\nkind: fult\ntitle: a\nunit: test-amp\n---\n")
    status, found = proof(str(book.folder / "entries" / "test-amp" / "amp-one.md"))
    assert (status, files(found)) == (1, {"amp-one.md"})


@pytest.mark.parametrize("named", ["drafts", "drafts/amp-new.md"])
def test_a_draft_is_proofed_as_one(named, book, fixbook, proof):
    """No folder is its own yet, so it is not told to move; what is missing is told."""
    fixbook("write", "amp-new", "--unit", "amp", "--title", "Hums")
    status, found = proof(str(book.folder / named))
    assert (status, found["files"], "file-name" in rules(found)) == (1, 1, False)
    assert "hazards-gap" in rules(found)


def test_the_words_of_the_book_are_listed(book, fixbook):
    """The kinds with their counts; one kind with what each word means, a word a line."""
    kinds, signs = fixbook("proof", "--words").out, fixbook("proof", "--words", "signs").out
    assert ("\nsigns " in kinds, "readings" in kinds) == (True, True)
    assert signs.splitlines()[0].split("  ") == ["low-drone", "Does it drone?"]
    assert "did you mean signs?" in fixbook("proof", "--words", "signz").err


def test_only_the_named_folder_is_proofed(book, proof):
    """A path to a folder takes in what is in it, and nothing beside it."""
    book.add("amp-one", text="---\nid: amp-one\nkind: fult\ntitle: a\nunit: test-amp\n---\n")
    (book.folder / "entries" / "test-supply").mkdir()
    assert proof(str(book.folder / "entries" / "test-supply")) == (0, {"files": 0, "problems": []})


def test_several_paths_are_proofed_once_each(book, proof):
    """A fault of a file that was named twice is one fault."""
    path = book.add("amp-one", text="---\nid: amp-one\nkind: fult\ntitle: a\nunit: test-amp\n---\n")
    _, found = proof(str(path), str(path.parent))
    assert len(found["problems"]) == 1


def test_a_folder_of_another_book_is_proofed_as_a_book(book, proof, tmp_path):
    """A folder that is not in the open book is read with its own words."""
    book.add("amp-one", text="---\nid: amp-one\nkind: fult\ntitle: a\nunit: test-amp\n---\n")
    other = tmp_path / "other"
    (other / "entries").mkdir(parents=True)
    assert proof(str(other))[0] == 0


def test_a_path_that_is_not_there_is_status_2(book, fixbook):
    """A wrong path is a wrong command, not a book without faults."""
    ran = fixbook("proof", "entries/nowhere")
    assert (ran.status, "there is no file or folder entries/nowhere" in ran.err) == (2, True)


def test_paths_are_named_as_the_user_would_type_them(book, proof, monkeypatch):
    """From inside the book, files are named from there."""
    book.add("amp-one", text="---\nid: amp-one\nkind: fult\ntitle: a\nunit: test-amp\n---\n")
    monkeypatch.chdir(book.folder)
    assert proof()[1]["problems"][0]["file"] == "entries/test-amp/amp-one.md"


def test_a_link_out_of_the_book_is_reported_and_not_read(write, proof, tmp_path):
    """Nothing outside the book is ever read."""
    outside = tmp_path / "outside.md"
    outside.write_text("secret", encoding="utf-8")
    write("amp-one").with_name("amp-linked.md").symlink_to(outside)
    assert rules(proof()[1]) == {"outside"}


def test_a_folder_named_like_a_write_up_is_reported(write, proof):
    """`x.md/` is a folder, and said to be one."""
    (write("amp-one").parent / "amp-two.md").mkdir()
    assert rules(proof()[1]) == {"folder"}


def test_a_hostile_file_name_is_printed_clean(write, fixbook):
    """Escape sequences and bytes that are no text, in a name, are shown as marks."""
    import os

    folder = os.fsencode(write("amp-one", signs={"low-drone": "always"}).parent)
    for name in (b"\x1b]0;mine\x07.md", b"bad\xff.md", "\u202edm.md".encode()):
        with open(os.path.join(folder, name), "wb") as file:
            file.write(b"words")
    ran = fixbook("proof")
    assert (ran.status, ran.err) == (1, "")
    assert not {"\x1b", "\x07", "\u202e", "\udcff"} & set(ran.out)
    assert "3 faults" in ran.out
    assert fixbook("find", "drone").status == 0


def test_nothing_to_proof_is_no_fault(book, proof):
    """An empty book has no faults."""
    assert proof()[0] == 0


def test_a_file_is_named_from_the_folder_the_user_is_in(book, fixbook, monkeypatch):
    """From inside the book its files have short names; from elsewhere they have their whole path."""
    path = book.add("amp-bad", text="---\nid: amp-bad\nkind: what\n---\n")
    outside = fixbook("proof", str(path)).out
    monkeypatch.chdir(book.folder)
    inside = fixbook("proof", str(path)).out
    assert outside.startswith(f"{path}:")
    assert inside.startswith(f"{path.relative_to(book.folder)}:")


@pytest.mark.parametrize("named", ["book", "book/entries", "book/entries/test-amp"])
def test_the_file_that_is_named_is_there(named, book, fixbook, monkeypatch):
    """Whatever folder is proofed, an editor opens the file that a fault is in."""
    path = book.add("amp-bad", text="---\nid: amp-bad\nkind: what\n---\n")
    monkeypatch.chdir(book.folder.parent)
    said = fixbook("proof", named).out, fixbook("proof", named, "--editor").out
    assert said[0].startswith("book/entries/test-amp/amp-bad.md:")
    assert said[1].startswith(f"{path}:")


def test_a_file_of_the_open_book_is_proofed_with_its_plugins(write, book, fixbook):
    """Named by its path or not, a write-up of the open book meets the rules of the book's plugins."""
    (book.folder / "plugins").mkdir(exist_ok=True)
    (book.folder / "plugins" / "strict.py").write_text(
        "from fixbook.api import Finding, ProofRule, hook\n"
        "@hook\n"
        "def fixbook_proof_rules():\n"
        "    return [ProofRule('strict', lambda bench, entry: [Finding('it is strict', 'relax')])]\n",
        encoding="utf-8",
    )
    write("amp-hum")
    assert fixbook("book", "trust", "--yes").status == 0
    path = next((book.folder / "entries").rglob("amp-hum.md"))
    assert "it is strict" in fixbook("proof", str(path)).out
