"""Adding what was learnt to a write-up that is there already, instead of writing a second one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from fixbook.app.writing import Desk, today
from fixbook.core.draft import Draft
from fixbook.core.front_emit import Plain
from fixbook.core.front_text import set_field
from fixbook.core.prose import prose_lines
from fixbook.core.raw import Fields, Items, Raw, Text
from fixbook.errors import BookError
from fixbook.store.document import compose, join, read_document

LISTS = ("models", "hazards", "tools", "targets", "parts")
HEADINGS = {"seen": "It showed so", "found": "Found", "done": "Done", "proved": "Proved by"}


def extend(desk: Desk, id: str, draft: Draft) -> str:
    """Make a draft of a write-up with the answers added to it; its key.

    A starter write-up becomes one of the shop's own under its id, which then holds.
    """
    key = _opened(desk, id)
    text = desk.drafts.text(key) or ""
    document = read_document(text, key)
    if document.front is None:
        raise BookError(f"{id} cannot be extended: it has no usable front matter", input="ID")
    front_text, front = document.front_text, document.front
    for name in ("signs", *LISTS):
        added = _added(front.fields.get(name), draft.front.get(name))
        changed = set_field(front_text, front, name, added) if added is not None else None
        again = compose(changed, "", first_line=2)[0] if changed is not None else None
        if changed is not None and again is not None:
            front_text, front = changed, again
    added = _seen(draft, list(_otherwise(document.front, draft)))
    desk.drafts.keep_text(key, join(front_text, document.body.rstrip("\n") + "\n" + added))
    return key


def _otherwise(front: Fields, draft: Draft) -> Iterator[str]:
    """Give the answers that the write-up holds another answer to, as texts: none is lost."""
    for name, said in draft.front.items():
        held = front.fields.get(name)
        old = _plain(held) if held is not None else None
        if name in ("id", "kind", "state", "revised") or said in (None, "", []):
            continue
        if isinstance(said, Mapping) and isinstance(old, Mapping):
            more = [f"{key} {_shown(one)}" for key, one in said.items()
                    if key in old and _shown(old[key]) != _shown(one)]  # fmt: skip
        elif isinstance(said, (list, tuple)) and isinstance(old, (list, tuple)):
            rows = {_name(row): _shown(row) for row in old}
            more = [_shown(one) for one in said if rows.get(_name(one), _shown(one)) != _shown(one)]
            more += [] if name in LISTS else [_shown(one) for one in said if _name(one) not in rows]
        elif name in ("signs", *LISTS) and old in (None, ""):
            more = []  # the whole of it was taken over
        else:
            same = " ".join(_shown(said).split()) == " ".join(_shown(old).split())
            more = [] if same else [_shown(said)]
        if more:
            yield f"{name}: {', '.join(more)}"


def _shown(value: Plain) -> str:
    """Give a value of front matter on one line."""
    if isinstance(value, Mapping):
        return "; ".join(_shown(one) for one in value.values())
    if isinstance(value, (list, tuple)):
        return ", ".join(_shown(one) for one in value)
    return str(value or "")


def _opened(desk: Desk, id: str) -> str:
    filed = desk.library.find(id)
    if filed is None or filed.shelf.name == desk.shelf.name:
        return desk.open_entry(id)
    from fixbook.store.drafts import Kept
    from fixbook.store.folder import read_file

    text, _ = read_file(filed.shelf.root, filed.path, shown=filed.shelf.shown)
    desk.drafts.keep(filed.entry.id, Kept())
    desk.drafts.keep_text(filed.entry.id, text)
    return filed.entry.id


def _added(old: Raw | None, new: Plain) -> Plain:
    """Give a field with what is new in it; None where nothing is."""
    if isinstance(new, Mapping):
        held = {name: _plain(value) for name, value in old.fields.items()} if isinstance(
            old, Fields) else {}  # fmt: skip
        more = {name: value for name, value in new.items() if name not in held}
        return {**held, **more} if more else None
    if isinstance(new, (list, tuple)):
        rows = [_plain(one) for one in old.items] if isinstance(old, Items) else []
        names = {_name(row) for row in rows}
        more_rows = [one for one in new if _name(one) not in names]
        return [*rows, *more_rows] if more_rows else None
    return None


def _name(row: Plain) -> str:
    if isinstance(row, Mapping):
        return str(row.get("name") or f"{row.get('at')} {row.get('is')}")
    return str(row)


def _plain(raw: Raw) -> Plain:
    if isinstance(raw, Text):
        return raw.text
    if isinstance(raw, Items):
        return [_plain(one) for one in raw.items]
    return {name: _plain(value) for name, value in raw.fields.items()}


def _seen(draft: Draft, otherwise: Sequence[str]) -> str:
    job = f" in [job {draft.job}](job:{draft.job})" if draft.job else ""
    lines = [f"\n## Seen again, {today()}\n"]
    if job:
        lines.append(f"Seen{job}.\n")
    for name, heading in HEADINGS.items():
        text = draft.texts.get(name, "").strip()
        if text:
            lines.append(prose_lines(f"{heading}: " + "; ".join(text.split("\n"))) + "\n")
    if otherwise:
        lines.append(prose_lines(f"Said otherwise: {'; '.join(otherwise)}") + "\n")
    return "\n".join(lines)
