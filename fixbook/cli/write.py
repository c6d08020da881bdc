"""`fixbook write`: from what was just learnt to a write-up that the next search finds."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from fixbook.app.writing import Desk, Settled
from fixbook.app.writing_begun import Near, customer_words, from_entry, from_job, laid_over, nearest
from fixbook.app.writing_form import questions
from fixbook.app.writing_hints import draft_entry, suggested_id
from fixbook.cli.session import Session
from fixbook.cli.words import Parser, UsageError, add_book, new_parser, parse
from fixbook.cli.write_answers import answered, read_json
from fixbook.cli.write_saying import say, settled_json, show_difference, tell
from fixbook.core.draft import Draft, draft_from_json
from fixbook.core.proof_hazards import implied_hazards
from fixbook.errors import QueryError
from fixbook.render.clean import clean_line
from fixbook.store.snapshot import ChangedError

EXAMPLES = """\
examples:
  fixbook write                          asks, opens your editor, files what you wrote
  fixbook write --from-job 2041          begins with what the job knows
  fixbook write --like amp-dc-offset     begins from a write-up like it
  fixbook write amp-no-bass              changes a write-up, or goes on with a draft
  fixbook write amp-no-bass --unit power-amplifier --title 'No bass' --sign 'bass-weak: always'
  fixbook write --from notes.json        the same from a file of fields; - reads from a pipe
  fixbook write --rename amp-no-bas amp-no-bass
  fixbook write --withdraw amp-thin --by amp-no-bass
  fixbook write --drafts                 what is begun and not yet filed

'fixbook proof --words signs' lists the signs; units, hazards and skills alike.

