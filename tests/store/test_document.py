"""One file taken apart: front matter with its places, the body untouched."""

from __future__ import annotations

import pytest
import yaml
from hypothesis import example, given, settings
from hypothesis import strategies as st

from fixbook.core.problems import Problem
from fixbook.core.raw import Fields, Items, Raw, Text
from fixbook.store.decoding import decode
from fixbook.store.document import compose, join, read_document, split

QUICK = settings(max_examples=100, deadline=None)


def plain(raw: Raw | None) -> object:
    """Give what was read without the places."""
    if isinstance(raw, Fields):
        return {name: plain(value) for name, value in raw.fields.items()}
    if isinstance(raw, Items):
        return [plain(item) for item in raw.items]
    return raw.text if raw is not None else None


def places(problems: list[Problem] | tuple[Problem, ...]) -> list[tuple[int, int, str]]:
    """Give line, column and rule of each problem."""
    return [(one.line, one.column, one.rule) for one in problems]


@pytest.fixture(params=["c", "pure"])
def loader(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """Read with the C loader, and as on a machine that lacks it."""
    if request.param == "pure":
        monkeypatch.delattr(yaml, "CBaseLoader", raising=False)
    elif not hasattr(yaml, "CBaseLoader"):
        pytest.skip("this PyYAML was built without the C loader")
    return str(request.param)


@pytest.mark.parametrize(
    "typed",
    ["no", "on", "1:30", "10:20:30", "017", "1.10", "4_700", "1e3", "0x1f", "2026-11-25", "~",
     "null", "true", ".5", "+5", "1.0e3", "NaN", ".inf", "4k7", "µ", "<<", "="],
)  # fmt: skip
def test_a_plain_value_stays_what_was_typed(loader: str, typed: str) -> None:
    """No part number, ratio, revision or error code turns into something else."""
    front, problems = compose(f"x: {typed}\n", "a.md")
    assert (plain(front), problems) == ({"x": typed}, [])


def test_every_value_has_its_place(loader: str) -> None:
    """Line and column count from one, in the file, not in the front matter."""
    front, _ = compose("id: a-b\nlist: [c, {d: e}]\n", "a.md", first_line=2)
    assert front is not None
    items = front.fields["list"]
    assert isinstance(items, Items) and isinstance(items.items[1], Fields)
    found: list[Raw] = [front.keys["list"], items, items.items[0], items.items[1].fields["d"]]
    assert [(one.line, one.column) for one in found] == [(3, 1), (3, 7), (3, 8), (3, 15)]


@pytest.mark.parametrize(
    ("typed", "empty"),
    [("", True), ("# later", True), ("''", False), ('""', False), ("|\n\n", False)],
    ids=["nothing", "comment", "quotes", "double quotes", "block"],
)
def test_nothing_differs_from_empty_quotes(loader: str, typed: str, empty: bool) -> None:
    """A field that was left open is known from one that was set to an empty text."""
    front, _ = compose(f"x: {typed}\n", "a.md")
    assert front is not None
    value = front.fields["x"]
    assert isinstance(value, Text) and (value.text, value.plain) == ("", empty)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("a: 1\nb: 2\na: 3\n", [(3, 1, "repeated-key")]),
        ("a: {b: 1, b: 2}\n", [(1, 11, "repeated-key")]),
        ("a: &x 1\n", [(1, 4, "yaml-reference")]),
        ("a: !!int 1\n", [(1, 4, "yaml-reference")]),
        ("a: !local 1\n", [(1, 4, "yaml-reference")]),
        ("a: !!python/object/apply:os.system [x]\n", [(1, 4, "yaml-reference")]),
        ("a: &x 1\nb: *x\n", [(1, 4, "yaml-reference"), (2, 4, "yaml-reference")]),
        ("a: [1]\n<<: *a\n", [(2, 5, "yaml-reference")]),
        ("? [a, b]\n: 1\n", [(1, 3, "yaml")]),
        ("- a\n- b\n", [(1, 1, "yaml")]),
        ("just a text\n", [(1, 1, "yaml")]),
        ("a: 1\n--- {b: 2}\n", [(2, 1, "yaml")]),
        ("a: b: c\n", [(1, 5, "yaml")]),
        ("a: [1, 2\n", [(1, 4, "yaml")]),
        ('a: "open\n', [(1, 4, "yaml")]),
        ("\ta: 1\n", [(1, 1, "yaml")]),
        ("a: @home\n", [(1, 4, "yaml")]),
        ("# x\n%YAML 9.9\n--- {a: 1}\n", [(2, 1, "yaml")]),
    ],
    ids=[
        "repeated", "repeated in flow", "anchor", "tag", "own tag", "code tag", "alias", "merge",
        "list as key", "list", "text", "two documents", "two colons", "open bracket",
        "open quote", "tab", "reserved sign", "version",
    ],
)  # fmt: skip
def test_what_is_refused_has_its_place(
    loader: str, text: str, found: list[tuple[int, int, str]]
) -> None:
    """Every refusal points at the line and column, whichever loader reads."""
    _, problems = compose(text, "a.md")
    assert places(problems) == found


