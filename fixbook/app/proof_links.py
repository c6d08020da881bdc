"""Proof rules about what a write-up points at: other write-ups, calculators, jobs, pictures."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from fixbook.app.reading_files import Copy
from fixbook.core.links import ENTRY_SCHEMES, links_in, read_link
from fixbook.core.page import Page
from fixbook.core.problems import Problem, did_you_mean
from fixbook.store.folder import PICTURES

LARGEST_PICTURE = 1024 * 1024
"""The most bytes that a picture may have: a book is copied, printed and kept under version
control, and a line drawing has a hundredth of this."""
LINK, PICTURE = "link", "picture"


def link_faults(
    copy: Copy, page: Page, known: Collection[str], schemes: Collection[str]
) -> Iterator[Problem]:
    """Report links to nothing, and pictures that cannot be shown."""
    yield from _named(page, known)
    entry = page.entry
    for line, column, picture, _, target in links_in(entry.body):
        link = read_link(target)
        if picture or not link.scheme:
            if not target.startswith("#"):
                yield from _picture(copy, page, line, column, target)
        elif link.scheme in ENTRY_SCHEMES:
            if link.name not in known:
                what, do = _nowhere(target, link.name, known)
                yield page.body_fault(LINK, what, do, line, column)
        elif link.scheme not in schemes:
            whole = (*ENTRY_SCHEMES, *schemes)
            do = did_you_mean(link.scheme, whole, otherwise=f"use {', '.join(whole)}")
            yield page.body_fault(LINK, f"nothing opens the link {target!r}", do, line, column)


def _named(page: Page, known: Collection[str]) -> Iterator[Problem]:
    entry = page.entry
    for field, ids in (("also", entry.also), ("see", entry.see)):
        for id in ids:
            if id not in known:
                yield page.fault(
                    LINK, *_nowhere(f"{field}: {id}", id, known), field, page.item(field, id)
                )
    if entry.replaced_by and entry.replaced_by not in known:
        what = f"replaced-by: {entry.replaced_by}"
        yield page.fault(LINK, *_nowhere(what, entry.replaced_by, known), "replaced-by")


def _nowhere(what: str, id: str, known: Collection[str]) -> tuple[str, str]:
    do = did_you_mean(id, known, otherwise="mend the id, or write the missing write-up")
    return f"{what} leads nowhere", do


def _picture(copy: Copy, page: Page, line: int, column: int, target: str) -> Iterator[Problem]:
    if copy.filed is None:
        return
    root = copy.filed.shelf.root.resolve()
    try:
        file = ((root / copy.filed.path).parent / read_link(target).name).resolve()
        size = file.stat().st_size if file.is_file() else None
    except (OSError, ValueError):  # a name that no file can have
        file, size = root, None
    if not file.is_relative_to(root / PICTURES) and file != root:
        what, do = "leads out of the book's pictures", "put the picture under entries/pictures/"
    elif size is None:
        what, do = "is not there", "mend its name, or add the picture"
    elif size > LARGEST_PICTURE:
        what = f"has {size:,} bytes"
        do = f"at most {LARGEST_PICTURE:,} are good; draw it as SVG, or make it smaller"
    else:
        return
    yield page.body_fault(PICTURE, f"the picture {target!r} {what}", do, line, column)
