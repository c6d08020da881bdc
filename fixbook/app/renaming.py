"""Giving a write-up another id, and withdrawing one. Both can be broken off and done again.

A rename goes so: the file says its new id, with the old one as an alias; the file gets its new
name; links are mended file by file; plugins follow. Broken off anywhere, every link leads
somewhere, and the same command goes on where it stopped.
"""

from __future__ import annotations

import contextlib
import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from fixbook.app.bench import LibraryBench
from fixbook.app.library import Filed
from fixbook.app.writing import Desk, today
from fixbook.core.front_text import add_item, set_field
from fixbook.core.links import ENTRY_SCHEMES, links_in, read_link
from fixbook.core.raw import Fields, Items, Text
from fixbook.core.schema import id_fault
from fixbook.errors import BookError, QueryError, what_to_do
from fixbook.store.document import compose, read_document
from fixbook.store.snapshot import take_snapshot

POINTING = ("also", "see")


@dataclass(frozen=True, slots=True)
class Renamed:
    """What a rename did."""

    file: str
    mended: tuple[str, ...]
    """The files whose links were mended."""


def rename(desk: Desk, old: str, new: str) -> Renamed:
    """Give a write-up of the shop's own another id; every link follows, the old id stays an alias.

    QueryError for an id that cannot be; BookError where a file changed or cannot be written.
    """
    if fault := id_fault(new):
        raise QueryError(fault, input="NEW", read=new, hint="give it another id")
    filed = desk.own_entry(old)
    begun = filed.entry.id == new and old in filed.entry.aliases
    if not begun and (taken := desk.library.find(new)):
        raise QueryError(
            f"{new!r} is the id of {taken.file}", input="NEW", read=new, hint="give another id"
        )
    former = old if begun else filed.entry.id
    if former in desk.drafts.names():
        raise BookError(
            f"there is a draft of {former}", input="OLD", read=old,
            hint=f"finish it first: 'fixbook write {former}'",
        )  # fmt: skip
    path = filed.shelf.root / filed.path
    _change(path, lambda front_text, front: _with_id(front_text, front, former, new))
    moved = path.with_name(f"{new}.md")
    _move(path, moved)
    _drop_second_name(path.with_name(f"{former}.md"), moved)
    desk.library.look_again()
    mended = tuple(_mend_links(desk, former, new))
    registry = desk.library.registry
    registry.call("fixbook_renamed", bench=LibraryBench(desk.library), old=former, new=new)
    folder = filed.path.rpartition("/")[0]
    return Renamed("/".join(one for one in (desk.shelf.shown, folder, moved.name) if one), mended)


def withdraw(desk: Desk, id: str, by: str = "") -> Filed:
    """Withdraw a write-up: it stays findable and says what replaced it.

    UnknownEntryError where one of the two is unknown; QueryError where they are the same.
    """
    filed = desk.own_entry(id)
    if by:
        replacement = LibraryBench(desk.library).entry(by)
        if replacement.id == filed.entry.id:
            raise QueryError(f"{id} cannot be replaced by itself", input="--by", read=by)
        by = replacement.id

    def withdrawn(front_text: str, front: Fields) -> str | None:
        values = {"state": "withdrawn", "replaced-by": by, "revised": today()}
        for name, value in values.items():
            if value or name in front.fields:
                changed = set_field(front_text, front, name, value or None)
                again = None if changed is None else compose(changed, "", first_line=2)[0]
                if changed is None or again is None:
                    return None
                front_text, front = changed, again
        return front_text

    _change(filed.shelf.root / filed.path, withdrawn)
    desk.library.look_again()
    return desk.own_entry(id)


def _with_id(front_text: str, front: Fields, old: str, new: str) -> str | None:
    """Say the new id, and the old one as an alias."""
    id = front.fields.get("id")
    if isinstance(id, Text) and id.text == new:
        return front_text
    changed = set_field(front_text, front, "id", new)
    again = None if changed is None else compose(changed, "", first_line=2)[0]
    if changed is None or again is None:
        return None
    aliases = again.fields.get("aliases")
    held = {one.text for one in aliases.items if isinstance(one, Text)} if (
        isinstance(aliases, Items)) else set()  # fmt: skip
    return changed if old in held else add_item(changed, again, "aliases", old)


