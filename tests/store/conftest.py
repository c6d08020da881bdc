"""What tests of files need beside the common fixtures."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

NOBODY = 65534
"""The user id that owns nothing, by convention."""


@pytest.fixture
def ordinary() -> Iterator[Path]:
    """Give a folder to someone whom permissions bind: root sheds its rights for the test."""
    if os.name != "posix":
        pytest.skip("permissions of this kind are a POSIX matter")
    folder = Path(tempfile.mkdtemp(prefix="fixbook-ordinary-"))
    was = os.geteuid()
    if was == 0:
        os.chown(folder, NOBODY, NOBODY)
        os.seteuid(NOBODY)
    try:
        yield folder
    finally:
        os.seteuid(was)
        for path in [folder, *folder.rglob("*")]:
            if path.is_dir() and not path.is_symlink():
                path.chmod(0o700)
        shutil.rmtree(folder)
