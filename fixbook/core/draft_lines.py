"""What a technician types in one line: a sign, a target, a part.

sign    = a sign's id or a customer's wording [ answer ] [ how often ]
target  = name ";" where and how [ ";" good reading [ ";" note ] ]
part    = what [ ";" value [ ";" where [ ";" volts ] ] ]
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from fixbook.core.entry import HOW_OFTEN
from fixbook.core.problems import did_you_mean
from fixbook.core.reading import read_range
from fixbook.core.readings import READS
from fixbook.core.vocabulary import SEEN, Sign, Vocabulary
from fixbook.errors import QuantityError, QueryError

USUAL = "usually"
"""How often a sign is taken to be seen where nothing is said."""
_USUAL_READS = ("ohms", "dc", "dc-amps", "hertz", "farads", "henries", "celsius", "watts", "seconds",
                "percent", "decibels", "millimetres", "newtons", "degrees", "ratio")  # fmt: skip
_HINTS: tuple[tuple[str, str], ...] = (
    (r"\besr\b|series resistance", "esr"),
    (r"\bripple\b|peak to peak|\bp-p\b|waveform", "peak-to-peak"),
    (r"\bac\b|\brms\b|alternating|\bsignal\b|secondary|winding voltage", "ac-rms"),
)


def read_sign_line(text: str, vocabulary: Vocabulary) -> tuple[str, dict[str, str]] | None:
    """Read a sign with its answer and how often; None where the line names no sign.

    QueryError where it names a sign, and an answer that the sign does not have.
    """
    words = re.sub(r"[=:,]+", " ", text).split()
    often = USUAL
    if words and words[-1].lower() in HOW_OFTEN:
        often = words.pop().lower()
    found = _sign(" ".join(words), vocabulary) or _sign(" ".join(words[:-1]), vocabulary)
    if found is None:
        return None
    named = _sign(" ".join(words), vocabulary) is not None
    answer = "" if named else words[-1].lower()
    if not answer and SEEN not in found.answers:
        answers = ", ".join(found.answers)
        raise QueryError(
            f"the sign {found.id} has answers of its own; add one of {answers}",
            input="signs",
            read=text,
            choices=[f"{found.id} {one}" for one in found.answers],
        )
    if answer and answer not in found.answers:
        hint = did_you_mean(answer, found.answers, otherwise=f"one of {', '.join(found.answers)}")
        raise QueryError(
            f"the sign {found.id} has no answer {answer!r}; {hint}", input="signs", read=text
        )
    return found.id, {answer or SEEN: often}


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
    why = ""
    fitting = []
    for reads in _USUAL_READS:
        try:
            read_range(window, READS[reads], open_ended=True)
            fitting.append(reads)
        except QuantityError as error:
            why = why or error.why
    if not fitting or (len(fitting) > 2 and not re.search(r"[^\W\d]|[%°Ω]", window)):
        wanted = "write lowest .. highest and the unit, as in 0 .. 100 mohm"
        raise QueryError(f"{window!r} is no good reading: {why or 'it has no unit'}; {wanted}",
                         input="targets", read=window)  # fmt: skip
    first = fitting[0]
    for pattern, reads in _HINTS:
        if READS[reads] == READS[first] and re.search(pattern, about, re.IGNORECASE):
            return reads
    return first


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
