"""What a technician types in one line: a sign, a target, a part.

sign    = a sign's id or a customer's wording [ ":" ] [ answer ] [ how often ]
target  = name ";" where and how [ ";" good reading [ ";" note ] ]
part    = what [ ";" value [ ";" where [ ";" volts ] ] ]
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from fixbook.core.entry import HOW_OFTEN
from fixbook.core.meant import meant_how_often, meant_sign
from fixbook.core.problems import asked, close_matches, did_you_mean
from fixbook.core.quantity import ANY, NUMBER, Kind
from fixbook.core.range_text import split_range
from fixbook.core.reading import read, read_range
from fixbook.core.readings import READS
from fixbook.core.vocabulary import NOT_SEEN, SEEN, Sign, Vocabulary
from fixbook.errors import QuantityError, QueryError

_WANTED = "write lowest .. highest and the unit, as in 0 .. 100 mohm"
QUOTES = ('"', "\N{LEFT DOUBLE QUOTATION MARK}", "\N{RIGHT DOUBLE QUOTATION MARK}")
"""What stands around words of a customer that would be taken for a sign."""
USUAL = "usually"
"""How often a sign is taken to be seen where nothing is said."""
_USUAL_READS = ("ohms", "dc", "dc-amps", "hertz", "farads", "henries", "celsius", "watts", "seconds",
                "percent", "decibels", "millimetres", "newtons", "degrees", "ratio")  # fmt: skip
_HINTS: tuple[tuple[str, str], ...] = (
    (r"\besr\b|series resistance", "esr"),
    (r"\bripple\b|peak to peak|\bp-p\b|waveform", "peak-to-peak"),
    (r"\bac\b|\brms\b|alternating|\bsignal\b|secondary|winding voltage", "ac-rms"),
)


class UnknownSignError(QueryError):
    """A line that is meant to name a sign, and names one that the vocabulary does not have."""

    def __init__(self, sign: str, said: dict[str, str], meant: str, read: str) -> None:
        stop = "" if meant.endswith("?") else ";"
        why = (
            f"there is no sign {sign!r}; {meant}{stop} what a customer said goes into double quotes"
        )
        super().__init__(why, input="signs", read=read)
        self.sign = sign
        self.said = said
        """Its answer, and how often, as they were typed."""


def read_sign_line(text: str, vocabulary: Vocabulary) -> tuple[str, dict[str, str]] | None:
    """Read a sign with its answer and how often; None where the line is a customer's words.

    QueryError where it names a sign, and an answer that the sign does not have;
    UnknownSignError where it has the form of a sign, and names none.
    """
    if text.strip().startswith(QUOTES):
        return None
    words = re.sub(r"[=:,]+", " ", text).split()
    for count in range(len(words), max(0, len(words) - 3), -1):
        found = _sign(" ".join(words[:count]), vocabulary)
        if found is not None:
            rest = [word.lower() for word in words[count:]]
            by_id = "-" in words[0] and words[0].lower() == found.id
            named = by_id or re.search("[=:]", text)
            known = (*HOW_OFTEN, *found.answers)
            if not named and not all(word in known for word in rest):
                return None  # words of a customer that begin like a wording of the sign
            return found.id, _answer(found, rest, text)
    _refuse_unknown_sign(text, vocabulary)
    return None


def _answer(sign: Sign, rest: list[str], text: str) -> dict[str, str]:
    """Read what stands behind a sign's name: its answer, how often, or both."""
    left = list(rest)
    if len(left) == 2 and left[0] in HOW_OFTEN and left[1] in sign.answers:
        left.reverse()
    often = left.pop() if left and left[-1] in HOW_OFTEN else ""
    answer = left.pop(0) if left and left[0] in sign.answers else ""
    if left:
        wrong = next((word for word in left if word not in (*HOW_OFTEN, *sign.answers)), left[0])
        raise QueryError(_no_answer(sign, wrong, often or answer), input="signs", read=text,
                         choices=tuple(HOW_OFTEN) if SEEN in sign.answers else sign.answers)  # fmt: skip
    if not answer and SEEN not in sign.answers:
        answers = ", ".join(sign.answers)
        raise QueryError(
            f"the sign {sign.id} has answers of its own; add one of {answers}",
            input="signs",
            read=text,
            choices=[f"{sign.id} {one}" for one in sign.answers],
        )
    return {answer or SEEN: often or USUAL}


def _no_answer(sign: Sign, word: str, other: str) -> str:
    """Say that a word is neither an answer of a sign nor tells how often, and what was meant."""
    if word in (*HOW_OFTEN, *sign.answers):
        return f"of the sign {sign.id} both {word!r} and {other!r} are said; say one"
    near = close_matches(word, sign.answers)
    if SEEN not in sign.answers and other not in sign.answers:
        every = f"one of {', '.join(sign.answers)}"
        hint = did_you_mean(word, sign.answers, otherwise=every)
        return f"the sign {sign.id} has no answer {word!r}; {hint}"
    hint = meant_how_often(word)
    if near and not hint.startswith("did"):
        hint = asked(near)
    return f"{word!r} does not say how often the sign {sign.id} is seen; {hint}"


