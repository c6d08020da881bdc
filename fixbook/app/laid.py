"""Sheets as they were laid out, kept in the cache.

A sheet rests on its entry, those it links to, the vocabulary, the shop, every plugin and the
files they watch, and on the day. All of that is in one stamp: where any of it changed, the sheet
is laid out anew.
"""

from __future__ import annotations

import hashlib
import time
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fixbook.app.kept import keep, read_kept
from fixbook.core.sheet import Block, block_from_json, block_to_json

if TYPE_CHECKING:
    from pathlib import Path

    from fixbook.app.library import Filed, Library
    from fixbook.core.bench import Bench

FOLDER = "sheets"
WATCHED = "extras.json"
GRAIN_NS = 2_000_000_000
"""A file changed within this time of being looked at may change again under the same stamp."""


@dataclass(frozen=True, slots=True)
class Laid:
    """A sheet ready to be rendered."""

    title: str
    under: tuple[str, ...]
    """What stands under the title: id, unit, section, date of revision."""
    hazards: tuple[str, ...]
    blocks: tuple[Block, ...]


def laid_sheet(library: Library, id: str, bench: Bench) -> Laid | None:
    """Give the sheet of an entry, from the cache where nothing has changed; None for no entry."""
    path = _place(library, id)
    stamp = _stamp(library) if path else ""
    if path and (kept := _from_kept(read_kept(path), stamp, id)) is not None:
        return kept
    filed = library.find(id)
    if filed is None:
        return None
    laid = lay(library, filed, bench)
    # What a broken plugin left out may be back next time; a file may change again unseen; and
    # until a search has asked the plugins, nobody knows which files they watch.
    known = path is not None and (library.cache / WATCHED).exists()
    if path and known and not library.registry.errors and not _just_changed(library):
        value = {"stamp": stamp, "id": id, "title": laid.title, "under": list(laid.under)}
        blocks = [block_to_json(block) for block in laid.blocks]
        keep(path, {**value, "hazards": list(laid.hazards), "blocks": blocks})
    return laid


def lay(library: Library, filed: Filed, bench: Bench, checks: tuple[str, ...] = ()) -> Laid:
    """Lay a sheet out; `checks` are readings to be judged on it."""
    from fixbook.app.sheets import lay_out

    entry = filed.entry
    revised = f"revised {entry.revised}" if entry.revised else ""
    under = (entry.id, entry.unit, entry.section, revised)
    blocks = lay_out(library, filed, bench, checks)
    return Laid(entry.title, under, entry.hazards, tuple(blocks))


def _place(library: Library, id: str) -> Path | None:
    """Give the file that a sheet is kept in; None without a cache."""
    name = hashlib.sha256(id.encode("utf-8", "backslashreplace")).hexdigest()[:24]
    return library.kept_path(f"{FOLDER}/{name}.json")


def _just_changed(library: Library) -> bool:
    """Say whether a file changed so lately that its stamp may not tell the next change."""
    now = time.time_ns()
    return any(
        abs(now - changed) < GRAIN_NS
        for listing in library.listings.values()
        for files in (listing.entries, listing.vocabulary)
        for _, changed in files.values()
    )


def _from_kept(kept: Mapping[str, object], stamp: str, id: str) -> Laid | None:
    if kept.get("stamp") != stamp or kept.get("id") != id:
        return None
    under, hazards, blocks = kept.get("under"), kept.get("hazards"), kept.get("blocks")
    if not (isinstance(under, list) and isinstance(hazards, list) and isinstance(blocks, list)):
        return None
    try:
        laid = tuple(block_from_json(block) for block in blocks)
    except (ValueError, AttributeError):
        return None
    return Laid(str(kept.get("title")), tuple(map(str, under)), tuple(map(str, hazards)), laid)


def _stamp(library: Library) -> str:
    from fixbook.app.extras import Extras

    files = [
        f"{name}:{path}={stamp}"
        for name, listing in library.listings.items()
        for path, stamp in listing.entries.items()
    ]
    day = time.strftime("%Y-%m-%d")  # figures of past jobs depend on it
    extras = Extras(library)
    extras.look_later()
    watched = extras.state_now
    whole = "\n".join([library.words_stamp, repr(library.shop), day, watched, *files])
    return hashlib.sha256(whole.encode("utf-8", "surrogateescape")).hexdigest()
