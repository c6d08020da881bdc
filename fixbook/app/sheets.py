"""Laying an entry out as blocks, in the order in which the work is done.

Cautions, signs, targets, what to have to hand, parts, opening, the body, closing, what plugins
add, links.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fixbook.app.library import Filed, Library
from fixbook.core.bench import Bench
from fixbook.core.entry import Entry, Target, Window, overlap
from fixbook.core.links import ENTRY_SCHEMES, Link, links_in, read_link
from fixbook.core.readings import WORDS
from fixbook.core.sheet import (
    BAD,
    BLOCKS,
    DOUBT,
    Block,
    CautionBlock,
    StepsBlock,
    TableBlock,
    TextBlock,
    block_to_json,
    plain,
)
from fixbook.core.showing import show
from fixbook.core.vocabulary import SEEN, Vocabulary
from fixbook.errors import FixbookError
from fixbook.store.body import sections

UNWRITTEN = "Written from general knowledge, not proven at this bench."


def lay_out(
    library: Library, filed: Filed, bench: Bench, checks: Sequence[str] = (), *, paper: bool = False
) -> list[Block]:
    """Give the whole sheet of an entry; `checks` are readings, `name=reading`, to be judged.

    On paper targets have room for readings, and parts and tools a box to tick.
    QueryError or QuantityError where a reading cannot be judged.
    """
    from fixbook.app.checking import check_on_scale

    entry = filed.entry
    readings = [one for said in checks for one in check_on_scale(entry, said, library.shop)]
    added = library.registry.gather("fixbook_sheet_blocks", BLOCKS, bench=bench, entry=entry)
    plugin_blocks = [block for _, block in added]
    blocks: list[Block] = [
        *_notices(filed),
        *_cautions(entry, library.vocabulary),
        *_signs(entry, library.vocabulary),
        *_targets_and_kit(entry, readings, paper),
        *_opening(entry),
    ]
    for section in sections(entry.body):
        if section.steps:
            blocks.append(StepsBlock(section.heading, section.steps))
        elif paper:
            from fixbook.app.printing_blocks import with_boxes

            blocks += with_boxes(section)
        else:
            blocks.append(TextBlock(section.heading, section.text, markdown=True))
    return [*blocks, *_closing(entry), *plugin_blocks, *_links(library, entry)]


def _targets_and_kit(entry: Entry, readings: Sequence[Block], paper: bool) -> list[Block]:
    if paper:
        from fixbook.app.printing_blocks import kit_on_paper, targets_on_paper

        return [*targets_on_paper(entry), *readings, *kit_on_paper(entry, _parts(entry))]
    return [*_targets(entry), *readings, *_to_hand(entry), *_parts(entry)]


def entry_to_json(filed: Filed, blocks: Iterable[Block]) -> dict[str, object]:
    """Give an entry as `sheet --json` prints it: every field typed, and the blocks."""
    entry = filed.entry
    return {
        "id": entry.id,
        "kind": entry.kind,
        "title": entry.title,
        "unit": entry.unit,
        "section": entry.section,
        "models": list(entry.models),
        "share": entry.share if entry.kind == "fault" else None,
        "signs": plain(entry.signs),
        "lay": list(entry.lay),
        "hazards": list(entry.hazards),
        "skill": entry.skill or None,
        "minutes": entry.minutes,
        "tools": list(entry.tools),
        "supplies": list(entry.supplies),
        "targets": [_target_json(target) for target in entry.targets],
        "parts": [
            {("is" if key == "is_" else key): value for key, value in plain_fields(part).items()}
            for part in entry.parts
        ],
        "opening": plain(entry.opening),
        "also": list(entry.also),
        "see": list(entry.see),
        "sources": list(entry.sources),
        "aliases": list(entry.aliases),
        "state": entry.state,
        "replaced-by": entry.replaced_by or None,
        "revised": entry.revised or None,
        "file": filed.file,
        "replaces_starter": filed.replaces_starter,
        "problems": [problem.to_json() for problem in filed.problems],
        "blocks": [block_to_json(block) for block in blocks],
    }


def _target_json(target: Target) -> dict[str, object]:
    def window(one: Window) -> dict[str, object]:
        return {
            "low": one.low,
            "high": one.high,
            "unit": target.kind.unit,
            "text": one.text,
            "says": one.says or None,
        }

    return {
        "name": target.name,
        "at": target.at,
        "reads": target.reads,
        "unit": target.kind.unit,
        "windows": [window(one) for one in target.windows],
        "for": list(target.models),
        "note": target.note or None,
        "step": window(target.step) if target.step else None,
    }


def plain_fields(value: object) -> dict[str, object]:
    """Give a dataclass's fields as plain values."""
    found = plain(value)
    return found if isinstance(found, dict) else {}


def window_text(target: Target, window: Window) -> str:
    """Write a window as a person reads it: its own words where it was typed, else the figures."""
    low, _, high = (end.strip(" .") for end in window.text.partition(".."))
    if not window.text or (window.low is not None and window.high is not None and not low):
        low = show(window.low, target.kind) if window.low is not None else ""
        high = show(window.high, target.kind) if window.high is not None else ""
    elif ".." not in window.text:
        return window.text
    if not low or not high:
        return f"at most {high}" if high else f"at least {low}"
    return f"{low} to {high}"


