"""Circuits that show where to measure: bridge, divider, relay, feedback loop, battery pack."""

from __future__ import annotations

import schemdraw.elements as elm
from circuit import Circuit
from paper import Paper
from waves import wave_box


def bridge_with_test_points() -> Paper:
    """A bridge supply with its four test points and the wave at each place."""
    c = Circuit()
    for start, end in (((5, 5), (7, 3)), ((5, 1), (7, 3)), ((3, 3), (5, 5)), ((3, 3), (5, 1))):
        c.part(elm.Diode(fill=True), start, end)
    c.part(elm.SourceSin(), (0, 0), (0, 5))
    c.note((-0.8, 2.5), "winding", "end")
    c.wire((0, 5), (5, 5))
    c.wire((0, 0), (5, 0), (5, 1))
    c.wire((7, 3), (8, 3), (8, 5), (13, 5))
    c.wire((3, 3), (2, 3), (2, -1.2), (13, -1.2))
    c.part(elm.Capacitor2(polar=True), (10, 5), (10, -1.2))
    c.part(elm.Resistor(), (13, 5), (13, -1.2))
    c.note((9.3, 1.9), "C", "end")
    c.note((13.6, 1.9), "load")
    c.dot((4, 5), (4, 0), (10, 5), (10, -1.2))
    c.note((4, 5.5), "TP1", "middle", bold=True)
    c.note((4, 0.45), "TP2", "middle", bold=True)
    c.note((10, 5.5), "TP3 plus", "middle", bold=True)
    c.note((10, -1.7), "TP4 minus", "middle", bold=True)
    paper = c.paper(
        "bridge-rectifier-test-points",
        "Bridge rectifier with its test points and waves",
        "A winding feeds a bridge of four diodes at TP1 and TP2; the reservoir capacitor and the "
        "load lie between TP3 plus and TP4 minus. Below: a sine between TP1 and TP2, pulses "
        "between TP3 and TP4 without the capacitor, and small dips on a steady level with it.",
        room_below=160,
    )
    top = paper.height - 140
    heads = ("TP1 to TP2", "TP3 to TP4, C lifted", "TP3 to TP4, C in place")
    for column, (head, kind) in enumerate(zip(heads, ("sine", "pulses", "dips"), strict=True)):
        wave_box(paper, 30 + column * 200, top, head, kind)
    return paper


def divider_test_points() -> Paper:
    """A divider, its points, and the meter as a third resistor."""
    c = Circuit()
    c.part(elm.Resistor(), (0, 6), (0, 3))
    c.part(elm.Resistor(), (0, 3), (0, 0))
    c.wire((0, 6), (0, 6.6))
    c.note((0, 7), "supply", "middle")
    c.place(elm.GroundSignal().at((0, -0.4)))
    c.wire((0, 0), (0, -0.4))
    c.note((-0.6, 4.5), "R upper", "end")
    c.note((-0.6, 1.5), "R lower", "end")
    c.dot((0, 6), (0, 3), (0, 0))
    for y, words in ((6, "TP1"), (3, "TP2"), (0, "TP3")):
        c.note((-0.6, y), words, "end", bold=True)
    c.note((0.6, 6), "supply against TP3: read this first")
    c.wire((0, 3), (4, 3), lw=1.2, ls="--")
    c.wire((0, 0), (4, 0), lw=1.2, ls="--")
    c.part(elm.Resistor(), (4, 3), (4, 0))
    c.note((4.6, 1.9), "the meter itself,")
    c.note((4.6, 1.4), "10 Mohm, lies across")
    c.note((4.6, 0.9), "R lower and pulls TP2 down")
    return c.paper(
        "divider-test-points",
        "Divider with its test points and the meter's own load",
        "Two resistors in series from a supply at TP1 over TP2 to ground at TP3. The meter's own "
        "10 Mohm is drawn dashed across the lower resistor.",
    )


def relay_contact_points() -> Paper:
    """Two meters on a relay: the drop across the contact, the voltage on the coil."""
    c = Circuit()
    c.frame((2.6, 0.6), (7.6, 5.8))
    c.note((5.1, 6.3), "relay", "middle")
    c.wire((0, 4.4), (4.2, 4.4), (6, 4.4))
    c.wire((6, 4.4), (10.4, 4.4))
    c.dot((4.2, 4.4), (6, 4.4), hollow=True)
    c.note((5.1, 4.95), "contact, closed", "middle")
    c.note((-0.2, 4.4), "from the amplifier", "end")
    c.note((10.6, 4.4), "to the load, 1 A")
    c.dot((2, 4.4), (8.2, 4.4))
    c.wire((2, 4.4), (2, 7.6), (3.8, 7.6))
    c.part(elm.MeterV(), (3.8, 7.6), (6.4, 7.6))
    c.wire((6.4, 7.6), (8.2, 7.6), (8.2, 4.4))
    c.note((8.5, 7.6), "V1: below 100 mV at 1 A")
    c.wire((0.6, 1.8), (4.2, 1.8))
    c.block((4.2, 1.2), (6, 2.4), "coil")
    c.wire((6, 1.8), (9.6, 1.8))
    c.wire((5.1, 2.4), (5.1, 4.3), lw=1.2, ls="--")
    c.note((0.4, 1.8), "coil drive", "end")
    c.note((9.8, 1.8), "coil return")
    c.dot((2, 1.8), (8.2, 1.8))
    c.wire((2, 1.8), (2, -0.6), (3.8, -0.6))
    c.part(elm.MeterV(), (3.8, -0.6), (6.4, -0.6))
    c.wire((6.4, -0.6), (8.2, -0.6), (8.2, 1.8))
    c.note((8.5, -0.6), "V2: marked coil voltage")
    return c.paper(
        "relay-contact-points",
        "Measuring points of a relay",
        "A relay with its closed contact in the line to a load of 1 A: voltmeter V1 straight "
        "across the two contact pins, voltmeter V2 across the two coil pins.",
    )


