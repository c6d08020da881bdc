"""Boards seen from above: can positions, trimmer points, joints, pads, leaks."""

from __future__ import annotations

from paper import GREY, Paper


def capacitor_positions() -> Paper:
    """An invented board with six numbered cans, and the list that goes with it."""
    paper = Paper(
        "capacitor-positions",
        "Numbered capacitor positions on an invented board",
        "Plan of a board with a flat chip and a connector. Six round cans numbered 1 to 6, each "
        "with a black half on its minus side. A list gives value and voltage for each number.",
        760,
        430,
    )
    paper.rect(20, 50, 460, 350, fill="#f2f2f2", round_by=8)
    for x, y in ((38, 68), (462, 68), (38, 382), (462, 382)):
        paper.circle(x, y, 7)
    paper.rect(190, 165, 110, 110)
    for step in range(10):
        for x, y, w, h in (
            (198 + step * 10, 155, 5, 10),
            (198 + step * 10, 275, 5, 10),
            (180, 173 + step * 10, 10, 5),
            (300, 173 + step * 10, 10, 5),
        ):
            paper.rect(x, y, w, h, fill="black", width=0.5)
    paper.circle(204, 179, 4, fill="black")
    paper.text(245, 225, "chip", anchor="middle")
    paper.rect(180, 360, 140, 26)
    paper.text(250, 378, "ribbon", anchor="middle", size=13)
    cans = (
        (90, 120, 34, "left", "33 uF 16 V"),
        (190, 110, 26, "right", "10 uF 16 V"),
        (390, 132, 38, "right", "100 uF 10 V"),
        (100, 240, 26, "left", "10 uF 16 V"),
        (400, 250, 34, "left", "33 uF 16 V"),
        (105, 330, 26, "right", "4.7 uF 25 V"),
    )
    paper.text(520, 75, "no.", bold=True)
    paper.text(560, 75, "as marked", bold=True)
    paper.text(670, 75, "minus", bold=True)
    for number, (x, y, r, minus, value) in enumerate(cans, start=1):
        paper.circle(x, y, r)
        paper.half_disc(x, y, r, side=minus)
        paper.number(x, y - r - 16, str(number))
        row = 75 + number * 32
        paper.number(532, row - 5, str(number))
        paper.text(560, row, value)
        paper.text(670, row, minus)
    paper.lines(
        512, 320, ["black half: minus side", "write each one down before", "the first is taken off"]
    )
    paper.text(250, 32, "board seen from above, connector towards you", anchor="middle")
    return paper


def trimmer_probe_points() -> Paper:
    """A trimmer from above with the probes, a parallel resistor and the pencil mark."""
    paper = Paper(
        "trimmer-probe-points",
        "Probe points across a trimmer",
        "A three-legged trimmer from above. One probe on the wiper leg 2, the other on end leg 1; "
        "a resistor on the board lies in parallel. A mark from slot to body keeps the first "
        "position.",
        720,
        400,
    )
    paper.rect(260, 90, 200, 180, round_by=10)
    paper.circle(360, 180, 66, fill=GREY)
    paper.poly([(322, 158), (390, 210), (398, 202), (330, 150)], fill="white", closed=True)
    paper.line(312, 143, 284, 121, width=5)
    paper.lines(20, 80, ["pen mark from the slot", "to the body: first value"])
    paper.line(190, 90, 282, 118, width=1)
    for x, y, words in ((340, 60, "2 (wiper)"), (280, 270, "1"), (410, 270, "3")):
        paper.rect(x, y, 40, 30, fill="black")
        paper.text(
            x + 20 if y > 100 else x + 52,
            y + (50 if y > 100 else 22),
            words,
            anchor="middle" if y > 100 else "start",
            bold=True,
        )
    paper.path("M300,285 L225,285 L225,245", width=2)
    paper.rect(212, 185, 26, 60)
    paper.path("M225,185 L225,75 L340,75", width=2)
    paper.lines(60, 200, ["resistor on the", "board in parallel:", "reading is lower"], size=13)
    for x1, y1, x2, y2 in ((560, 20, 366, 66), (120, 370, 292, 292)):
        paper.line(x1, y1, x2, y2, width=5)
        paper.arrow(x1, y1, x2, y2, width=1, head=12)
    paper.text(568, 26, "probe")
    paper.text(60, 376, "probe")
    paper.lines(
        500,
        170,
        [
            "power off, discharged;",
            "read, swap the probes,",
            "read again;",
            "take the blade out of",
            "the slot before reading",
        ],
    )
    return paper


