"""What makes a folder of files an index: one small file that names all others and their checksums.

It is replaced in one step when everything it names is in place, so a writer that is killed leaves
the index as it was. Checksums tell damage; they are no protection against somebody who can write
to the folder, which is why the folder has to be private.
"""

from __future__ import annotations

import json
import os
import shutil
import sys
from array import array
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any, NamedTuple
from zlib import crc32

from fixbook.search.folder import LOCK
from fixbook.search.handles import open_to_read
from fixbook.search.pages import PAGE, CheckedFile, IndexDamagedError, page_sums
from fixbook.search.weights import OTHER_WEIGHT, PART_WEIGHTS, WITHIN

NAME = "index.json"
_WEIGHTS = crc32(repr((PART_WEIGHTS, OTHER_WEIGHT, WITHIN)).encode())
FORMAT = f"3 {sys.byteorder} {array('I').itemsize} {PAGE} {_WEIGHTS}"
"""Changes whenever the files are laid out or weighed differently, or another machine made them."""
SEGMENT_FILES = (".trm", ".pst", ".pack", ".docs", ".columns", ".words")


class SegmentNote(NamedTuple):
    """One segment as the manifest knows it."""

    name: str
    documents: int
    """How many, deleted ones included."""
    length: float
    """Sum of the weighted lengths of all of them."""
    deleted: tuple[int, ...]
    """Numbers of deleted documents."""
    files: Mapping[str, int]
    """Size of each of its files by name."""
    sums: int
    """Checksum of the file of page checksums."""


class Manifest(NamedTuple):
    """The state of an index."""

    version: str
    """The caller's own version; another one means that the index must be built again."""
    generation: int
    segments: tuple[SegmentNote, ...]
    files: Mapping[str, tuple[int, int]]
    """Size and checksum of the files that belong to no segment: sources, words, contents."""

    @property
    def names(self) -> set[str]:
        """Give the names of every file that is part of the index."""
        of_segments = {n for s in self.segments for n in (*s.files, f"{s.name}.sums")}
        return {NAME, *self.files, *of_segments}


def read_manifest(folder: Path) -> Manifest | None:
    """Read the manifest; None where there is no index of this format, damage raises."""
    try:
        with open(open_to_read(folder / NAME), "rb") as file:
            data = file.read()
    except FileNotFoundError:
        return None
    except OSError as problem:
        raise IndexDamagedError(f"{NAME}: {problem.strerror}") from problem
    head, _, body = data.partition(b"\n")
    if head != b"%08x" % crc32(body):
        raise IndexDamagedError(f"{NAME} is not as it was written")
    try:
        raw = json.loads(body)
        if raw["format"] != FORMAT:
            return None
        return _manifest(raw)
    except (ValueError, KeyError, TypeError) as problem:
        raise IndexDamagedError(f"{NAME}: {problem}") from problem


def _manifest(raw: Mapping[str, Any]) -> Manifest:
    segments = tuple(
        SegmentNote(s[0], s[1], s[2], tuple(s[3]), dict(s[4]), s[5]) for s in raw["segments"]
    )
    files = {name: (size, checksum) for name, (size, checksum) in raw["files"].items()}
    return Manifest(raw["version"], raw["generation"], segments, files)


def write_manifest(folder: Path, manifest: Manifest) -> None:
    """Put a new manifest in the old one's place, in one step."""
    body = json.dumps({"format": FORMAT, **manifest._asdict()}).encode()
    new = folder / f"{NAME}.new"
    new.write_bytes(b"%08x\n" % crc32(body) + body)
    new.chmod(0o600)
    os.replace(new, folder / NAME)


def note_segment(folder: Path, name: str, documents: int, length: float) -> SegmentNote:
    """Make a new segment's files private, write their checksums and give its note."""
    files = {}
    sums = array("I")
    for path in sorted(folder.glob(f"{name}*")):
        path.chmod(0o600)
        files[path.name] = path.stat().st_size
        sums.extend(page_sums(path))
    data = sums.tobytes()
    put(folder / f"{name}.sums", data)
    return SegmentNote(name, documents, length, (), files, crc32(data))


def put(path: Path, data: bytes) -> tuple[int, int]:
    """Write a file for the owner alone; give its size and checksum."""
    path.write_bytes(data)
    path.chmod(0o600)
    return len(data), crc32(data)


def open_files(folder: Path, note: SegmentNote) -> dict[str, CheckedFile]:
    """Open a segment's files, by their endings; raise IndexDamagedError where one is not whole."""
    data = read_checked(folder / f"{note.name}.sums", None, note.sums)
    if len(data) % 4:
        raise IndexDamagedError(f"{note.name}.sums")
    sums = array("I")
    sums.frombytes(data)
    at, opened = 0, {}
    for name, size in note.files.items():
        pages = -(-size // PAGE)
        opened[name.removeprefix(note.name)] = _open(folder / name, size, sums[at : at + pages])
        at += pages
    return opened


def _open(path: Path, size: int, sums: array[int]) -> CheckedFile:
    try:
        return CheckedFile(path, size, sums)
    except OSError as problem:
        raise IndexDamagedError(f"{path.name}: {problem.strerror}") from problem


def read_checked(path: Path, size: int | None, checksum: int) -> bytes:
    """Read a small file whole; raise IndexDamagedError where it is not as written."""
    try:
        with open(open_to_read(path), "rb") as file:
            data = file.read()
    except OSError as problem:
        raise IndexDamagedError(f"{path.name}: {problem.strerror}") from problem
    if crc32(data) != checksum or (size is not None and len(data) != size):
        raise IndexDamagedError(f"{path.name} is not as it was written")
    return data


def remove_strays(folder: Path, keep: Iterable[str]) -> None:
    """Remove what no manifest names: old generations, and what a killed writer left."""
    kept = {LOCK, *keep}
    for path in folder.iterdir():
        if path.name in kept:
            continue
        try:
            shutil.rmtree(path) if path.is_dir() and not path.is_symlink() else path.unlink()
        except OSError:
            continue  # still open in another process on Windows; the next writer takes it
