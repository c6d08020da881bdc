"""What version control and unfinished writing leave in a file: conflict marks and gaps."""

from __future__ import annotations

import re
from collections.abc import Iterator

from fixbook.core.problems import Problem

GAP = "(gap: "
"""Begins a gap of the body; a gap of the front matter is a comment, `# gap: …`."""
HAZARDS_GAP = "hazards-gap"
"""The gap that must not be left: nobody has said what can hurt."""
_MARK = re.compile(r"(<{7}|={7}|>{7}|\|{7})(?: .*)?\s*")
_GAP = re.compile(r"\(gap: ([^)\n]*)\)|^[^#\n]*# gap: ([^\n]*)", re.MULTILINE)


def conflict_marks(file: str, text: str) -> list[Problem]:
    """Report each conflict that a merge left in a file, at its first line; none: an empty list."""
    if "<<<<<<<" not in text or ">>>>>>>" not in text:
        return []
    problems, begun = [], 0
    for number, line in enumerate(text.split("\n"), 1):
        found = _MARK.fullmatch(line)
        if found and found[1][0] == "<":
            begun = begun or number
        elif found and found[1][0] == ">" and begun:
            what = f"the marks of a conflict, to line {number}: two people changed these lines"
            do = "keep what is right of both, and take the lines of marks out"
            problems.append(Problem(file, begun, 1, "conflict", what, do))
            begun = 0
    return problems


def both_texts(theirs: str, mine: str) -> str:
    """Put two versions of a text into one, with conflict marks where they differ."""
    import difflib

    one, other = theirs.splitlines(keepends=True), mine.splitlines(keepends=True)
    parts: list[str] = []
    for what, a, b, c, d in difflib.SequenceMatcher(None, one, other, autojunk=False).get_opcodes():
        if what == "equal":
            parts += one[a:b]
        else:
            parts += ["<<<<<<< on disk\n", *_whole(one[a:b]), "=======\n", *_whole(other[c:d]),
                      ">>>>>>> yours\n"]  # fmt: skip
    return "".join(parts)


def _whole(lines: list[str]) -> list[str]:
    return [line if line.endswith("\n") else f"{line}\n" for line in lines]


def gaps(file: str, text: str) -> Iterator[Problem]:
    """Report what was left open while a write-up was written."""
    if GAP not in text and "# gap: " not in text:
        return
    for found in _GAP.finditer(text):
        line = text.count("\n", 0, found.start()) + 1
        mark = found.start() if found[1] is not None else text.index("# gap:", found.start())
        column = mark - text.rfind("\n", 0, mark)
        wanted = (found[1] or found[2] or "").strip() or "something is missing"
        rule = HAZARDS_GAP if wanted.startswith("what can hurt") else "gap"
        yield Problem(
            file, line, column, rule, f"a gap: {wanted}", "write it, and take the mark away"
        )