def cracked_joint_ring() -> Paper:
    """A cracked joint beside a sound one, from above and in section."""
    paper = Paper(
        "cracked-joint-ring",
        "Cracked solder joint with its ring, beside a sound one",
        "From above: a solder lump round a pin with a dark broken ring between pin and solder, "
        "beside a joint whose solder meets the pin smoothly. Below, both in section: the crack "
        "runs down beside the pin.",
        700,
        430,
    )
    for x, head in ((190, "cracked"), (510, "sound")):
        paper.text(x, 34, head, anchor="middle", bold=True, size=16)
        paper.circle(x, 130, 80, fill=GREY)
        paper.circle(x, 130, 62, fill="white", width=1.5)
        paper.circle(x, 130, 20, fill="#888888")
        paper.rect(x - 130, 340, 260, 34, fill="#f2f2f2")
        paper.rect(x - 95, 332, 190, 8, fill="black", width=1)
        paper.path(
            f"M{x - 70},332 Q{x - 28},326 {x - 16},280 L{x + 16},280 Q{x + 28},326 {x + 70},332 Z",
            fill=GREY,
        )
        paper.rect(x - 14, 252, 28, 150, fill="white")
    paper.circle(190, 130, 29, width=4, fill="none", dash="38 9 60 7")
    for side in (-1, 1):
        paper.path(
            f"M{190 + side * 17},281 l{side * 4},14 l{-side * 4},12 l{side * 6},14 l{-side * 3},12",
            width=4,
        )
    paper.line(221, 118, 300, 90, width=1)
    paper.lines(304, 84, ["dark ring,", "broken"], size=13)
    paper.line(214, 300, 300, 272, width=1)
    paper.lines(304, 272, ["crack beside", "the pin"], size=13)
    paper.text(350, 210, "from above", anchor="middle", size=13)
    paper.text(350, 400, "in section", anchor="middle", size=13)
    return paper


def lifted_pad_bridge() -> Paper:
    """Wire bridge over a torn pad, from above."""
    paper = Paper(
        "lifted-pad-bridge",
        "Bridging a torn pad with wire",
        "From above: a trace scraped bare for 3 mm, a thin wire soldered along it and bent into a "
        "hook where the pad was, the leg of the part on the hook, varnish over wire and copper.",
        720,
        360,
    )
    paper.rect(30, 130, 400, 34, fill=GREY)
    paper.rect(270, 130, 160, 34, fill="white")
    paper.text(130, 152, "trace under mask", anchor="middle", size=13)
    paper.rect(450, 100, 110, 94, fill="white", width=1.5, dash="5 5")
    paper.path("M280,147 L490,147 L530,150 Q552,160 545,175 Q535,190 505,184 L470,178", width=6)
    paper.path("M275,147 Q350,132 425,147 Q350,162 275,147 Z", fill="#888888", width=1)
    paper.rect(255, 84, 320, 126, fill="none", width=1.5, dash="2 6", round_by=24)
    paper.rect(500, 139, 200, 22, fill="white")
    paper.text(590, 155, "leg of the part", size=13)
    for x1, y1, x2, y2 in (
        (350, 60, 350, 126),
        (505, 250, 505, 198),
        (300, 250, 300, 160),
        (640, 60, 565, 92),
    ):
        paper.line(x1, y1, x2, y2, width=1)
    paper.lines(350, 32, ["mask scraped off for 3 mm,", "copper bright"], anchor="middle", size=13)
    paper.text(650, 48, "varnish over it all", anchor="middle", size=13)
    paper.lines(505, 268, ["wire ends in a hook", "where the pad was"], anchor="middle", size=13)
    paper.lines(240, 268, ["wire soldered flat", "along the trace"], anchor="middle", size=13)
    paper.text(585, 225, "lost pad", anchor="start", size=13)
    paper.line(583, 218, 560, 194, width=1)
    paper.text(
        360,
        335,
        "A dot of epoxy holds the part; the wire carries current, not force.",
        anchor="middle",
    )
    return paper


def leak_spread() -> Paper:
    """A leaking can, how far the leak has crept, and how far to wash."""
    paper = Paper(
        "leak-spread",
        "How far a leak creeps on a board",
        "A leaking can with a grey stain round it. Fingers of the stain creep along two traces and "
        "through a plated hole. A dashed line one part further out marks the area to wash.",
        720,
        420,
    )
    paper.rect(20, 20, 680, 350, fill="#f7f7f7", round_by=8)
    for y in (150, 235):
        paper.rect(250, y, 400, 16, fill="white", width=1.5)
    paper.path(
        "M240,120 Q300,110 320,145 L470,150 L480,158 L470,166 L320,170 Q340,200 320,228 "
        "L400,235 L408,243 L400,251 L310,256 Q290,300 220,296 Q120,300 110,210 "
        "Q110,120 240,120 Z",
        fill="#bdbdbd",
        width=1.5,
    )
    paper.circle(215, 205, 58)
    paper.half_disc(215, 205, 58, side="left")
    paper.circle(520, 158, 13, fill="white")
    paper.circle(520, 158, 5, fill="black")
    paper.circle(430, 243, 13, fill="#bdbdbd")
    paper.circle(430, 243, 5, fill="black")
    paper.rect(590, 136, 70, 44)
    paper.text(625, 163, "part", anchor="middle", size=13)
    paper.rect(90, 86, 580, 236, fill="none", width=2.5, dash="10 7", round_by=40)
    paper.text(215, 62, "leaking can", anchor="middle")
    paper.line(215, 68, 215, 145, width=1)
    paper.text(440, 62, "creeps under the mask, along the trace", anchor="middle")
    paper.line(430, 68, 430, 148, width=1)
    paper.text(440, 300, "through a plated hole to the other side", anchor="middle", size=13)
    paper.line(430, 288, 430, 257, width=1)
    paper.text(
        360,
        352,
        "wash to the dashed line: one part further than the stain",
        anchor="middle",
        bold=True,
    )
    paper.text(360, 402, "grey: stain, cleaned by its kind", anchor="middle", size=13)
    return paper
