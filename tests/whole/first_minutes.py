"""The first minutes of a stranger: a fresh clone, README in hand and nothing else, timed.

By hand: `python tests/whole/first_minutes.py [PYTHON]`. Clones the repository (with what is not
committed yet), runs the installing command of README as it stands and then every command of README
in a shell, in an empty home, and prints a page at the end as well. Fails where a command fails.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
BLOCK = re.compile(r"^```console\n(.*?)^```$", re.DOTALL | re.MULTILINE)
IGNORED = shutil.ignore_patterns(
    "build", "*.egg-info", ".git", "__pycache__", ".*_cache", ".hypothesis"
)
TESTS = "pytest"
ALLOWED = {"$ fixbook calc divider 12V 10k 2.2m": 2}
"""Commands that README shows to be refused, with their exit status."""
AFTER = ("fixbook sheet h15-standby-switch --html standby.html", "fixbook book print pages")


def commands() -> list[str]:
    """Give README's commands in their order, without the one that runs the tests."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    lines = [line[2:] for block in BLOCK.findall(text) for line in block.split("\n")
             if line.startswith("$ ")]  # fmt: skip
    return [line for line in lines if TESTS not in line]


def main(python: str) -> int:
    """Walk the path; 1 where a command fails."""
    with tempfile.TemporaryDirectory() as name:
        home, clone = Path(name), Path(name) / "clone"
        shutil.copytree(ROOT, clone, ignore=IGNORED)
        folder = Path(python).parent
        path = f"{clone / '.venv' / 'bin'}:{folder}:/usr/bin:/bin"
        env = {"HOME": str(home), "PATH": path, "LANG": "C.UTF-8", "COLUMNS": "80"}
        for keep in ("PIP_INDEX_URL", "PIP_CONFIG_FILE", "HTTPS_PROXY", "SSL_CERT_FILE"):
            if keep in os.environ:
                env[keep] = os.environ[keep]
        here, began = clone, time.monotonic()
        for line in (*commands(), *AFTER):
            if line.startswith("cd "):
                here = here / line[3:]
                continue
            start = time.monotonic()
            done = subprocess.run(
                ["bash", "-c", line], cwd=here, env=env, capture_output=True, text=True, check=False
            )
            print(f"{time.monotonic() - start:6.2f} s  {done.returncode}  {line[:90]}", flush=True)
            if done.returncode != ALLOWED.get(f"$ {line}", 0) or "Traceback" in done.stderr:
                print(done.stdout[-2000:], done.stderr[-2000:])
                return 1
        print(f"{time.monotonic() - began:6.1f} s together")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1] if len(sys.argv) > 1 else sys.executable))
