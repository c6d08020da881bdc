"""What a hit's score is made of, as styled lines."""

from __future__ import annotations

from collections.abc import Sequence

from fixbook.core.query import Gain
from fixbook.render.lines import QUIET, Line
from fixbook.render.table import table_lines

_COLUMNS = ("adds", "words", "in", "worth", "share")


def gain_lines(gains: Sequence[Gain], width: int) -> list[Line]:
    """Lay the parts of a score out: what each word added, where it stands, worth times share."""
    rows = [
        (
            f"{gain.worth * gain.share:.2f}",
            gain.text,
            ", ".join(gain.parts),
            f"{gain.worth:.2f}",
            f"{gain.share:.2f}",
        )
        for gain in gains
    ]
    return [[(QUIET, text) for _, text in line] for line in table_lines(_COLUMNS, rows, width)]
