"""Whole set-ups at the bench: isolated supply with oscilloscope, earth continuity."""

from __future__ import annotations

from circuit import Circuit
from paper import GREY, Paper


def isolated_supply_set_up() -> Paper:
    """From the mains to an oscilloscope by way of isolation and a differential probe."""
    c = Circuit()
    c.block((-0.6, 3), (3, 5.6), "mains socket", "behind an RCD")
    c.block((5, 3), (8.2, 5.6), "isolating", "transformer")
    c.block((10.2, 3), (13.2, 5.6), "lamp limiter")
    c.block((15.2, 3), (18.4, 5.6), "unit under test", "(one only)")
    for left, right in ((3, 5), (8.2, 10.2), (13.2, 15.2)):
        c.wire((left, 4.9), (right, 4.9))
        c.wire((left, 3.7), (right, 3.7))
    c.note((9.2, 6.1), "no earth on this side", "middle")
    c.wire((8.2, 2.5), (18.4, 2.5), lw=1.2, ls="--")
    c.note((11.6, 2.05), "every point still dangerous", "middle")
    c.block((15.2, -1.2), (18.4, 0.8), "differential", "probe, rated")
    c.wire((16.2, 3), (16.2, 0.8))
    c.wire((17.4, 3), (17.4, 0.8))
    c.note((16, 1.5), "two hooks", "end")
    c.block((8.8, -1.2), (12.4, 0.8), "oscilloscope,", "earthed")
    c.wire((15.2, -0.2), (12.4, -0.2))
    c.wire((8.8, -0.2), (1.5, -0.2), (1.5, 3))
    c.note((5, 0.2), "its own mains lead,", "middle")
    c.note((5, -0.6), "earth pin in use", "middle")
    c.note((9.2, -2), "No probe clip goes to primary ground.", "middle", bold=True)
    return c.paper(
        "isolated-supply-set-up",
        "Set-up for measuring on a live primary",
        "Mains behind a residual-current device, isolating transformer without earth on its "
        "output, lamp limiter, unit under test. A rated differential probe hooked to two primary "
        "points leads to an earthed oscilloscope.",
    )


def earth_continuity_points() -> Paper:
    """Rear of an earthed unit with the five points to be read from the plug."""
    paper = Paper(
        "earth-continuity-points",
        "Test points of an earth-continuity check",
        "Rear of an earthed unit with its mains lead. E1 is the earth pin of the plug. An ohmmeter "
        "reads from E1 to E2 the earth stud, E3 the rear plate, E4 the lid and E5 a socket shell, "
        "which may be isolated by design.",
        800,
        440,
    )
    paper.rect(300, 90, 470, 200, fill="#f2f2f2")
    paper.poly([(300, 90), (340, 50), (770, 50), (770, 90)], fill="white", closed=True)
    paper.text(480, 76, "lid", anchor="middle", size=13)
    paper.rect(330, 200, 90, 60)
    paper.text(375, 235, "mains inlet", anchor="middle", size=13)
    paper.path("M330,230 C250,230 250,330 190,330 L150,330", width=6)
    paper.rect(70, 300, 80, 60, round_by=8)
    for y, width in ((314, 2), (330, 5), (346, 2)):
        paper.line(70, y, 40, y, width=width)
    paper.text(110, 384, "plug", anchor="middle", size=13)
    paper.circle(470, 225, 12, fill=GREY)
    paper.path("M470,237 L470,252 M458,252 L482,252 M462,258 L478,258 M467,264 L473,264", width=2)
    paper.circle(610, 130, 7, fill=GREY)
    paper.line(605, 135, 615, 125, width=1.5)
    for x in (690, 735):
        paper.circle(x, 225, 16)
        paper.circle(x, 225, 6, fill="black")
    paper.text(712, 268, "sockets", anchor="middle", size=13)
    paper.circle(100, 150, 34)
    paper.text(100, 157, "ohm", anchor="middle", bold=True, size=16)
    paper.path("M78,176 L40,215 L40,322", width=2)
    paper.arrow(40, 312, 40, 326, width=2)
    paper.path("M130,134 L230,30", width=2)
    paper.arrow(130, 134, 226, 34, width=2)
    paper.text(238, 30, "to E2, E3, E4, E5 in turn")
    for x, y, words in (
        (22, 330, "E1"),
        (505, 232, "E2"),
        (640, 136, "E3"),
        (640, 76, "E4"),
        (690, 196, "E5"),
    ):
        paper.text(x, y + 5 if words == "E1" else y, words, anchor="middle", bold=True, size=16)
    paper.circle(610, 70, 7, fill=GREY)
    paper.text(536, 178, "rear plate", anchor="middle", size=13)
    paper.lines(
        250,
        400,
        [
            "Flex the lead while reading. Sound-socket shells may be lifted by design:",
            "then the service data, not this check, say what is right.",
        ],
    )
    paper.text(
        560,
        320,
        "E2: earth stud; E3, E4: screws of plate and lid; E5: shell",
        anchor="middle",
        size=13,
    )
    return paper
