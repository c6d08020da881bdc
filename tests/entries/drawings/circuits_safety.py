"""Circuits of the safety aids: discharge tool, lamp limiter, earthed clip on a live primary."""

from __future__ import annotations

import schemdraw.elements as elm
from circuit import Circuit
from paper import Paper


def discharge_tool() -> Paper:
    """The tool across a reservoir capacitor, with the meter on the capacitor itself."""
    c = Circuit()
    c.part(elm.Capacitor2(polar=True), (0, 5), (0, 0))
    c.note((-0.9, 2.5), "C", "end")
    c.wire((0, 5), (5.4, 5))
    c.wire((0, 0), (5.4, 0))
    c.part(elm.MeterV(), (2.4, 5), (2.4, 0))
    c.note((3, 1.4), "meter on C,")
    c.note((3, 0.9), "minus first")
    c.dot((2.4, 5), (2.4, 0))
    c.dot((5.4, 5), (5.4, 0), hollow=True)
    c.place(elm.Arrow().at((7.6, 5)).to((5.6, 5)))
    c.place(elm.Arrow().at((7.6, 0)).to((5.6, 0)))
    c.note((5.3, 5.6), "2 probe on plus")
    c.note((5.3, -0.6), "1 clip on minus")
    c.wire((7.6, 5), (9.6, 5))
    c.wire((7.6, 0), (9.6, 0))
    c.part(elm.Resistor(), (9.6, 5), (9.6, 2.5))
    c.part(elm.Resistor(), (9.6, 2.5), (9.6, 0))
    c.note((10.2, 3.75), "R1 1 kohm 10 W")
    c.note((10.2, 1.25), "R2 1 kohm 10 W")
    c.frame((9, -0.4), (14.2, 5.4))
    c.note((11.6, 5.9), "insulated handle, up to 450 V", "middle")
    return c.paper(
        "discharge-tool",
        "Discharge tool across a reservoir capacitor",
        "A capacitor with a voltmeter straight across it. Beside it two resistors of 1 kohm and "
        "10 watt in series in an insulated handle: clip to minus first, then probe to plus.",
    )


def lamp_limiter() -> Paper:
    """Fuse, double-pole switch and filament lamp in front of a socket."""
    c = Circuit()
    for y, words in ((4, "L"), (2, "N"), (0, "PE")):
        c.dot((0, y), (11.6, y), hollow=True)
        c.note((-0.4, y), words, "end")
    c.note((-0.2, 5.2), "mains, behind an RCD", "end")
    c.part(elm.Fuse(), (0.1, 4), (2.8, 4))
    c.note((1.45, 4.65), "fuse", "middle")
    c.part(elm.Switch(), (2.8, 4), (5.4, 4))
    c.wire((0.1, 2), (2.8, 2))
    c.part(elm.Switch(), (2.8, 2), (5.4, 2))
    c.wire((4.1, 4.2), (4.1, 2.3), lw=1.2, ls="--")
    c.note((4.1, 1.45), "double-pole switch", "middle")
    c.part(elm.Lamp(), (5.4, 4), (8.8, 4))
    c.note((7.1, 4.95), "filament lamp", "middle")
    c.wire((8.8, 4), (11.5, 4))
    c.wire((5.4, 2), (11.5, 2))
    c.wire((0.1, 0), (11.5, 0))
    c.note((5.7, 0.4), "earth straight through, never switched or fused", "middle")
    c.frame((0.5, -0.6), (11, 5.6))
    c.note((5.7, 6), "closed insulating box", "middle")
    c.note((12, 3.2), "socket for")
    c.note((12, 2.7), "the unit")
    c.note((5.7, -1.2), "Everything stays live: the lamp isolates nothing.", "middle", bold=True)
    return c.paper(
        "lamp-limiter",
        "Lamp limiter for a first power-up",
        "Line goes through a fuse, one pole of a double-pole switch and a filament lamp to a "
        "socket; neutral through the other pole; protective earth straight through.",
    )


def scope_earth_clip() -> Paper:
    """Why the clip of an earthed instrument shorts the mains through a bridge diode."""
    c = Circuit()
    for start, end in (((5, 5), (7, 3)), ((5, 1), (7, 3)), ((3, 3), (5, 5)), ((3, 3), (5, 1))):
        c.part(elm.Diode(fill=True), start, end)
    c.part(elm.SourceSin(), (-1, 0), (-1, 5))
    c.note((-1.8, 2.5), "mains", "end")
    c.note((0, 5.5), "line", "middle")
    c.note((0.3, 0.45), "neutral", "middle")
    c.wire((-1, 0), (5, 0), (5, 1))
    c.wire((7, 3), (7.6, 3), (7.6, 5), (9, 5))
    c.part(elm.Capacitor2(polar=True), (9, 5), (9, -1.5))
    c.note((8.3, 1.75), "C", "end")
    c.wire((-1, 5), (5, 5), (3, 3), (2, 3), (2, -1.5), (12, -1.5), (12, 1.6), lw=5)
    c.dot((9, -1.5), (-1, 0))
    c.note((2.2, -2), "primary ground")
    c.block((11.4, 1.6), (15.4, 3.8), "oscilloscope")
    c.note((11.7, 0.3), "clip of", "end")
    c.note((11.7, -0.2), "the probe", "end")
    c.wire((14.8, 1.6), (14.8, -3.2), (-1, -3.2), (-1, 0), lw=5)
    c.wire((12, 1.6), (14.8, 1.6), lw=5)
    c.note((8, -2.75), "protective earth", "middle")
    c.note((-1.4, -1.3), "joined at the", "end")
    c.note((-1.4, -1.8), "supply's origin", "end")
    c.note((6.5, -4), "Bold: short circuit through one diode. Never do this.", "middle", bold=True)
    return c.paper(
        "scope-earth-clip",
        "Why an earthed clip must never go on primary ground",
        "A bridge fed from line and neutral, its minus end being primary ground. The clip of an "
        "earthed oscilloscope on primary ground closes a bold path from line through one diode, "
        "the clip and protective earth to neutral at the origin of the supply.",
    )