SLIPS = {
    "tab": ("a: 1\nsigns:\n\tb: 2\n", (3, "a tab, where only blanks may stand")),
    "bracket": ("a: [b, c\nd: e\nf: g\n", (1, "the '[' is not closed")),
    "brace": ("a: {b: c\nd: e\nf: g\n", (1, "the '{' is not closed")),
    "quote": ('a: "b\nc: d\ne: f\n', (1, 'the quote " is not closed')),
    "quote and a later one": ('a: "b\nc: d\ne: "f"\n', (1, 'the quote " is not closed')),
    "apostrophe": ("a: 'it's dead'\n", (1, "the text goes on behind its closing quote")),
    "colon": ("a: b\nc: VG-220: thin\n", (2, "a second ': ' in one line, which begins no field")),
    "no blank": ("a: b\nc:d\ne: f\n", (2, "no blank behind the colon")),
    "no colon": ("a: b\nc d\ne: f\n", (2, "a line without a field's name")),
    "too far in": (
        "a: b\n  c: d\n",
        (2, "this line is further in than the one above it, which has its value already"),
    ),
    "out of line": (
        "a:\n  - b: c\n    d: e\n - f: g\n",
        (4, "this line is not in line with those above it"),
    ),
    "a list behind its name": ("a: - b\n", (1, "a list that begins behind the name of its field")),
    "a sign": ("a: @home\n", (1, "a text that begins with @")),
}


@pytest.mark.parametrize(("text", "said"), SLIPS.values(), ids=SLIPS)
def test_a_common_slip_is_told_in_plain_words_at_its_line(
    loader: str, text: str, said: tuple[int, str]
) -> None:
    """Not in those of the parser's grammar, nor a line late."""
    _, problems = compose(text, "a.md")
    assert [(one.line, one.problem) for one in problems] == [said]


def test_a_repeated_key_names_both_lines(loader: str) -> None:
    """The message says which line holds the first, and the first value stays."""
    front, problems = compose("id: a\nkind: b\nid: c\n", "a.md", first_line=2)
    assert plain(front) == {"id": "a", "kind": "b"}
    assert str(problems[0]) == (
        "a.md:4:1: 'id' stands twice; keep one of them; the first is on line 2"
    )


@pytest.mark.parametrize("text", ["", "\n\n", "# a comment\n", "---\n"])
def test_empty_front_matter_is_an_empty_mapping(loader: str, text: str) -> None:
    """A file that says nothing is no error here; its required fields are the schema's matter."""
    front, problems = compose(text, "a.md")
    assert (plain(front), problems) == ({}, [])


@pytest.mark.parametrize(
    ("sign", "name"),
    [("\0", "U+0000"), ("\x1b", "U+001B"), ("\x07", "U+0007"), ("\x9b", "U+009B"),
     ("\x7f", "U+007F"), ("\ufffe", "U+FFFE")],
    ids=["NUL", "escape", "bell", "CSI", "delete", "no character"],
)  # fmt: skip
def test_a_control_character_is_named_at_its_place(loader: str, sign: str, name: str) -> None:
    """What cannot be seen is named, and found where it stands."""
    _, problems = compose(f"id: a\ntitle: 'µ x{sign}y'\n", "a.md", first_line=2)
    assert [str(one) for one in problems] == [
        f"a.md:3:12: not readable as YAML: an invisible character, {name}; take it out"
    ]


@pytest.mark.parametrize("sign", ["\x85", "\u2028", "\u2029", "\r"], ids=["NEL", "LS", "PS", "CR"])
def test_odd_line_breaks_do_not_move_the_places(loader: str, sign: str) -> None:
    """An editor counts lines at newlines alone, and so do the messages."""
    _, problems = compose(f"a: 'x{sign}y'\nb: 1\nb: 2\nc: &d 1\n", "a.md")
    assert places(problems) == [(3, 1, "repeated-key"), (4, 4, "yaml-reference")]


def test_a_column_counts_characters_not_bytes(loader: str) -> None:
    """Letters of more than one byte before the fault do not push it to the right."""
    _, problems = compose("a: [Ω, µ, 🔌, &x 1]\n", "a.md")
    assert places(problems) == [(1, 14, "yaml-reference")]