_OFTEN_LIKE = re.compile(
    r"(?P<name>[^\W_]+(?:[ -][^\W_]+){0,5})\s*[:=]+\s*(?P<said>[\w-]+(?:\s+[\w-]+)?)\s*"
)
_HYPHENED = re.compile(r"\s*(?P<name>[^\W_]+(?:-[^\W_]+)+)(?:[\s:=]+(?P<said>[\w-]+))?[\s:=]*")


def _refuse_unknown_sign(text: str, vocabulary: Vocabulary) -> None:
    """Raise UnknownSignError where a line that names no sign has the form of one."""
    found = _OFTEN_LIKE.fullmatch(text.strip()) or _HYPHENED.fullmatch(text)
    said = (found["said"] or "").lower().split() if found else []
    often = said[-1] if said else ""
    answers = (SEEN, NOT_SEEN, "")
    if found is None or not (often in answers or meant_how_often(often).startswith("did")):
        return
    answer = said[0] if len(said) > 1 else often if often in answers[:2] else SEEN
    value = USUAL if often in answers else often
    name = "-".join(found["name"].lower().split())
    raise UnknownSignError(name, {answer: value}, meant_sign(name, vocabulary), text)


def sign_value(answers: Mapping[str, str]) -> str | dict[str, str]:
    """Give a sign's answers the way front matter holds them: one word where that is enough."""
    return answers[SEEN] if set(answers) == {SEEN} else dict(answers)


def read_target_line(text: str) -> dict[str, str]:
    """Read a target; what it reads is told by the unit of its window. QueryError says what lacks."""
    name, at, window, note = _parts(text, 4)
    if not name:
        raise QueryError("the target has no name", input="targets", read=text)
    target = {"name": name}
    if at:
        target["at"] = at
    if window:
        target |= {"reads": guess_reads(window, f"{name} {at}"), "window": window}
    if note:
        target["note"] = note
    return target


def guess_reads(window: str, about: str) -> str:
    """Tell what a target reads from the unit of its window; QueryError where that tells nothing."""
    refusals: dict[str, QuantityError] = {}
    fitting = []
    for reads in _USUAL_READS:
        try:
            read_range(window, READS[reads], open_ended=True)
            fitting.append(reads)
        except QuantityError as error:
            refusals[reads] = error
    if not fitting or (len(fitting) > 2 and not re.search(r"[^\W\d]|[%°Ω]", window)):
        why = f"it has no unit; {_WANTED}" if fitting else _why_no_window(window, refusals)
        raise QueryError(f"{window!r} is no good reading: {why}", input="targets", read=window)
    first = fitting[0]
    for pattern, reads in _HINTS:
        if READS[reads] == READS[first] and re.search(pattern, about, re.IGNORECASE):
            return reads
    return first


def _why_no_window(window: str, refusals: Mapping[str, QuantityError]) -> str:
    """Say what is wrong with a window, in the words of the quantity that its ends are."""
    kinds = [kind for end in split_range(window) or (window,) if (kind := _kind_of(end))]
    words = list(dict.fromkeys(kind.word for kind in kinds))
    if len(words) > 1:
        return f"its ends are of two kinds, {' and '.join(words)}; {_WANTED}"
    found = next((one for name, one in refusals.items() if READS[name].word in words), None)
    if found is None:
        why = f"{words[0]} is nothing that is read" if words else refusals["ohms"].why
        return f"{why.partition(';')[0]}; {_WANTED}"
    what, _, do = found.why.partition("; ")
    if found.choices and "falls" not in what:
        do = f"write {' or '.join(found.choices)}"
    return f"{what}; {do or _WANTED}"


def _kind_of(end: str) -> Kind | None:
    """Tell what quantity one end of a window is; None where it is a bare number, or none at all."""
    try:
        kind = read(end, ANY).kind
    except QuantityError:
        return None
    return None if kind == NUMBER else kind


def read_part_line(text: str) -> dict[str, str]:
    """Read a part that was replaced; where it sits may be left out."""
    what, value, at, volts = _parts(text, 4)
    if not what:
        raise QueryError("the part has no name", input="parts", read=text)
    part = {"at": at or "as found", "is": what}
    if value:
        part["value"] = value
    if volts:
        part["volts"] = volts
    return part


def _parts(text: str, count: int) -> list[str]:
    found = [" ".join(one.split()) for one in text.split(";", count - 1)]
    return [*found, *[""] * (count - len(found))]


def _sign(text: str, vocabulary: Vocabulary) -> Sign | None:
    wanted = _plain(text)
    if not wanted:
        return None
    direct = vocabulary.signs.get("-".join(wanted.split()))
    return direct or next(
        (one for one in vocabulary.signs.values() if wanted in _wordings(one)), None
    )


def _wordings(sign: Sign) -> Iterable[str]:
    return (_plain(one) for one in (sign.id, sign.ask, *sign.lay))


def _plain(text: str) -> str:
    return " ".join(re.findall(r"[^\W_]+", text.lower()))
