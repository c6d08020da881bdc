"""Archives that somebody made to do harm, or that a disk has damaged, are refused in words."""

from __future__ import annotations

import hashlib
import io
import random
import stat
import warnings
import zipfile
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from fixbook.app.restoring import restore
from fixbook.store.archive import END, MARK, SUMS, Archive, ArchiveError, Held, Part, write_archive

TEXT = b"starter = false\n"


def info(name: str, **fields: int) -> zipfile.ZipInfo:
    """Give a file's row in an archive, with what a test wants to be odd about it."""
    made = zipfile.ZipInfo("x")
    made.filename = name
    made.compress_type = zipfile.ZIP_DEFLATED
    made.external_attr = (stat.S_IFREG | 0o600) << 16
    for key, value in fields.items():
        setattr(made, key, value)
    return made


def sealed(
    rows: Sequence[tuple[zipfile.ZipInfo, bytes]],
    spoil: Callable[[bytes], bytes] = lambda data: data,
) -> bytes:
    """Make an archive of any rows, with true checksums and a true seal."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as made, warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of repeated names
        lines = []
        for row, data in [(info("fixbook.toml"), TEXT), *rows]:
            made.writestr(row, data)
            lines.append(f"{hashlib.sha256(data).hexdigest()}  {row.filename}\n")
        made.writestr(info(SUMS), "".join(lines).encode("utf-8", "surrogatepass"))
        made.comment = MARK + b"0" * 64
    data = spoil(out.getvalue()[:-64])
    return data + hashlib.sha256(data[: -len(MARK)]).hexdigest().encode()


def refusal(data: bytes, folder: Path) -> str:
    """Restore an archive that must be refused; what is said. Nothing may be left anywhere."""
    (folder / "in").mkdir()
    (folder / "in" / "b.zip").write_bytes(data)
    with pytest.raises(ArchiveError) as caught:
        restore(folder / "in" / "b.zip", folder / "in" / "new")
    assert sorted(path.name for path in folder.rglob("*")) == ["b.zip", "in"]
    return "\n".join([caught.value.why, *caught.value.problems])


def test_the_maker_of_these_archives_makes_good_ones(tmp_path):
    """With nothing odd in it an archive is restored, so what is refused is the odd thing."""
    (tmp_path / "b.zip").write_bytes(sealed([(info("entries/a/b.md"), b"words")]))
    restore(tmp_path / "b.zip", tmp_path / "new")
    assert (tmp_path / "new/entries/a/b.md").read_bytes() == b"words"


@pytest.mark.parametrize(
    "name",
    ["../up.md", "entries/../../up.md", "/etc/up", "//host/up", "C:/up.md", "C:up.md",
     "entries\\..\\up.md", "entries//a.md", "./a.md", "entries/.", "", "entries/", ".git/config",
     ".bashrc", "entries/.hidden.md", "entries/con.md", "entries/NUL", "lpt1/a.md",
     "entries/a.md.", "entries/a ", "a:stream", "entries/a\nb.md", "entries/a\x1b[2Jb.md",
     "entries/\u202egnp.md", "entries/\u200b.md", "x" * 300, "/".join("abcdefghijklmnop"),
     "entries/a|b", "entries/a*", "~/.ssh/x"],
    ids=ascii,
)  # fmt: skip
def test_a_name_that_leads_elsewhere_is_refused(name, tmp_path):
    """No part of a name may lead out, be hidden, be a device, or not be shown."""
    assert "it holds what no backup does" in refusal(sealed([(info(name), b"x")]), tmp_path)


@pytest.mark.parametrize(
    "names",
    [("a.md", "a.md"), ("a.md", "A.MD"), ("\u00e9.md", "e\u0301.md"), ("\u00df.md", "ss.md"),
     ("a", "a/b.md"), ("a/b.md", "A"), ("fixbook.toml", "x")],
    ids=ascii,
)  # fmt: skip
def test_names_that_are_one_file_somewhere_are_refused(names, tmp_path):
    """Two files of one name, by case, by composition, or as file and folder: neither is taken."""
    said = refusal(sealed([(info(name), b"x") for name in names]), tmp_path)
    assert "it holds what no backup does" in said


@pytest.mark.parametrize(
    "kind", ["S_IFLNK", "S_IFDIR", "S_IFIFO", "S_IFCHR", "S_IFBLK", "S_IFSOCK"]
)
def test_what_is_no_file_is_refused(kind, tmp_path):
    """Links, folders, pipes and devices have no place in a backup."""
    row = info("entries/a.md", external_attr=(getattr(stat, kind) | 0o777) << 16)
    assert "a link, folder or device" in refusal(sealed([(row, b"/etc/passwd")]), tmp_path)


def test_a_name_cut_short_by_a_null_is_refused(tmp_path):
    """A name that reads differently to two programs is no name."""
    data = sealed(
        [(info("entries/a.md@/../up"), b"x")],
        lambda data: data.replace(b"entries/a.md@", b"entries/a.md\0"),
    )
    assert "it holds what no backup does" in refusal(data, tmp_path)


def test_an_archive_that_unpacks_to_very_much_is_refused(tmp_path):
    """A small file that would fill the disk is not unpacked."""
    rows = [(info(f"entries/{n}.md"), bytes(30 << 20)) for n in range(3)]
    assert "that unpack to 94,37" in refusal(sealed(rows), tmp_path)


def test_a_size_that_is_a_lie_is_refused(tmp_path):
    """More in a file than its row says is damage, and no more of it is written."""
    size = (5000).to_bytes(4, "little")
    data = sealed(
        [(info("entries/a.md"), bytes(5000))],
        lambda data: data.replace(size, (10).to_bytes(4, "little")),
    )
    assert "damaged: entries/a.md" in refusal(data, tmp_path)


def test_files_that_lie_over_one_another_are_refused(tmp_path):
    """One packed text that many rows point to unpacks to more than the archive holds."""

    def spoil(data: bytes) -> bytes:
        begin = data.index(b"PK\x01\x02")
        end = data.rindex(b"PK\x05\x06")
        rows = data[begin:end]
        parts = [b"PK\x01\x02" + row for row in rows.split(b"PK\x01\x02")[1:]]
        many = b"".join(
            parts[1].replace(b"aa.md", f"{n:02d}.md".encode()) for n in range(50)
        )  # fmt: skip
        table = rows + many
        last = list(END.unpack(data[end : end + END.size]))
        last[3] = last[4] = last[3] + 50
        last[5] = len(table)
        return data[:begin] + table + END.pack(*last) + MARK

    data = sealed([(info("entries/aa.md"), random.Random(1).randbytes(5000))], spoil)
    assert "lie over one another" in refusal(data, tmp_path)


def test_an_encrypted_or_strangely_packed_file_is_refused(tmp_path):
    """What a backup never is cannot be checked either."""
    row = info("entries/a.md", compress_type=zipfile.ZIP_LZMA)
    assert "packed in a way" in refusal(sealed([(row, b"x")]), tmp_path)


@pytest.mark.parametrize("change", ["added", "missing", "wrong"])
def test_a_list_that_is_not_of_these_files_is_refused(change, tmp_path):
    """Every file is listed once, and nothing else is."""
    line = hashlib.sha256(b"x").hexdigest().encode() + b"  entries/a.md\n"
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as made:
        made.writestr(info("entries/a.md"), b"x")
        made.writestr(
            info(SUMS), {"added": line + line, "missing": b"", "wrong": b"x" * 5000}[change]
        )
        made.comment = MARK + b"0" * 64
    data = out.getvalue()[:-64]
    data += hashlib.sha256(data[: -len(MARK)]).hexdigest().encode()
    assert f"damaged: {SUMS}" in refusal(data, tmp_path)


def test_a_backup_without_a_book_in_it_is_refused(tmp_path):
    """A sealed archive of something else is no book."""
    out = io.BytesIO()
    write_archive(out, {"a.txt": part(b"x")})
    (tmp_path / "b.zip").write_bytes(out.getvalue())
    with pytest.raises(Exception, match="there is no book in"):
        restore(tmp_path / "b.zip", tmp_path / "new")


@pytest.mark.parametrize("data", [b"", b"x", b"PK\x03\x04", b"\0" * 200, b"PK\x05\x06" + bytes(18)])
def test_what_is_no_archive_is_refused(data, tmp_path):
    """An empty file, noise, or another program's archive is told from a damaged backup."""
    assert "it is no backup" in refusal(data, tmp_path)


