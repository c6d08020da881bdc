"""`fixbook book backup` and `fixbook book restore`: a whole book in one file, and back."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from fixbook.cli.session import Session
from fixbook.cli.words import add_book, new_parser, parse
from fixbook.render.clean import clean_line

EXAMPLES = """\
examples:
  fixbook book backup ~/backups/bench-2026-11-25.zip
  fixbook book backup ~/backups/bench.zip --replace
  fixbook book restore ~/backups/bench.zip ~/bench-book
"""


def backup(words: Sequence[str], session: Session) -> int:
    """Write the open book into one archive; 0 where nothing is lacking, else 1."""
    from fixbook.app.backing_up import back_up

    what = "Write entries, pictures, drafts, jobs, settings and checksums into one file."
    parser = new_parser("book backup", what, EXAMPLES)
    parser.add_argument("file", metavar="FILE", help="the archive to make, a zip file")
    parser.add_argument(
        "--replace", action="store_true", help="put it in the place of a file of that name"
    )
    parser.add_argument("--anyway", action="store_true", help="leave out what cannot be read")
    add_book(parser)
    given = parse(parser, words)
    session.book = given.book or session.book
    target = Path(given.file).expanduser()
    done = back_up(
        session.library,
        target,
        replace=given.replace,
        anyway=given.anyway,
        progress=session.progress,
    )
    if given.json:
        session.write_json(
            {
                "backup": str(target.absolute()),
                "files": done.files,
                "bytes": done.size,
                "archive_bytes": done.archive_size,
                "sha256": done.seal,
                "left_out": list(done.left_out),
                "lacking": list(done.lacking),
            }
        )
        return 1 if done.lacking else 0
    said = (
        f"{done.files:,} files, {done.size:,} bytes in {done.archive_size:,}; read back and whole"
    )
    rows = [("plain", f"wrote {target}"), ("plain", said)]
    rows += [("quiet", f"not of the book, left out: {one}") for one in done.left_out]
    rows += [("bad", f"LACKING: {one}") for one in done.lacking]
    session.write([[(style, clean_line(text))] for style, text in rows])
    return 1 if done.lacking else 0


def restore(words: Sequence[str], session: Session) -> int:
    """Make a book in a new folder from an archive."""
    from fixbook.app.restoring import restore as take_out

    parser = new_parser("book restore", "Make a book in a new folder from a backup.", EXAMPLES)
    parser.add_argument("file", metavar="FILE", help="what 'fixbook book backup' wrote")
    parser.add_argument("folder", metavar="DIR", help="a folder that does not exist yet")
    parser.add_argument("--json", action="store_true", help="print the answer as JSON")
    given = parse(parser, words)
    folder = Path(given.folder).expanduser()
    done = take_out(Path(given.file).expanduser(), folder, progress=session.progress)
    if given.json:
        session.write_json(
            {"book": str(folder.absolute()), "files": done.files, "bytes": done.size}
        )
        return 0
    rows = [f"restored {folder}: {done.files:,} files, {done.size:,} bytes, each as it was saved"]
    if done.plugins:
        rows.append("its plugins are off here: read them, then 'fixbook book trust'")
    session.write([[("plain", clean_line(row))] for row in rows])
    return 0
