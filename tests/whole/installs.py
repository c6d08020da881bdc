"""Build wheel and sdist, install each from a folder into empty environments, and use them.

By hand: `python tests/whole/installs.py PYTHON…`, each the path of an interpreter. It fetches the
dependencies as wheels first (nothing is compiled), then installs with no index at all. Prints a
line for each interpreter and kind, and ends with the count of failures.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

ROOT = Path(__file__).parents[2]
IGNORED = shutil.ignore_patterns("build", "*.egg-info", ".git", "__pycache__", ".*_cache")
USES = (
    ("find", "hums", "with", "the", "volume", "at", "zero"),
    ("sheet", "amp-relay-contacts"),
    ("calc", "divider", "12V", "10k", "4k7"),
    ("book", "demo", "shop"),
    ("--book", "shop", "kit", "vg220-reservoir-glue"),
    ("--book", "shop", "job", "import", "shop/history/2025.tsv", "--yes"),
    ("--book", "shop", "job", "estimate", "o61-cell-holder"),
)


def run(*words: str | Path, cwd: Path | None = None, env: dict[str, str] | None = None) -> None:
    """Run a command; SystemExit with what it said where it fails."""
    done = subprocess.run(
        [str(one) for one in words], cwd=cwd, env=env, capture_output=True, text=True, check=False
    )
    if done.returncode:
        raise RuntimeError(
            f"{' '.join(map(str, words))}\n{done.stdout[-2000:]}{done.stderr[-2000:]}"
        )


def build(python: str, folder: Path) -> tuple[Path, Path]:
    """Build both kinds from a copy of the sources; their paths."""
    source = folder / "source"
    shutil.copytree(ROOT, source, ignore=IGNORED)
    run(python, "-m", "venv", folder / "build")
    tool = folder / "build" / "bin" / "python"
    run(tool, "-m", "pip", "install", "-q", "build")
    run(tool, "-m", "build", "-q", "--outdir", folder / "dist", source)
    made = folder / "dist"
    return next(made.glob("*.whl")), next(made.glob("*.tar.gz"))


def check(python: str, package: Path, folder: Path) -> None:
    """Install a package with no index into an empty environment, and use it in an empty home."""
    home = Path(tempfile.mkdtemp(dir=folder))
    run(python, "-m", "venv", home / "env")
    pip = (home / "env" / "bin" / "python", "-m", "pip")
    wheels = home / "wheels"
    # setuptools and wheel are what an sdist is built with
    run(*pip, "download", "-q", "--only-binary", ":all:", "-d", wheels, "setuptools>=77", "wheel")
    needs = [line.strip().strip('",') for line in _dependencies()]
    run(*pip, "download", "-q", "--only-binary", ":all:", "-d", wheels, *needs)
    run(*pip, "install", "-q", "--no-index", "--find-links", wheels, package)
    env = {"PATH": f"{home / 'env' / 'bin'}:/usr/bin:/bin", "HOME": str(home), "LANG": "C.UTF-8"}
    for words in USES:
        run("fixbook", *words, cwd=home, env=env)


def _dependencies() -> Sequence[str]:
    import tomllib

    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    return list(project["project"]["dependencies"])


def main(pythons: Sequence[str]) -> int:
    """Check every interpreter with both kinds; the count of failures."""
    failed = 0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        packages = build(pythons[0], folder)
        for python in pythons:
            for package in packages:
                try:
                    check(python, package, folder)
                    print(f"{python} {package.name}: good", flush=True)
                except RuntimeError as error:
                    failed += 1
                    print(f"{python} {package.name}: failed\n{error}", flush=True)
    print(f"{failed} failed")
    return failed


if __name__ == "__main__":
    os.environ.pop("PYTHONPATH", None)
    sys.exit(min(1, main(sys.argv[1:] or [sys.executable])))
