"""One archive file that holds a book: written whole, sealed, and never trusted when read.

It is a zip file, so that any program for such archives can open it, of the same bytes for the same
content. `SHA256SUMS` in it lists all others the way `sha256sum --check` reads it; its comment, the
last bytes, is the seal: the SHA-256 of all that stands before. A damaged bit anywhere is noticed.
"""

from __future__ import annotations

import hashlib
import re
import shutil
import stat
import struct
import zipfile
import zlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import BinaryIO, NamedTuple

from fixbook.errors import BookError
from fixbook.store.archive_names import DEEPEST, LONGEST, clashes, name_fault

SUMS = "SHA256SUMS"
PIECE = 1 << 20
MARK = b"fixbook backup 1, sha256 "
"""The number is that of the format."""
SEAL = len(MARK) + 64
END = struct.Struct("<4s4H2LH")
"""The end record of a zip file, before its comment."""
END64 = struct.Struct("<4sQ2H2L4Q")
LARGEST_TABLE = 32 << 20
"""Bytes of the table of contents, some 300,000 files."""
LONGEST_LINE = 80 + 4 * (LONGEST + 1) * DEEPEST
"""Bytes of a line of the list."""
SHOWN = 20
"""Files that a message names."""
RATIO, PLENTY = 250, 64 << 20
"""An archive may unpack to this many times its size, and so many bytes more."""
BROKEN = (
    zipfile.BadZipFile, zlib.error, EOFError, struct.error, ValueError, KeyError, IndexError,
    RuntimeError, OverflowError, TypeError, AttributeError,
)  # fmt: skip
"""What the library raises at an archive that is none, or damaged."""


class ArchiveError(BookError):
    """An archive that is not taken; `problems` says what is wrong in it, file by file."""

    def __init__(self, why: str, problems: Sequence[str] = (), *, read: str, hint: str) -> None:
        super().__init__(why, input="FILE", read=read, hint=hint)
        self.problems = tuple(problems)


class Held(NamedTuple):
    """A file in an archive."""

    size: int
    digest: str


class Part(NamedTuple):
    """A file to be put into an archive."""

    held: Held
    pieces: Callable[[], Iterator[bytes]]


def write_archive(out: BinaryIO, parts: Mapping[str, Part]) -> str:
    """Write an archive into an empty file that can be read as well; give its seal."""
    with zipfile.ZipFile(out, "w") as made:
        for name in sorted(parts):
            _add(made, name, parts[name].held.size, parts[name].pieces())
        lines = (f"{parts[name].held.digest}  {name}\n" for name in sorted(parts))
        text = "".join(lines).encode()
        _add(made, SUMS, len(text), iter([text]))
        made.comment = MARK + b"0" * 64
    seal = _sum(out, out.seek(0, 2) - SEAL)
    out.seek(-64, 2)
    out.write(seal.encode())
    out.flush()
    return seal


