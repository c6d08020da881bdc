"""Every write-up is found by how people would ask for it."""

from __future__ import annotations

import importlib.util
import shutil
import sys
from pathlib import Path

ENOUGH = 0.95


def test_a_write_up_is_among_the_first_five_for_its_wordings(tmp_path, starter_cache):
    """At least nineteen times in twenty the write-up that is meant is in the first five."""
    path = Path(__file__).with_name("wordings.py")
    spec = importlib.util.spec_from_file_location("entries_wordings", path)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    shutil.copytree(starter_cache, tmp_path / "c")
    found = list(module.places(tmp_path))
    missed = [(id, words, place) for id, words, place in found if not 1 <= place <= 5]
    assert len(missed) <= (1 - ENOUGH) * len(found), missed
