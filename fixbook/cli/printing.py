"""Pages of HTML and PDF: where they are written, what is not written over, and opening them."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

from fixbook.cli.session import Session
from fixbook.cli.words import UsageError
from fixbook.errors import what_to_do
from fixbook.render.clean import clean_line

PAPERS = {"a4": "A4", "letter": "letter"}
BEGINS = {"--html": b'content="fixbook"', "--pdf": b"%PDF-"}
"""What a file that may be written over has near its beginning."""
NEAR = 4096


def deliver(session: Session, given: argparse.Namespace, make: Callable[[str], str]) -> int:
    """Write the page that `make` gives for a size of paper, as HTML, as PDF or as both."""
    written: dict[str, str] = {}
    targets = [(option, _target(option, file)) for option, file in _wanted(given)]
    for option, path in targets:
        if option == "--html":
            data = make(PAPERS[given.paper] if given.paper else "").encode("utf-8", "replace")
        else:
            from fixbook.app.printing_pdf import pdf_of

            data = pdf_of(make(PAPERS[given.paper or "a4"]))
        _write(option, path, data)
        written[option.removeprefix("--")] = str(path.absolute())
    if given.json:
        session.write_json(written)
    else:
        session.write([[("plain", clean_line(f"wrote {path}"))] for _, path in targets])
    if given.open:
        open_page(session, targets[0][1])
    return 0


def _wanted(given: argparse.Namespace) -> list[tuple[str, str]]:
    """Give each option that names a file, with the file."""
    wanted = [(name, file) for name, file in (("--html", given.html), ("--pdf", given.pdf)) if file]
    if not wanted:
        raise UsageError(
            "there is no file to open or to print",
            input="--open" if given.open else "--paper",
            hint="name one: --html FILE",
        )
    return wanted


def _target(option: str, file: str) -> Path:
    """Give the path to write to; UsageError where what stands there is not ours to replace."""
    path = Path(file).expanduser()
    try:
        if path.is_dir():
            why, hint = (
                f"{path} is a folder",
                f"name a file in it: {path / 'sheet'}{_ending(option)}",
            )
        elif not path.parent.is_dir():
            why, hint = f"there is no folder {path.parent}", "make it first, or name another file"
        elif path.exists() and not _replaceable(option, path):
            why = f"{path} is there already, and fixbook did not make it"
            hint = "it was left as it is; name another file, or remove it first"
        else:
            return path
    except (OSError, ValueError) as error:
        why, hint = f"{file!r} cannot be used: {error}", "name another file"
    raise UsageError(why, input=option, read=file, hint=hint)


def _ending(option: str) -> str:
    return f".{option.removeprefix('--')}"


def _replaceable(option: str, path: Path) -> bool:
    with path.open("rb") as file:
        begin = file.read(NEAR)
    return not begin or BEGINS[option] in begin


def _write(option: str, path: Path, data: bytes) -> None:
    from fixbook.store.writing import write_bytes

    try:
        write_bytes(path, data)
    except OSError as error:
        why = f"{path} cannot be written: {error.strerror or error}"
        hint = what_to_do(error, "name another file")
        raise UsageError(why, input=option, read=str(path), hint=hint) from error


def open_page(session: Session, path: Path) -> None:
    """Open a page in the browser that the system would take; words where there is none."""
    import webbrowser

    if not webbrowser.open(path.absolute().as_uri()):
        words = f"nothing here opens pages by itself; open {path.absolute()} in a browser"
        session.write([[("doubt", clean_line(words))]])
