"""The shop's stock list: what its write-ups ask for, near it, and beside it."""

from __future__ import annotations

import csv
import io
from random import Random

HEAD = ("What", "Value", "Volts", "Temp", "ESR", "Ripple", "Dia", "Height", "Pitch", "Qty",
        "Drawer", "Note")  # fmt: skip
_CAN = "aluminium electrolytic, radial"
_SPECIAL = (
    ("trimmer, cermet, sealed, top adjust", "470 ohm", "", 6),
    ("trimmer, cermet, sealed, side adjust", "1 kohm", "", 1),
    ("trimmer, cermet, 25 turns, top adjust", "2 kohm", "", 2),
    ("small-signal transistor, NPN, type TX 2216", "25 V, 500 mA", "high reverse base voltage", 8),
    ("resistor, wire-wound, flameproof", "470 ohm, 7 W, 5 %", "", 9),
    ("resistor, metal film, matched pair", "6.8 kohm, 0.6 W, 1 %", "", 4),
    ("resistor, metal film", "22 kohm, 0.6 W, 1 %", "", 50),
    ("resistor, metal film, low drift", "10 kohm, 0.25 W, 0.1 %", "", 0),
    ("resistor, fusible, flameproof", "10 ohm, 0.5 W, 5 %", "", 3),
    ("fuse", "T 1.6 A L 250 V", "glass", 14),
    ("fuse", "T 2.5 A H 250 V", "ceramic", 8),
    ("fuse", "F 2.5 A L 250 V", "glass", 21),
    ("coin cell holder, through-hole", "20 mm", "", 5),
    ("lithium coin cell", "3 V, 20 mm, 3.2 mm", "check the date", 7),
    ("felt strip, 3 mm thick, self-adhesive", "1.25 m", "", 2),
    ("key bush, rubber", "8 mm", "", 30),
    ("rubber ring, square section", "13 x 9 x 2 mm", "idler", 4),
    ("jack socket, 6.35 mm, stereo, switched, board mounting", "9 pins", "", 2),
    ("tantalum capacitor, radial", "10 uF", "old stock", 12),
    ("slide potentiometer, 45 mm travel", "10 kohm linear", "", 3),
    ("screened audio lead with two moulded plugs", "0.8 m", "", 1),
)
_VALUES = ("1 uF", "2.2 uF", "4.7 uF", "10 uF", "22 uF", "47 uF", "100 uF", "220 uF", "470 uF",
           "1000 uF", "2200 uF", "3300 uF", "4700 uF", "10000 uF")  # fmt: skip
_VOLTS = (16, 25, 35, 50, 63)


def stock_list(random: Random) -> bytes:
    """Give the list as CSV: capacitors in rows of values, and the shop's special parts."""
    rows: list[tuple[object, ...]] = []
    for place, value in enumerate(_VALUES):
        for volts in sorted(random.sample(_VOLTS, 3)):
            hot = 105 if random.random() < 0.75 else 85
            drawer = f"{'ABCDEF'[place // 3]}{place % 3 * 5 + _VOLTS.index(volts) + 1}"
            count = max(0, round(random.gauss(9, 6)))
            rows.append((_CAN, value, volts, hot, "", "", "", "", "", count, drawer, ""))
    rows += [
        (_CAN + ", low impedance", "220 uF", 35, 105, "0.09 ohm", "0.5 A", 8, 12, 3.5, 6, "C14", ""),
        (_CAN + ", bipolar", "10 uF", 50, 85, "", "", "", "", "", 5, "B16", ""),
        (_CAN + ", bipolar", "47 uF", 35, 85, "", "", "", "", "", 3, "B17", "too low for 48 V"),
        ("aluminium electrolytic, snap-in", "10000 uF", 80, 105, "", "5 A", 35, 50, 10, 1, "H1", ""),
        ("aluminium electrolytic, snap-in", "10000 uF", 50, 85, "", "3 A", 30, 50, 10, 4, "H2", ""),
        ("film capacitor, polyester", "100 nF", 63, "", "", "", "", "", "", 40, "G3", ""),
    ]  # fmt: skip
    for place, (what, value, note, count) in enumerate(_SPECIAL):
        rated = 25 if what.startswith("tantalum") else ""
        drawer = f"K{place + 1}"
        rows.append((what, value, rated, "", "", "", "", "", "", count, drawer, note))
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerows([HEAD, *rows])
    return out.getvalue().encode("utf-8")