def _notices(filed: Filed) -> list[Block]:
    entry, blocks = filed.entry, []
    if entry.state == "withdrawn":
        after = f" Use {entry.replaced_by} instead." if entry.replaced_by else ""
        blocks.append(TextBlock("", f"This write-up is withdrawn.{after}", weight=BAD))
    if entry.state == "written":
        blocks.append(TextBlock("", UNWRITTEN, weight=DOUBT))
    if filed.replaces_starter:
        blocks.append(TextBlock("", "This is your own write-up; it replaces the starter book's."))
    if filed.problems:
        some = f"{len(filed.problems)} fault{'s' if len(filed.problems) > 1 else ''}"
        text = f"This file has {some}; what is wrong is left out. See 'fixbook proof {filed.file}'."
        blocks.append(TextBlock("", text, weight=BAD))
    return list(blocks)


def _cautions(entry: Entry, vocabulary: Vocabulary) -> list[Block]:
    blocks: list[Block] = []
    for name in entry.hazards:
        hazard = vocabulary.hazards.get(name)
        if hazard:
            blocks.append(CautionBlock(name, hazard.short.strip(), hazard.full.strip()))
        else:  # a hazard nobody defined is still a hazard
            text = f"Danger: {name}. The vocabulary says nothing more about it; find out first."
            blocks.append(CautionBlock(name, text, text))
    return blocks


def _signs(entry: Entry, vocabulary: Vocabulary) -> list[Block]:
    rows = []
    for name, answers in entry.signs.items():
        sign = vocabulary.signs.get(name)
        said = [
            often if answer == SEEN else f"{answer.replace('-', ' ')}: {often}"
            for answer, often in answers.items()
        ]
        rows.append((sign.ask if sign else name, ", ".join(said)))
    return [TableBlock("Signs", ("sign", "with this fault"), tuple(rows))] if rows else []


def _targets(entry: Entry) -> list[Block]:
    rows = []
    for target in entry.targets:
        reads = WORDS[target.reads]
        name = target.name if reads.split(",")[0] in target.name else f"{target.name} ({reads})"
        if target.models:
            name += f" [{', '.join(target.models)}]"
        for place, window in enumerate(target.windows or (None,)):
            said = window_text(target, window) if window else "see the note"
            said += f" ({window.says})" if window and window.says else ""
            rows.append((name if not place else "", target.at if not place else "", said))
        if len(target.windows) > 1:
            both = overlap(target.windows)
            agree = f"all agree: {window_text(target, both)}" if both else "they do not overlap"
            rows.append(("", "", agree))
        if target.step:
            rows.append(("", "", f"in steps of {window_text(target, target.step)}"))
        if target.note:
            rows.append(("", target.note, ""))
    columns = ("target", "between which points, and when", "window")
    return [TableBlock("Targets", columns, tuple(rows))] if rows else []


def _to_hand(entry: Entry) -> list[Block]:
    lines = []
    if entry.tools or entry.supplies:
        lines.append("Have to hand: " + ", ".join((*entry.tools, *entry.supplies)) + ".")
    work = [entry.skill.replace("-", " ") if entry.skill else ""]
    work.append(f"about {entry.minutes} minutes" if entry.minutes else "")
    if any(work):
        lines.append("Work: " + ", ".join(word for word in work if word) + ".")
    return [TextBlock("", "\n".join(lines))] if lines else []


def _parts(entry: Entry) -> list[TableBlock]:
    rows = []
    for part in entry.parts:
        more = [
            part.volts, part.temperature,
            part.esr and f"ESR {part.esr}", part.ripple and f"ripple {part.ripple}",
            part.body and f"body {part.body}",
            part.instead and f"or {', or '.join(part.instead)}",
        ]  # fmt: skip
        details = "; ".join(str(one) for one in (part.value, *more) if one)
        rows.append((part.at, str(part.count), part.is_, details))
    return [TableBlock("Parts", ("at", "count", "what", "value"), tuple(rows))] if rows else []


def _opening(entry: Entry) -> list[Block]:
    steps = tuple(
        step.do + (f" [{step.fasteners}]" if step.fasteners else "") for step in entry.opening
    )
    return [StepsBlock("Opening", steps)] if steps else []


def _closing(entry: Entry) -> list[Block]:
    if not entry.opening:
        return []
    steps = tuple(
        f"undo: {step.do}" + (f" [all back: {step.fasteners}]" if step.fasteners else "")
        for step in reversed(entry.opening)
    )
    return [StepsBlock("Closing", steps, note="The opening backwards. No fastener is left over.")]


def _links(library: Library, entry: Entry) -> list[Block]:
    rows: dict[tuple[str, str], tuple[str, str, str]] = {}
    for word, ids in (("worth doing while it is open", entry.also), ("see", entry.see)):
        for id in ids:
            rows[(id, "")] = (word, *_entry_row(library, id))
    for _, _, picture, words, target in links_in(entry.body):
        link = read_link(target)
        if picture or not link.scheme or (link.name, "") in rows:
            continue
        if link.scheme in ENTRY_SCHEMES:
            rows[(link.name, "")] = (link.scheme, *_entry_row(library, link.name))
        else:
            rows[(link.name, target)] = (link.scheme, words, _resolve(library, link))
    for source in entry.sources:
        rows[(source, "source")] = ("source", source, "")
    table = [(command or "", f"{word}: {what}") for word, what, command in rows.values()]
    return [TableBlock("Links", ("type", "for"), tuple(table))] if rows else []


def _entry_row(library: Library, id: str) -> tuple[str, str]:
    found = library.find(id)
    if found is None:
        return id, "not in this book"
    return found.entry.title, f"fixbook sheet {found.entry.id}"


def _resolve(library: Library, link: Link) -> str:
    schemes = library.link_schemes()
    if link.scheme not in schemes:
        return f"nothing here opens {link.scheme}: links"
    try:
        return schemes[link.scheme](link).command
    except FixbookError as error:
        return error.why