def test_a_backup_of_another_format_is_said_to_be_one(tmp_path):
    """A later program's archive is not called damaged."""
    data = sealed([]).replace(b"fixbook backup 1,", b"fixbook backup 2,")
    assert "a backup of format 2" in refusal(data, tmp_path)


def part(data: bytes) -> Part:
    """Give a file for an archive."""
    return Part(Held(len(data), hashlib.sha256(data).hexdigest()), lambda: iter([data]))


@pytest.fixture(scope="module")
def good() -> bytes:
    """Give a small archive that is whole."""
    chance = random.Random(5)
    texts = {f"entries/a/{n}.md": chance.randbytes(60) + b"words " * 20 for n in range(3)}
    out = io.BytesIO()
    write_archive(out, {name: part(data) for name, data in {**texts, "fixbook.toml": TEXT}.items()})
    return out.getvalue()


def is_whole(data: bytes) -> bool:
    """Say whether an archive is taken."""
    try:
        Archive(io.BytesIO(data), "b.zip").check()
    except ArchiveError:
        return False
    return True


def test_any_changed_byte_is_noticed(good):
    """Whichever byte of an archive is changed, it is refused."""
    changed = (good[:at] + bytes([good[at] ^ 0x21]) + good[at + 1 :] for at in range(len(good)))
    assert [at for at, data in enumerate(changed) if is_whole(data)] == []


def test_any_missing_end_is_noticed(good):
    """Wherever a copy was broken off, the archive is refused."""
    assert [at for at in range(len(good)) if is_whole(good[:at])] == []


def test_noise_anywhere_is_noticed(good):
    """Stretches of noise, moved pieces and doubled pieces are refused, and raise nothing else."""
    chance = random.Random(9)
    whole = 0
    for _ in range(400):
        at, size = chance.randrange(len(good)), chance.randrange(1, 200)
        middle = chance.choice(
            (chance.randbytes(size), b"", good[at : at + size] * 2, bytes(size), good[:size])
        )
        data = good[:at] + middle + good[at + size :]
        whole += data != good and is_whole(data)
    assert whole == 0
