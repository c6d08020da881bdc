"""What a full disk means for a job file: SQLite wants to make files beside it even to read it."""

from __future__ import annotations

import os
from pathlib import Path
from urllib.parse import quote

FREE = "make room on the disk; what was saved before is safe"
LITTLE = 64 * 1024
"""With so few bytes left SQLite cannot set up its files beside the database."""


def is_full(where: str) -> bool:
    """Say whether the disk of a job file has no room; SQLite calls that by other names as well."""
    if not hasattr(os, "statvfs"):
        return False
    try:
        disk = os.statvfs(os.path.dirname(os.path.abspath(where)))
    except OSError:
        return False
    return disk.f_bavail * disk.f_frsize < LITTLE or (disk.f_files > 0 and disk.f_favail < 3)


def stands_still(file: Path) -> bool:
    """Say whether a job file can be read as it stands: nobody can begin to write in it, the disk
    being full, and all that was written is in it."""
    try:
        begun = os.stat(f"{file}-wal").st_size
    except OSError:
        begun = 0
    return not begun and is_full(str(file))


def address(file: Path, mode: str) -> str:
    """Give the address of a job file for SQLite; `mode` as in `mode=ro`."""
    return f"file:{quote(os.path.abspath(file))}?{mode}"


def address_to_read(file: Path) -> str:
    """Give the address of a job file that is to be read alone."""
    return address(file, "mode=ro&immutable=1" if stands_still(file) else "mode=ro")
