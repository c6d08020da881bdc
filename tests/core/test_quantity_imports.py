"""What a cold command waits for when it reads a value."""

from __future__ import annotations

import subprocess
import sys


def test_reading_loads_no_heavy_module() -> None:
    """Neither reading nor exact writing loads the library that only showing needs."""
    script = (
        "import sys; from fixbook.core.reading import read; "
        "from fixbook.core.quantity import OHMS, exact; exact(read('4k7', OHMS).value, OHMS); "
        "print(*sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True, timeout=60
    )
    heavy = {"quantiphy", "decimal", "yaml", "whoosh", "markdown_it"}
    assert not heavy & set(done.stdout.split())
