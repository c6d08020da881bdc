"""Wheels, made as an installer makes them, without the network."""

from __future__ import annotations

import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest


@pytest.fixture
def wheel(tmp_path: Path) -> Callable[[Path], zipfile.ZipFile]:
    """Make a wheel of a folder with a pyproject.toml, with the build backend that it names."""

    def make(source: Path) -> zipfile.ZipFile:
        folder = tmp_path / "wheel"
        folder.mkdir()
        script = f"from setuptools.build_meta import build_wheel\nbuild_wheel({str(folder)!r})"
        done = subprocess.run(
            [sys.executable, "-c", script],
            cwd=source,
            capture_output=True,
            text=True,
            check=False,
            timeout=110,
        )
        assert done.returncode == 0, done.stderr
        return zipfile.ZipFile(next(folder.glob("*.whl")))

    return make
