"""`fixbook proof --words`: the words of the open book, for a person or a program to read."""

from __future__ import annotations

from fixbook.cli.session import Session
from fixbook.cli.words import UsageError
from fixbook.core.problems import did_you_mean
from fixbook.core.word_list import LISTS, words_of
from fixbook.render.clean import clean_line
from fixbook.render.table import table_lines


def show_words(what: str, session: Session, *, as_json: bool) -> int:
    """List the words of a kind, or the kinds where none is named; UsageError for an unknown one.

    On a terminal as a table; elsewhere a word a line, so that lines can be searched.
    """
    if what and what not in LISTS:
        near = did_you_mean(what, LISTS, otherwise=f"one of {', '.join(LISTS)}")
        raise UsageError(f"there is no kind of word {what!r}; {near}", input="--words", read=what,
                         choices=tuple(LISTS))  # fmt: skip
    vocabulary = session.library.vocabulary
    if as_json:
        named = [what] if what else list(LISTS)
        rows = {
            kind: [{"word": word, "about": about} for word, about in words_of(vocabulary, kind)]
            for kind in named
        }
        session.write_json({"words": rows})
        return 0
    columns, table = ("word", "what it means"), words_of(vocabulary, what) if what else []
    if not what:
        columns = ("for --words", "words and the field they stand in")
        table = [
            (kind, f"{len(words_of(vocabulary, kind))}, {about}")
            for kind, (about, _) in LISTS.items()
        ]
    if session.out.isatty():
        session.write(table_lines(columns, table, session.width))
    else:
        wide = max((len(word) for word, _ in table), default=0)
        session.write(
            [
                [("plain", f"{clean_line(word):<{wide}}  {clean_line(about)}")]
                for word, about in table
            ]
        )
    return 0
