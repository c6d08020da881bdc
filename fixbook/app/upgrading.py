"""Bringing a book's folder from the form that an older fixbook gave it to the form of now.

A book says its form in `fixbook.toml`: `format = 2`. One that says nothing has the first form, from
before it was written down. Write-ups are not touched; each step changes the two files that belong
to the folder itself, as texts, and leaves every line that somebody wrote.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from pathlib import Path

from fixbook.app.books import IGNORED
from fixbook.errors import BookError, what_to_do
from fixbook.settings import FILE, FORMAT, read_shop
from fixbook.store.writing import write_text

IGNORE = ".gitignore"
Texts = dict[str, str]
"""The files of a book's folder that have a form, by name."""


def upgrade(folder: Path) -> tuple[int, int]:
    """Bring a book to the form of now; the form it had, and the one it has.

    BookError where it cannot be read or written; it is then as it was. The settings are written
    last, so that an upgrade that was cut short is done again from its beginning.
    """
    shop, problems = read_shop(folder)
    broken = next((one for one in problems if one.problem.startswith("not readable")), None)
    if broken:
        raise BookError(f"{broken}", hint="mend fixbook.toml first", input=FILE)
    before = shop.format
    try:
        texts = {name: _read(folder / name) for name in (IGNORE, FILE)}
        for step in range(before, FORMAT):
            texts = STEPS[step](dict(texts))
        for name, text in texts.items():
            if text != _read(folder / name):
                write_text(folder / name, text)
    except (OSError, UnicodeDecodeError) as error:
        raise BookError(
            f"the book {folder} cannot be brought to format {FORMAT}: {error}",
            hint=f"nothing was lost; {what_to_do(error, 'mend that, and try again')}",
            input=FILE,
        ) from error
    return before, FORMAT


def _read(path: Path) -> str:
    """Give a file's text with its line ends as they are; nothing where there is no file."""
    if not path.exists():
        return ""
    with path.open(encoding="utf-8", newline="") as file:
        return file.read()


def _say_format(texts: Texts) -> Texts:
    """From 1 to 2: the form is written down, and what belongs to one bench stays out of git."""
    texts[FILE] = with_format(texts[FILE], 2)
    there = {line.strip() for line in texts[IGNORE].splitlines()}
    wanted = [line for line in IGNORED.splitlines() if line not in there]
    if any(not line.startswith("#") for line in wanted):
        end = "" if not texts[IGNORE] or texts[IGNORE].endswith("\n") else "\n"
        texts[IGNORE] += end + "\n".join(wanted) + "\n"
    return texts


def with_format(text: str, number: int) -> str:
    """Give settings that say their form, every other line as it was."""
    line = f"format = {number}"
    table = re.search(r"^[ \t]*\[", text, re.MULTILINE)
    end = table.start() if table else len(text)  # behind it the name would be that table's
    top, count = re.subn(
        r"^[ \t]*format[ \t]*=[ \t]*\d+", line, text[:end], count=1, flags=re.MULTILINE
    )
    if count:
        return top + text[end:]
    mark = "\ufeff" if text.startswith("\ufeff") else ""
    ending = "\r\n" if "\r\n" in text else "\n"
    return f"{mark}{line}{ending}{text.removeprefix(mark)}"


STEPS: Mapping[int, Callable[[Texts], Texts]] = {1: _say_format}
"""What leads from each form to the next."""