def opto_feedback_loop() -> Paper:
    """The loop of a switching supply over its isolating barrier."""
    c = Circuit()
    c.block((0, 1.4), (3.2, 6.4), "controller", "and switch")
    c.block((5.4, 5.4), (9, 7.2), "transformer")
    c.wire((3.2, 6), (5.4, 6))
    c.wire((7.2, 8), (7.2, 7.2), lw=1.2, ls="--")
    c.wire((7.2, 5.4), (7.2, -2.4), lw=1.2, ls="--")
    c.note((7.2, 8.4), "isolating barrier", "middle")
    c.part(elm.Diode(fill=True), (9, 6.7), (11, 6.7))
    c.wire((11, 6.7), (16.4, 6.7))
    c.dot((16.5, 6.7), hollow=True)
    c.note((16.8, 6.7), "output")
    _optocoupler(c)
    c.part(elm.Resistor(), (11.4, 6.7), (11.4, 4.2))
    c.wire((11.4, 4.2), (11.4, 3.6))
    c.part(elm.Zener(fill=True), (11.4, -1.2), (11.4, 1.4))
    c.wire((11.4, -1.2), (11.4, -1.8), (14.8, -1.8))
    c.note((11.9, -0.5), "reference")
    c.part(elm.Resistor(), (14.8, 6.7), (14.8, 3.6))
    c.part(elm.Resistor(), (14.8, 1.3), (14.8, -1.8))
    c.wire((14.8, 3.6), (14.8, 1.3))
    c.wire((14.8, 2.4), (13.4, 2.4), (13.4, 0.2), (11.9, 0.2))
    c.dot((11.4, 6.7), (14.8, 6.7), (14.8, 2.4), (13, -1.8))
    c.note((15.2, 2.4), "divider tap")
    c.place(elm.GroundSignal().at((13, -1.8)))
    c.note((13, -3), "secondary ground", "middle")
    return c.paper(
        "opto-feedback-loop",
        "Feedback loop of a switching supply",
        "The output divider drives a reference, which draws current through the light-emitting "
        "diode of an optocoupler, all on secondary ground. The phototransistor feeds the "
        "controller on primary ground. A dashed line keeps the two grounds apart.",
    )


def _optocoupler(c: Circuit) -> None:
    """Light from the secondary side at x = 11.4, transistor on the primary side."""
    c.frame((4.6, 1.2), (12.2, 4), ls="-")
    c.note((7.4, 4.5), "optocoupler")
    c.part(elm.Diode(fill=True), (11.4, 3.6), (11.4, 1.4))
    for height in (2.75, 2.25):
        c.place(elm.Arrow().at((10.4, height)).to((7.5, height)))
    transistor = c.place(elm.BjtNpn().theta(180).flip().at((6.6, 2.5)))
    collector, emitter = tuple(transistor.collector), tuple(transistor.emitter)
    c.wire(collector, (collector[0], 3.4), (3.2, 3.4))
    c.wire(emitter, (emitter[0], -1.8), (1.6, -1.8), (1.6, 1.4))
    c.place(elm.GroundChassis().at((3.4, -1.8)))
    c.dot((3.4, -1.8))
    c.note((3.4, -3), "primary ground, live", "middle")
    c.note((3.4, 4.4), "feedback")


def battery_pack_groups() -> Paper:
    """Three groups in series, two cells in parallel in each, with taps and protection board."""
    c = Circuit()
    for group in range(3):
        low = group * 3.0
        for x in (0.0, 2.0):
            c.part(elm.BatteryCell(), (x, low + 2.4), (x, low + 0.6))
        c.wire((0, low + 0.6), (2, low + 0.6))
        c.wire((0, low + 2.4), (2, low + 2.4))
        c.wire((1, low), (1, low + 0.6))
        c.wire((1, low + 2.4), (1, low + 3))
        c.note((-1, low + 1.5), f"group {group + 1}", "end")
    for tap in range(4):
        y = tap * 3.0
        c.dot((1, y))
        c.wire((1, y), (8, y))
        c.note((4.6, y + 0.4), f"tap B{tap}", "middle", bold=True)
        if tap:
            c.note((3, y - 1.5), f"B{tap - 1} to B{tap}: one group")
    c.block((8, -0.8), (11, 9.8), "protection", "board")
    c.wire((11, 8.4), (12.6, 8.4))
    c.wire((11, 0.6), (12.6, 0.6))
    c.dot((12.6, 8.4), (12.6, 0.6), hollow=True)
    c.note((12.9, 8.4), "plus of the pack")
    c.note((12.9, 0.6), "minus of the pack")
    c.note((11.6, 5), "Read at the plug only.")
    c.note((11.6, 4.5), "Cells are never opened,")
    c.note((11.6, 4), "soldered or rebuilt.")
    return c.paper(
        "battery-pack-groups",
        "Battery pack of three groups in series",
        "Three groups in series, each of two cells in parallel, with tap points B0 to B3 led to a "
        "protection board; plus and minus of the pack leave from the board.",
    )