class Archive:
    """An archive opened for reading: its names are safe, its sizes bounded, its seal unbroken.

    ArchiveError where that does not hold; a name in it is told as it stands, so clean it.
    """

    def __init__(self, file: BinaryIO, shown: str) -> None:
        self.shown = shown
        self._file = file
        self.size = file.seek(0, 2)
        self._check_end()
        try:
            self._zip = zipfile.ZipFile(file)
            infos = self._zip.infolist()
        except BROKEN as error:
            raise self._damaged(["its table of contents cannot be read"]) from error
        self._refuse_hostile(infos)
        self._infos = {one.filename: one for one in infos}
        try:
            self.files = self._listed()
        except BROKEN as error:
            raise self._damaged([SUMS, *self._bad_files()]) from error
        self._check_seal()

    @property
    def total(self) -> int:
        """How many bytes all its files have."""
        return sum(held.size for held in self.files.values())

    def pieces(self, name: str) -> Iterator[bytes]:
        """Read one file; ArchiveError, at its end at the latest, where it is damaged."""
        held = self.files[name]
        counted = hashlib.sha256()
        for piece in self._unpacked(name):
            counted.update(piece)
            yield piece
        if counted.hexdigest() != held.digest:
            raise self._damaged([name])

    def check(self) -> None:
        """Read every file; ArchiveError names those that are damaged."""
        if bad := self._bad_files():
            raise self._damaged(bad)

    def _check_end(self) -> None:
        """Look at the last bytes, before anything else is believed."""
        place = self.size - SEAL - END.size
        self._file.seek(0)
        begins = self._file.read(4)
        self._file.seek(max(place, 0))
        tail = self._file.read()
        if place < 0 or not tail[END.size :].startswith(MARK):
            if other := re.search(rb"fixbook backup (\d+), ", tail):
                why = f"it is a backup of format {other[1].decode()}, and this version reads 1"
                raise self._refused(why, hint="restore it with another version of fixbook")
            raise self._refused("it is no backup of a book, or its end is missing or damaged")
        if begins != b"PK\x03\x04":
            raise self._damaged(["its beginning"])
        signature, *_, table, _, comment = END.unpack(tail[: END.size])
        if signature != b"PK\x05\x06" or comment != SEAL:
            raise self._damaged(["its end record"])
        if table == 0xFFFFFFFF:
            self._file.seek(max(place - 20 - END64.size, 0))
            signature, *_, table, _ = END64.unpack(self._file.read(END64.size))
            if signature != b"PK\x06\x06":
                raise self._damaged(["its end record"])
        if table > LARGEST_TABLE:
            raise self._refused("its table of contents is larger than that of any book")

    def _refuse_hostile(self, infos: list[zipfile.ZipInfo]) -> None:
        faults = []
        for one in infos:
            fault = name_fault(one.orig_filename) or _kind_fault(one)
            if fault:
                faults.append(f"{one.orig_filename}: {fault}")
        faults += [f"{name}: {fault}" for name, fault in clashes(one.filename for one in infos)]
        if faults:
            raise self._refused("it holds what no backup does", faults)
        unpacked = sum(one.file_size for one in infos)
        if sum(one.compress_size for one in infos) > self.size:
            raise self._refused("files in it lie over one another")
        if unpacked > RATIO * self.size + PLENTY:
            raise self._refused(f"{self.size:,} bytes that unpack to {unpacked:,}")

    def _listed(self) -> dict[str, Held]:
        """Read the list of checksums; ValueError where it is not that of these files."""
        files: dict[str, Held] = {}
        with self._zip.open(self._infos[SUMS]) as lines:
            while line := lines.readline(LONGEST_LINE):
                digest, _, name = line.decode("utf-8").rstrip("\n").partition("  ")
                if name in files or not re.fullmatch("[0-9a-f]{64}", digest):
                    raise ValueError("no line of a checksum")
                files[name] = Held(self._infos[name].file_size, digest)
        if len(files) + 1 != len(self._infos):
            raise ValueError("some are not listed")
        return files

    def _unpacked(self, name: str) -> Iterator[bytes]:
        size = 0
        try:
            with self._zip.open(self._infos[name]) as file:
                while piece := file.read(PIECE):
                    size += len(piece)
                    yield piece
        except BROKEN as error:
            raise self._damaged([name]) from error
        if size != self._infos[name].file_size:
            raise self._damaged([name])

    def _check_seal(self) -> None:
        self._file.seek(-64, 2)
        if self._file.read(64) == _sum(self._file, self.size - SEAL).encode():
            return
        between = "what stands between its files; the files in it are whole"
        raise self._damaged(self._bad_files() or [between])

    def _bad_files(self) -> list[str]:
        """Give the files that cannot be read as they were written."""
        listed = getattr(self, "files", {})
        bad = []
        for name in self._infos:
            try:
                for _ in self.pieces(name) if name in listed else self._unpacked(name):
                    pass
            except ArchiveError:
                bad.append(name)
        return bad

    def _damaged(self, what: Sequence[str]) -> ArchiveError:
        hint = (
            "take an older backup; what is whole in this one can be taken out with any program "
            "for zip archives"
        )
        return ArchiveError(
            f"the backup {self.shown} is damaged; nothing was restored",
            _some([f"damaged: {one}" for one in dict.fromkeys(what)]),
            read=self.shown,
            hint=hint,
        )

    def _refused(self, why: str, faults: Sequence[str] = (), *, hint: str = "") -> ArchiveError:
        return ArchiveError(
            f"{self.shown} is not restored: {why}",
            _some(faults),
            read=self.shown,
            hint=hint or "name a file that 'fixbook book backup' made",
        )


def room_for(archive: Archive, folder: Path) -> None:
    """See that the disk has room for what is in an archive; ArchiveError where it has not."""
    free = shutil.disk_usage(folder).free
    if free < archive.total:
        raise ArchiveError(
            f"{archive.shown} needs {archive.total:,} bytes, and the disk has {free:,} free",
            read=archive.shown,
            hint="free some space, or name a folder on another disk",
        )


def _add(made: zipfile.ZipFile, name: str, size: int, pieces: Iterator[bytes]) -> None:
    info = zipfile.ZipInfo(name)  # its date is 1980: the same content gives the same bytes
    info.compress_type = zipfile.ZIP_DEFLATED
    info.create_system = 3
    info.external_attr = (stat.S_IFREG | 0o600) << 16
    info.file_size = size
    with made.open(info, "w") as file:
        for piece in pieces:
            file.write(piece)


def _some(texts: Sequence[str]) -> list[str]:
    more = [f"and {len(texts) - SHOWN:,} more"] if len(texts) > SHOWN else []
    return [*texts[:SHOWN], *more]


def _kind_fault(one: zipfile.ZipInfo) -> str:
    kind = stat.S_IFMT(one.external_attr >> 16)
    if kind not in (0, stat.S_IFREG):
        return "a link, folder or device, not a file"
    if one.flag_bits & 1:
        return "encrypted"
    if one.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        return "packed in a way that no backup is"
    return ""


def _sum(file: BinaryIO, size: int) -> str:
    """Give the SHA-256 of a file's first bytes."""
    file.seek(0)
    counted = hashlib.sha256()
    while size > 0 and (piece := file.read(min(PIECE, size))):
        counted.update(piece)
        size -= len(piece)
    return counted.hexdigest()
