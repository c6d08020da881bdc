"""Parts as they are written on a line: `relay`, `10x 1 ohm`, `2 × relay 24 V`, `fuse x 2`."""

from __future__ import annotations

import re

from .job import PartUsed

# What follows the times sign is no length: `5 x 20 mm` is the size of a fuse. So is 5 x 20 without
# a unit of anything (IEC 60127-2: fuse-links of 5 mm by 20 mm).
_SIZE = (
    r"(?!\d[\d.,]* ?(?:(?:mm|cm|in|inch)\b|[x×]))"
    r"(?!(?<=\b5 [x×] )20\b(?! ?(?:ohm|Ω|[kM]|[munpµμ]?F|[mkM]?V|[mM]?W|m?A|[munpµμ]?H)\b))"
)
_COUNT = re.compile(
    rf"^(\d{{1,4}}) ?[x×] {_SIZE}(?=\d)|\b(\d{{1,4}}) ?[x×] ?(?=[^\d\s])"
    r"|(?<=\S) [x×] ?(\d{1,4})$",
    re.IGNORECASE,
)


def read_part(text: str) -> PartUsed:
    """Read a part with its count; ValueError where it is no count of parts."""
    found = _COUNT.search(text)
    if not found:
        return PartUsed(text)
    count = int(next(one for one in found.groups() if one))
    what = f"{text[: found.start()]}{text[found.end() :]}".strip()
    return PartUsed(what or text, count=max(1, count))
