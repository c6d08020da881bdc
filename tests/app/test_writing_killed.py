"""A writer that is killed loses no accepted text and leaves no half file."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

KILLS = int(os.environ.get("FIXBOOK_TEST_KILLS", "20"))
"""How often a writer is killed; more by hand."""


@pytest.mark.skipif(os.name != "posix", reason="kills as a POSIX system does it")
def test_a_killed_writer_loses_nothing_that_was_accepted(tmp_path):
    """Drafts, filed write-ups and renames are whole after each kill, and can be finished."""
    script = Path(__file__).with_name("kills.py")
    done = subprocess.run(
        [sys.executable, str(script), str(tmp_path / "book"), str(KILLS)],
        capture_output=True, text=True, check=False, timeout=100,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    counts = json.loads(done.stdout)
    assert counts.pop("accepted") > 0
    assert counts == {"kills": KILLS, "lost": 0, "half": 0, "unfinished": 0}