A write-up is filed although something is missing in it; that is said, and may be mended later.
It stays a draft while it cannot be read, has no id, title or unit, or while a caution could be
wrong: nobody has said what can hurt, a hazard is unknown, or one that the text implies is missing.
"""
FLAGS = {
    "unit": "what kind of unit it is about", "title": "one line that names the fault",
    "section": "the part of the unit", "models": "models it is about, with commas",
    "hazards": "what can hurt, with commas", "tools": "with commas",
    "skill": "what the work asks for", "minutes": "how long it takes",
    "signs": "a sign and how often, as in 'bass-weak: always'; may be repeated",
    "targets": "what to read; where and how; from .. to; may be repeated",
    "parts": "a part; its value; where; may be repeated", "done": "one step; may be repeated",
    "found": "why it happens", "proved": "how the repair was proved",
}  # fmt: skip
"""The questions that can be answered on the command line, and what is to be said."""


def run(words: Sequence[str], session: Session) -> int:
    """Write, rename or withdraw; 0 where it is filed, 1 where it is kept as a draft."""
    given = parse(_parser(), words)
    _refuse_lost(given)
    session.book = given.book or session.book
    desk = Desk(session.library)
    if given.rename:
        return _rename(given, session, desk)
    if given.withdraw:
        return _withdraw(given, session, desk)
    if given.drafts:
        return _list_drafts(given, session, desk)
    if _answered(given) or given.source:
        return _write_unasked(given, session, desk)
    return _write_asking(given, session, desk)


def _parser() -> Parser:
    parser = new_parser("write", "Write up what was learnt, so that the next search finds it.",
                        EXAMPLES)  # fmt: skip
    parser.add_argument("id", nargs="?", metavar="ID", help="a new id, a write-up, or a draft")
    parser.add_argument("--from-job", metavar="N", help="begin with what a past job knows")
    parser.add_argument("--like", metavar="ID", help="begin from a write-up like it")
    parser.add_argument("--from", dest="source", metavar="FILE", help="JSON fields; - for a pipe")
    parser.add_argument(
        "--no-editor", action="store_true", help="file it without opening an editor"
    )
    parser.add_argument("--rename", nargs=2, metavar=("OLD", "NEW"), help="give it another id")
    parser.add_argument("--withdraw", metavar="ID", help="keep it findable, and say not to use it")
    parser.add_argument("--by", metavar="ID", default="", help="for --withdraw: what replaces it")
    parser.add_argument("--drafts", action="store_true", help="list what is not yet filed")
    parser.add_argument("--discard", action="store_true", help="throw the draft ID away")
    add_book(parser)
    group = parser.add_argument_group("answers, so that nothing is asked")
    seen = "how it shows, in the customer's words"
    group.add_argument("--seen", metavar="TEXT", action="append", help=seen)
    names = {"signs": "sign", "targets": "target", "parts": "part", "done": "step"}
    for name, what in FLAGS.items():
        option = f"--{names.get(name, name)}"
        group.add_argument(option, dest=name, metavar="TEXT", action="append", help=what)
    return parser


def _answered(given: argparse.Namespace) -> bool:
    return any(getattr(given, name) for name in (*FLAGS, "seen"))


def _refuse_lost(given: argparse.Namespace) -> None:
    """Raise UsageError where something that was typed would do nothing."""
    alone = {
        "--rename": given.rename, "--withdraw": given.withdraw, "--drafts": given.drafts,
        "--discard": given.discard,
    }  # fmt: skip
    named = next((name for name, said in alone.items() if said), "")
    if named and (_answered(given) or given.source or given.like or given.from_job):
        raise UsageError(f"{named} goes with no answers; give those in a command of their own",
                         input=named)  # fmt: skip
    if named and named != "--discard" and given.id:
        raise UsageError(f"{named} takes no ID {given.id!r} beside it", input="ID", read=given.id)
    if given.by and not given.withdraw:
        raise UsageError("--by says what replaces a write-up that --withdraw names", input="--by")


def _begin(given: argparse.Namespace, session: Session) -> tuple[Draft, tuple[str, ...]]:
    """Give what the draft begins with, and the write-ups that its job is linked to."""
    draft = Draft()
    linked: tuple[str, ...] = ()
    if given.like:
        draft = from_entry(session.library, given.like)
    if given.from_job:
        job, linked = from_job(session.library, given.from_job)
        draft = laid_over(draft, job)
    return draft, linked


def _write_unasked(given: argparse.Namespace, session: Session, desk: Desk) -> int:
    """Write from a file or from options."""
    draft, _ = _begin(given, session)
    if given.id and given.id in desk.drafts.names():
        draft = laid_over(desk.answers(given.id), draft)
    if given.source:
        draft = laid_over(draft, draft_from_json(read_json(given.source)))
    draft = answered(draft, given, questions(session.library))
    if "hazards" not in draft.front and (implied := implied_hazards(draft_entry(draft))):
        draft = draft.with_field("hazards", list(implied))
    id = given.id or draft.text("id") or suggested_id(session.library, draft, desk.drafts.names())
    near = nearest(session.library, draft)
    key = desk.lay_out(id, draft, id)
    return _settle(key, draft, session, desk, given, near)


def _write_asking(given: argparse.Namespace, session: Session, desk: Desk) -> int:
    """Write with questions, or change what is there."""
    from fixbook.cli.writing import ask_all, ask_id, choose_near, edit

    key = given.id or ""
    if given.discard:
        if key not in desk.drafts.names():
            raise QueryError(f"there is no draft {key!r}", input="ID", read=key)
        desk.drafts.remove(key)
        say(session, given, {"discarded": key}, f"thrown away: the draft {key}")
        return 0
    laid_out = key in desk.drafts.names() and desk.drafts.text(key) is not None
    if key and (laid_out or session.library.find(key)) and not (given.like or given.from_job):
        key = desk.open_entry(key)
        show_difference(session, desk.catch_up(key))
        return _settle(key, Draft(), session, desk, given, (), edit=edit)
    if not session.can_ask:
        raise UsageError(
            "there is no terminal to ask on", input="arguments",
            hint="say --unit, --title, --seen and so on, or --from FILE; see 'fixbook write --help'",
        )  # fmt: skip
    begun = key in desk.drafts.names()
    if key and not begun and (fault := desk.id_fault(key)):
        raise QueryError(fault, input="ID", read=key)
    if not key:
        _mention_drafts(session, desk)
    draft, linked = _begin(given, session)
    if begun:
        draft = laid_over(draft, draft_from_json(desk.drafts.kept(key).answers))
    key = key or desk.new_key()
    try:
        draft = ask_all(questions(session.library), draft, session, desk, key)
        chosen = choose_near(nearest(session.library, draft), linked, session)
        if chosen:
            from fixbook.app.writing_extended import extend

            opened = extend(desk, chosen, draft)
            desk.drafts.remove(key)
            return _settle(opened, draft, session, desk, given, (), edit=edit)
        wanted = given.id if given.id and not desk.is_stand_in(given.id) else ""
        wanted = wanted or suggested_id(session.library, draft, desk.drafts.names())
        id = ask_id(wanted, desk, session)
    except (EOFError, KeyboardInterrupt):
        return _kept_as_draft(key, session)
    key = desk.lay_out(key, draft, id)
    return _settle(key, draft, session, desk, given, (), edit=edit)


def _settle(
    key: str,
    draft: Draft,
    session: Session,
    desk: Desk,
    given: argparse.Namespace,
    near: Sequence[Near],
    *,
    edit: object = None,
) -> int:
    """Open the editor where there is somebody to use it, then file the draft and say so."""
    if callable(edit) and not given.no_editor:
        edit(desk.drafts.path(key), session)
    try:
        done = desk.settle(key)
    except ChangedError:
        if not given.json:
            show_difference(session, desk.difference(key))
        raise
    found = _found_under(done, draft, session) if done.filed else {}
    if given.json:
        session.write_json(settled_json(done, found, near))
    else:
        tell(done, found, near, session)
    return 0 if done.filed else 1


def _found_under(done: Settled, draft: Draft, session: Session) -> dict[str, object]:
    """Bring the index up to date, and look for the write-up as a customer would."""
    from fixbook.app.finding import find
    from fixbook.app.indexing import BookIndex

    entry = done.entry
    if entry is None:
        return {}
    session.library.look_again()
    seen = draft.texts.get("seen", "")
    words = customer_words(session.library, entry.signs, entry.title, seen)
    hits = find(session.library, BookIndex(session.library), words, {}, limit=10).hits
    place = next((n for n, hit in enumerate(hits, 1) if hit.shown.get("id") == entry.id), 0)
    return {"words": words, "place": place}


def _kept_as_draft(key: str, session: Session) -> int:
    session.write([[("plain", f"kept as a draft: 'fixbook write {key}' goes on")]])
    return 1


def _rename(given: argparse.Namespace, session: Session, desk: Desk) -> int:
    from fixbook.app.indexing import BookIndex
    from fixbook.app.renaming import rename

    old, new = given.rename
    done = rename(desk, old, new)
    session.library.look_again()
    BookIndex(session.library).refresh()
    links = f"; links mended in {', '.join(done.mended)}" if done.mended else ""
    say(session, given, {"file": done.file, "mended": list(done.mended)},
         f"renamed: {done.file}; {old} still leads there{links}")  # fmt: skip
    return 0


def _withdraw(given: argparse.Namespace, session: Session, desk: Desk) -> int:
    from fixbook.app.indexing import BookIndex
    from fixbook.app.renaming import withdraw

    filed = withdraw(desk, given.withdraw, given.by)
    BookIndex(session.library).refresh()
    by = f"; {filed.entry.replaced_by} replaces it" if filed.entry.replaced_by else ""
    say(session, given, {"file": filed.file, "replaced_by": filed.entry.replaced_by or None},
         f"withdrawn: {filed.file}{by}; it is still found")  # fmt: skip
    return 0


def _mention_drafts(session: Session, desk: Desk) -> None:
    keys = desk.drafts.names()
    if keys:
        more = f" and {len(keys) - 3} more" if len(keys) > 3 else ""
        said = f"drafts: {', '.join(keys[:3])}{more}; 'fixbook write {keys[0]}' goes on with one"
        session.write([[("quiet", clean_line(said))]])


def _list_drafts(given: argparse.Namespace, session: Session, desk: Desk) -> int:
    keys = desk.drafts.names()
    titles = {key: str(desk.drafts.kept(key).answers.get("title", "")) for key in keys}
    if given.json:
        session.write_json({"drafts": [{"key": key, "title": titles[key]} for key in keys]})
    else:
        lines = [f"{key}  {titles[key]}".rstrip() for key in keys] or ["no drafts"]
        session.write([[("plain", clean_line(line))] for line in lines])
    return 0