@pytest.mark.parametrize(
    "text",
    [r'a: "\ud800"', r'a: "\U00110000"', r'a: "\UFFFFFFFF"', r'a: "\xZZ"'],
    ids=["half a character", "too high", "far too high", "no number"],
)
def test_an_escape_that_names_no_character_is_refused(loader: str, text: str) -> None:
    """What could not be written back is not read."""
    front, problems = compose(text, "a.md")
    assert (front, {one.rule for one in problems}) == (None, {"yaml"})


def test_an_alias_bomb_is_refused_at_its_first_alias(loader: str) -> None:
    """Aliases that would unfold to a thousand million texts are never followed."""
    rows = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    rows += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 10)}]" for n in range(1, 10)]
    front, problems = compose("\n".join(rows), "a.md")
    assert front is None
    assert problems[-1].problem == "an alias, '*a0'"


@pytest.mark.parametrize(
    "text",
    [
        "a: " + "[" * 12 + "]" * 12,
        "a: " + "[" * 5000,
        "a: " + "{x: " * 20 + "}" * 20,
        "a:\n" + "".join("  " * depth + "- \n" for depth in range(1, 60)),
    ],
    ids=["one too many", "five thousand", "mappings", "blocks"],
)
def test_deep_nesting_is_refused(loader: str, text: str) -> None:
    """Nesting that no write-up needs is refused before it costs stack or time."""
    front, problems = compose(text, "a.md")
    assert (front, len(problems), problems[0].rule) == (None, 1, "yaml")


def test_twelve_levels_may_nest() -> None:
    """Lists in a mapping may stand eleven deep, which is more than any write-up needs."""
    front, problems = compose("a: " + "[" * 11 + "]" * 11, "a.md")
    assert (front is not None, problems) == (True, [])


@pytest.mark.parametrize("end", ["\n", "\r\n", " \n", "\t\r\n"], ids=["LF", "CRLF", "blank", "tab"])
def test_front_matter_stands_between_fences(end: str) -> None:
    """Both kinds of line end, and blanks after a fence, are taken."""
    text = f"---{end}id: a-b{end}---{end}body{end}"
    document = read_document(text, "a.md")
    assert (plain(document.front), document.problems) == ({"id": "a-b"}, ())
    assert (document.body, document.body_line) == (f"body{end}", 4)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "there is no front matter"),
        ("# Hum\n", "there is no front matter"),
        ("----\nid: a\n----\n", "there is no front matter"),
        ("---\nid: a\n", "front matter is not closed"),
        ("---\rid: a\r---\r", "there is no front matter"),
        ("\n---\nid: a\n---\n", "line 1 is no line of '---'"),
        (" ---\nid: a\n---\n", "line 1 is no line of '---'"),
    ],
    ids=["empty", "body alone", "four", "open", "old line ends", "blank line", "indented"],
)
def test_a_file_without_front_matter_says_what_is_missing(text: str, why: str) -> None:
    """The text stays whole as the body, and one message says what the fences lack."""
    document = read_document(text, "a.md")
    assert (document.front, document.body, document.body_line) == (None, text, 1)
    assert [(one.line, one.rule, one.problem) for one in document.problems] == [
        (1, "front-matter", why)
    ]


def test_a_line_of_the_body_may_look_like_a_fence() -> None:
    """The first closing fence ends the front matter; later ones are rules in the body."""
    assert split("---\na: b\n---\nx\n---\ny\n") == ("a: b\n", "x\n---\ny\n", 4)


def test_faults_in_front_matter_keep_the_body() -> None:
    """A mistake in the fields never costs the text below them."""
    document = read_document("---\nid: [a\n---\nbody\n", "a.md")
    assert (document.front, document.body, len(document.problems)) == (None, "body\n", 1)


def _is_fence(line: str) -> bool:
    return line.rstrip() == "---"


_any = st.text(alphabet=st.characters(exclude_categories=["Cs"]), max_size=60) | st.lists(
    st.sampled_from(["---", "\n", "\r\n", "id: a", " ", "\x0c", "\u2028", "é", "# x", "\0"])
).map("".join)
_front = _any.filter(lambda text: not any(_is_fence(line) for line in text.split("\n")))


@QUICK
@given(front=_front, body=_any)
@example(front="", body="")
@example(front="a: b", body="---\n---\n")
def test_parts_that_are_joined_are_split_again(front: str, body: str) -> None:
    """Writing and reading gives the same front matter and, to the character, the same body."""
    whole = front if front.endswith("\n") or not front else f"{front}\n"
    lines = whole.count("\n")
    assert split(join(front, body)) == (whole, body, lines + 3)


