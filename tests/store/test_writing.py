"""Writing a file so that a kill leaves either the old text or the new."""

from __future__ import annotations

import os
import signal
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from fixbook.store.writing import PARTIAL, clear_partial, write_bytes, write_text


def _mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def _names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_a_new_file_is_written(tmp_path: Path) -> None:
    """The file holds the text as UTF-8, line ends as given, and nothing else is left."""
    write_text(tmp_path / "hum.md", "µ\r\nΩ\n")
    assert (tmp_path / "hum.md").read_bytes() == "µ\r\nΩ\n".encode()
    assert _names(tmp_path) == ["hum.md"]


def test_an_old_file_is_replaced(tmp_path: Path) -> None:
    """The old content is gone, however long it was."""
    path = tmp_path / "hum.md"
    path.write_text("a" * 100_000)
    write_bytes(path, b"new")
    assert (path.read_bytes(), _names(tmp_path)) == (b"new", ["hum.md"])


@pytest.mark.parametrize("mode", [0o600, 0o640, 0o664, 0o444, 0o755], ids=oct)
def test_permissions_are_kept(tmp_path: Path, mode: int) -> None:
    """A file stays as open or as closed as its owner made it."""
    path = tmp_path / "hum.md"
    path.write_text("old")
    path.chmod(mode)
    write_text(path, "new")
    assert (path.read_text(), _mode(path)) == ("new", mode)


@pytest.mark.parametrize(
    ("private", "mode"), [(True, 0o600), (False, 0o640)], ids=["private", "as usual"]
)
def test_a_new_file_has_the_users_usual_permissions(
    tmp_path: Path, private: bool, mode: int
) -> None:
    """The user's mask holds, and a private file is for its owner alone."""
    mask = os.umask(0o027)
    try:
        write_text(tmp_path / "new.md", "x", private=private)
    finally:
        os.umask(mask)
    assert _mode(tmp_path / "new.md") == mode


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    """What the link points to is replaced, beside itself."""
    (tmp_path / "real").mkdir()
    real = tmp_path / "real" / "hum.md"
    real.write_text("old")
    (tmp_path / "hum.md").symlink_to("real/hum.md")
    write_text(tmp_path / "hum.md", "new")
    assert (tmp_path / "hum.md").is_symlink()
    assert (real.read_text(), _names(real.parent)) == ("new", ["hum.md"])


def test_a_reader_that_has_the_file_open_keeps_the_old_text(tmp_path: Path) -> None:
    """The old file is not written into: it is replaced."""
    path = tmp_path / "hum.md"
    path.write_text("old")
    with path.open() as reader:
        write_text(path, "new and longer")
        assert reader.read() == "old"


@pytest.mark.parametrize("place", ["missing/hum.md", "folder"], ids=["no folder", "a folder"])
def test_a_place_that_cannot_be_written_leaves_nothing_behind(tmp_path: Path, place: str) -> None:
    """The error is an OSError, and no half-written file remains."""
    (tmp_path / "folder").mkdir()
    with pytest.raises(OSError):
        write_text(tmp_path / place, "x")
    assert _names(tmp_path) == ["folder"]


def test_a_folder_without_permission_keeps_the_old_text(ordinary: Path) -> None:
    """Where no new file can be made, the old one is untouched."""
    path = ordinary / "hum.md"
    path.write_text("old")
    ordinary.chmod(0o500)
    with pytest.raises(PermissionError):
        write_text(path, "new")
    assert path.read_text() == "old"


def test_a_folder_that_cannot_be_listed_can_be_written_to(ordinary: Path) -> None:
    """A folder that lets its user write and not look is no reason to say that writing failed."""
    folder = ordinary / "drop-box"
    folder.mkdir()
    folder.chmod(0o300)
    write_text(folder / "hum.md", "new")
    folder.chmod(0o700)
    assert _names(folder) == ["hum.md"]


def test_a_text_that_no_file_can_hold_leaves_the_old_one(tmp_path: Path) -> None:
    """Half a character is refused before anything is touched."""
    path = tmp_path / "hum.md"
    path.write_text("old")
    with pytest.raises(UnicodeEncodeError):
        write_text(path, "a\ud800")
    assert (path.read_text(), _names(tmp_path)) == ("old", ["hum.md"])


def test_a_failing_disk_leaves_the_old_text(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """When flushing fails, as on a full disk, the old text stays and the partial file goes."""
    path = tmp_path / "hum.md"
    path.write_text("old")

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space left"):
        write_text(path, "new")
    assert (path.read_text(), _names(tmp_path)) == ("old", ["hum.md"])


WRITER = """
import sys
from pathlib import Path
from fixbook.store.writing import write_bytes

path = Path(sys.argv[1])
print("ready", flush=True)
number = 0
while True:
    number = (number + 1) % 10
    write_bytes(path, str(number).encode() * 2_000_000)
"""


@pytest.mark.skipif(os.name != "posix", reason="kill -9 is a POSIX matter")
@pytest.mark.parametrize("writes", [0, 1, 2, 5])
def test_a_kill_in_the_middle_leaves_a_whole_file(tmp_path: Path, writes: int) -> None:
    """Killed after some writes and in the middle of another, a file is one text from end to end."""
    path = tmp_path / "hum.md"
    path.write_bytes(b"x" * 2_000_000)
    command = [sys.executable, "-c", WRITER, str(path)]
    with subprocess.Popen(command, stdout=subprocess.PIPE) as writer:
        assert writer.stdout is not None
        writer.stdout.readline()
        _await_changes(path, writes)
        _await_partial(tmp_path)
        os.kill(writer.pid, signal.SIGKILL)
    content = path.read_bytes()
    assert (len(content), len(set(content))) == (2_000_000, 1)


def _await_changes(path: Path, count: int) -> None:
    """Watch until the file has been replaced so many times; each time it is another file."""
    seen = path.stat().st_ino, path.stat().st_mtime_ns
    while count:
        now = path.stat().st_ino, path.stat().st_mtime_ns
        count -= now != seen
        seen = now


def _await_partial(folder: Path) -> None:
    """Watch until a file is being written."""
    while not any(name.startswith(PARTIAL) for name in os.listdir(folder)):
        pass


def test_what_killed_writes_left_is_cleared(tmp_path: Path) -> None:
    """Old partial files go; a young one may still be somebody's, and others are not touched."""
    for name, age in [(f"{PARTIAL}old", 100.0), (f"{PARTIAL}young", 10.0), ("hum.md", 100.0)]:
        (tmp_path / name).write_text("x")
        os.utime(tmp_path / name, (1000.0 - age, 1000.0 - age))
    assert clear_partial(tmp_path, older_than_s=60.0, now=1000.0) == 1
    assert _names(tmp_path) == [f"{PARTIAL}young", "hum.md"]