def _change(path: Path, change: Callable[[str, Fields], str | None]) -> bool:
    """Change the front matter of a file; say whether anything changed. What cannot be read again
    as it should be is never written.
    """
    before = take_snapshot(path)
    document = read_document(before.text, str(path))
    after = change(document.front_text, document.front) if document.front else None
    good = after is not None and not compose(after, "", first_line=2)[1]
    if after is None or not good:
        raise BookError(
            f"the front matter of {path} cannot be changed safely",
            input=str(path),
            hint="put each field on a line of its own, and try again; nothing was written",
        )
    return _write(path, before.text, before.text.replace(document.front_text, after, 1))


def _write(path: Path, old: str, new: str) -> bool:
    if new == old:
        return False
    newline = "\r\n" if "\r\n" in old and "\n" not in old.replace("\r\n", "") else "\n"
    if newline == "\r\n":
        new = new.replace("\r\n", "\n").replace("\n", "\r\n")
    snapshot = take_snapshot(path)
    if snapshot.text != old:
        raise BookError(f"{path} changed meanwhile", input=str(path), hint="try again")
    try:
        snapshot.write(new)
    except OSError as error:
        raise BookError(
            f"{path} cannot be written: {error.strerror or error}", input=str(path),
            hint="it is as it was; "
            + what_to_do(error, "look at its permissions, and do the same again"),
        ) from error  # fmt: skip
    return True


def _move(old: Path, new: Path) -> None:
    """Give a file its new name, never over another file."""
    if old == new:
        return
    try:
        if new.exists() or new.is_symlink():
            if not old.samefile(new):
                raise BookError(
                    f"{new} is there already", input="NEW", read=str(new),
                    hint="move it away, and do the same again",
                )  # fmt: skip
            old.unlink()  # broken off between the two steps below
            return
        if os.link not in os.supports_follow_symlinks:
            os.rename(old, new)
            return
        try:
            os.link(old, new, follow_symlinks=False)
        except OSError:  # a disk without a second name for one file
            os.rename(old, new)
        else:
            old.unlink()
    except OSError as error:
        raise BookError(
            f"{old} cannot be renamed to {new.name}: {error.strerror or error}",
            input=str(old),
            hint=what_to_do(error, "look at the folder's permissions, and do the same again"),
        ) from error


def _drop_second_name(old: Path, new: Path) -> None:
    """Take away the old name that a rename, broken off, left beside the new one."""
    with contextlib.suppress(OSError):
        if old != new and old.samefile(new):
            old.unlink()


def _mend_links(desk: Desk, old: str, new: str) -> list[str]:
    mended = []
    for path in desk.library.listings[desk.shelf.name].entries:
        file = desk.shelf.root / path
        try:
            before = take_snapshot(file)
        except BookError:
            continue  # proofing says what is wrong with it
        if old in before.text and _write(file, before.text, with_links(before.text, old, new)):
            mended.append(f"{desk.shelf.shown}/{path}")
    return mended


def with_links(text: str, old: str, new: str) -> str:
    """Give a write-up's text with its links and references to one id leading to another."""
    document = read_document(text, "")
    body = _with_body_links(document.body, old, new)
    front_text = document.front_text
    if document.front is not None:
        page_fields = [document.front.fields.get("replaced-by")]
        for name in POINTING:
            found = document.front.fields.get(name)
            page_fields += list(found.items) if isinstance(found, Items) else []
        places = [one for one in page_fields if isinstance(one, Text) and one.text.strip() == old]
        front_text = _with_texts(front_text, places, old, new)
    head = text[: len(text) - len(document.body)] if document.body else text
    if document.front_text:
        head = head.replace(document.front_text, front_text, 1)
    return head + body


def _with_texts(front_text: str, places: list[Text], old: str, new: str) -> str:
    lines = front_text.split("\n")
    for at in sorted(places, key=lambda one: (one.line, one.column), reverse=True):
        line = lines[at.line - 2]
        begin = line.find(old, at.column - 1)
        if begin >= 0:
            lines[at.line - 2] = line[:begin] + new + line[begin + len(old) :]
    return "\n".join(lines)


def _with_body_links(body: str, old: str, new: str) -> str:
    lines = body.split("\n")
    for number, column, picture, _, target in reversed(list(links_in(body))):
        link = read_link(target)
        if picture or link.scheme not in ENTRY_SCHEMES or link.name != old:
            continue
        line = lines[number - 1]
        at = line.find(target, line.find("](", column - 1))
        scheme, _, rest = target.partition(":")
        mended = f"{scheme}:{rest.replace(old, new, 1)}"
        lines[number - 1] = line[:at] + mended + line[at + len(target) :]
    return "\n".join(lines)