@QUICK
@given(text=_any)
def test_a_document_that_is_split_is_joined_again(text: str) -> None:
    """Reading and writing a file changes its fences at most, never what is between and after."""
    document = f"---\n{text}\n---\n{text}"
    parts = split(document)
    assert parts is not None
    front, body, _ = parts
    assert split(join(front, body)) == parts


@QUICK
@given(text=_any)
def test_any_text_is_a_document_or_has_its_problem(text: str) -> None:
    """No text is an exception: it has front matter, or a problem with a place in the file."""
    for whole in (text, f"---\n{text}\n---\n"):
        document = read_document(whole, "a.md")
        lines = whole.count("\n") + 1
        assert document.front is not None or document.problems
        assert all(1 <= one.line <= lines and one.column >= 1 for one in document.problems)


_words = st.text(st.characters(codec="utf-8", exclude_characters="\r\x85\u2028\u2029"), max_size=20)


@QUICK
@given(value=_words.filter(lambda text: text.isprintable()))
def test_a_quoted_text_is_read_as_it_was(value: str) -> None:
    """Whatever is put into single quotes by the rules of YAML comes out the same."""
    quoted = value.replace("'", "''")
    front, problems = compose(f"x: '{quoted}'\n", "a.md")
    assert (plain(front), problems) == ({"x": value}, [])


@pytest.mark.parametrize(
    ("data", "text"),
    [
        ("id: µ\n".encode(), "id: µ\n"),
        (b"\xef\xbb\xbf---\n", "---\n"),
        (b"a\r\nb\r\n", "a\r\nb\r\n"),
        (b"", ""),
        (b"\0", "\0"),
    ],
    ids=["utf-8", "BOM", "CRLF", "empty", "NUL"],
)
def test_bytes_are_read_as_utf_8(data: bytes, text: str) -> None:
    """A byte-order mark is dropped, and nothing else is changed."""
    assert decode(data, "a.md") == (text, [])


@pytest.mark.parametrize(
    ("data", "place", "byte"),
    [
        (b"\xff", (1, 1), "0xff"),
        (b"a\nbc\xe9\n", (2, 3), "0xe9"),
        ("µΩ".encode() + b"\xff", (1, 3), "0xff"),
        (b"\xef\xbb\xbfab\xff", (1, 3), "0xff"),
        (b"a\xed\xa0\x80", (1, 2), "0xed"),
        (b"\xff\xfea\0", (1, 1), "0xff"),
        (b"abc\xe2\x82", (1, 4), "0xe2"),
    ],
    ids=["first", "second line", "after letters", "after BOM", "half", "utf-16", "cut off"],
)
def test_a_wrong_byte_is_found_at_its_place(data: bytes, place: tuple[int, int], byte: str) -> None:
    """Line and column are those an editor shows, counted in characters."""
    text, problems = decode(data, "a.md")
    assert (text, places(problems)) == ("", [(*place, "not-utf-8")])
    assert problems[0].problem == f"byte {byte} is not UTF-8"


def test_a_file_of_five_megabytes_is_refused() -> None:
    """A long file is named with its size; it is not read."""
    text, problems = decode(b"a" * 5_000_000, "a.md")
    assert text == ""
    assert str(problems[0]) == (
        "a.md:1:1: the file has 5,000,000 bytes; "
        "at most 1,048,576 are read; split it or take something out"
    )


def test_a_file_of_one_mebibyte_is_read() -> None:
    """The limit itself is still read."""
    assert len(decode(b"a" * 1024 * 1024, "a.md")[0]) == 1024 * 1024


@pytest.mark.parametrize(
    "row",
    ["k{}: v\n", "k{}: [a, b, c]\n", "same: {}\n", "- {}\n", "#\n", "{}'\n"],
    ids=["keys", "lists", "one key", "items", "comments", "quotes"],
)
def test_a_whole_file_of_hostile_front_matter_is_read(row: str) -> None:
    """The longest file that is read at all ends in a mapping or in problems."""
    rows = "".join(row.format(number) for number in range(20_000))
    front, problems = compose(rows, "a.md")
    assert front is not None or problems


@pytest.mark.parametrize("body", ["- a\n" * 10_001, "[" * 5_001], ids=["lines", "brackets"])
def test_a_body_that_would_take_too_long_is_refused(body: str) -> None:
    """It is reported at its first line, with what to do, and left as it is."""
    read = read_document(f"---\nid: one\n---\n{body}", "one.md")
    assert (read.front, read.body, places(read.problems)) == (None, body, [(4, 1, "too-large")])
