"""A page as PDF, by a Chromium that is installed; it reaches no network, and a page has no script."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from pathlib import Path

from fixbook.errors import FixbookError

BROWSERS = ("chromium", "chromium-browser", "chrome", "headless_shell")
"""Names of the program, looked for on the search path in this order."""
ENVIRONMENT = "FIXBOOK_BROWSER"
"""Names another Chromium, by its path."""
PATIENCE_S = 120


class PrinterError(FixbookError):
    """There is nothing here that makes a PDF of a page, or it failed."""


def find_browser() -> str | None:
    """Give the path of a Chromium; None where there is none."""
    named = os.environ.get(ENVIRONMENT)
    if named:
        return shutil.which(named)
    return next((found for name in BROWSERS if (found := shutil.which(name))), None)


def pdf_of(page: str) -> bytes:
    """Print a page; PrinterError with words where nothing here can."""
    browser = find_browser()
    if browser is None:
        raise PrinterError(
            "no Chromium was found to make a PDF with",
            hint=f"install one, name it in {ENVIRONMENT}, or write --html FILE and print that "
            "from any browser",
            input="--pdf",
        )
    with tempfile.TemporaryDirectory(prefix="fixbook-") as folder:
        source, made = Path(folder, "page.html"), Path(folder, "page.pdf")
        source.write_text(page, encoding="utf-8")
        why = _run([browser, *_options(folder), f"--print-to-pdf={made}", source.as_uri()])
        try:
            data = made.read_bytes()
        except OSError:
            data = b""
    if not data.startswith(b"%PDF-"):
        raise PrinterError(
            f"{browser} made no PDF: {why or 'it said nothing'}",
            hint="write --html FILE and print that from any browser",
            input="--pdf",
        )
    return data


def _options(folder: str) -> list[str]:
    options = [
        "--headless", "--disable-gpu", "--no-first-run", "--no-pdf-header-footer",
        "--disable-background-networking", "--disable-component-update", "--disable-extensions",
        "--disable-sync",
        "--host-resolver-rules=MAP * ~NOTFOUND", f"--user-data-dir={folder}/profile",
    ]  # fmt: skip
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        options.append("--no-sandbox")  # it refuses to run as root with it
    return options


def _run(command: list[str]) -> str:
    """Run the browser; give the last line of what it complained of."""
    try:
        done = subprocess.run(
            command, capture_output=True, timeout=PATIENCE_S, check=False, stdin=subprocess.DEVNULL
        )
    except subprocess.TimeoutExpired:
        return f"it was not done after {PATIENCE_S} s"
    except OSError as error:
        return error.strerror or str(error)
    lines = done.stderr.decode("utf-8", "replace").strip().splitlines()
    return lines[-1] if done.returncode and lines else ""
