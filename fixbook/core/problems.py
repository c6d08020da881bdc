"""Faults found in files: where they are, what was found and what to do about it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple


class Problem(NamedTuple):
    """One fault of one file."""

    file: str
    """Path as the user would type it."""
    line: int
    """From 1; 1 where the fault is about the whole file."""
    column: int
    """From 1."""
    rule: str
    """Short name of the broken rule, in lower case with hyphens."""
    problem: str
    """What was found."""
    do: str
    """What to do, or what was expected."""

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}: {self.problem}; {self.do}"

    def to_json(self) -> dict[str, object]:
        """Give the shape of one row of `proof --json`."""
        return {
            "file": self.file,
            "line": self.line,
            "column": self.column,
            "rule": self.rule,
            "problem": self.problem,
            "do": self.do,
        }


def close_matches(word: str, known: Iterable[str], *, most: int = 3) -> tuple[str, ...]:
    """Give the known names nearest to a misspelt one, best first; empty where none is near."""
    import difflib  # only a wrong name pays for it

    names = sorted(set(known))
    lowered = word.strip().lower()
    if not lowered or len(lowered) > 80:
        return ()
    starts = [name for name in names if name.startswith(lowered)]
    near = difflib.get_close_matches(lowered, names, n=most, cutoff=0.6)
    parts = [name for name in names if len(lowered) > 3 and lowered in name]
    return tuple(dict.fromkeys([*starts[:most], *near, *parts]))[:most]


def sentence(text: str) -> str:
    """Give a text as a sentence: with a capital, and a full stop where nothing ends it yet."""
    text = text.strip()
    end = "" if text.endswith((".", "?", "!", "…")) or not text else "."
    return f"{text[:1].upper()}{text[1:]}{end}"


def did_you_mean(word: str, known: Iterable[str], *, otherwise: str = "") -> str:
    """Say what was perhaps meant: `did you mean a, b?`, or `otherwise` where nothing is near."""
    return asked(close_matches(word, known), otherwise)


def asked(near: Iterable[str], otherwise: str = "") -> str:
    """Ask whether one of these names was meant; `otherwise` where there is none."""
    names = " or ".join(near)
    return f"did you mean {names}?" if names else otherwise
