"""Connectors and mechanisms: ribbon latches, tape path."""

from __future__ import annotations

from paper import GREY, Paper


def ribbon_latch_positions() -> Paper:
    """Three kinds of ribbon connector from the side, closed and open."""
    paper = Paper(
        "ribbon-latch-positions",
        "Latches of ribbon connectors, closed and open",
        "Side views of three connectors. Slide latch: pushed out by its ears, away from the body. "
        "Flip latch: raised by its free edge. Plain mouth: no latch, the cable is drawn straight "
        "out.",
        800,
        560,
    )
    paper.text(290, 34, "closed", anchor="middle", bold=True)
    paper.text(600, 34, "open", anchor="middle", bold=True)
    rows = (
        (130, ["slide latch", "two ears, dark bar", "along the mouth"]),
        (300, ["flip latch", "thin flap on top,", "no ears"]),
        (470, ["plain mouth", "neither ears", "nor flap"]),
    )
    for y, words in rows:
        paper.text(20, y - 20, words[0], bold=True)
        paper.lines(20, y, words[1:], size=13)
        for x in (230, 540):
            paper.rect(x - 40, y + 36, 260, 12, fill=GREY)
    for x, out in ((230, 0), (540, 34)):
        _slide(paper, x, 130, out)
    paper.arrow(665, 78, 712, 78, width=3)
    paper.lines(620, 60, ["1 to 2 mm, both ears together"], size=13, anchor="middle")
    _flip(paper, 230, 300, raised=False)
    _flip(paper, 540, 300, raised=True)
    paper.lines(668, 226, ["lift the free edge,", "90 degrees"], size=13)
    _mouth(paper, 230, 470, 0)
    _mouth(paper, 540, 470, 60)
    paper.arrow(690, 432, 760, 432, width=3)
    paper.lines(640, 405, ["straight out by the stiffener"], size=13, anchor="middle")
    return paper


def _body(paper: Paper, x: float, y: float) -> None:
    """Draw a connector's body whose mouth opens to the right."""
    paper.poly(
        [
            (x, y - 24),
            (x + 90, y - 24),
            (x + 90, y - 4),
            (x + 30, y - 4),
            (x + 30, y + 8),
            (x + 90, y + 8),
            (x + 90, y + 36),
            (x, y + 36),
        ],
        fill="white",
        closed=True,
    )


def _cable(paper: Paper, x: float, y: float, out: float) -> None:
    """Draw the cable with its stiffener; `out` is how far it is drawn out of the mouth."""
    paper.rect(x + 32 + out, y - 1, 130, 6, fill="black", width=0.5)
    paper.rect(x + 60 + out, y - 6, 70, 5, fill="white", width=1.5)


def _slide(paper: Paper, x: float, y: float, out: float) -> None:
    _body(paper, x, y)
    _cable(paper, x, y, 0)
    paper.poly(
        [
            (x + 60 + out, y - 18),
            (x + 108 + out, y - 30),
            (x + 108 + out, y - 8),
            (x + 60 + out, y - 8),
        ],
        fill="#777777",
        closed=True,
    )


def _flip(paper: Paper, x: float, y: float, *, raised: bool) -> None:
    _body(paper, x, y)
    _cable(paper, x, y, 0)
    if raised:
        paper.rect(x + 20, y - 84, 12, 62, fill="#777777")
        paper.path(f"M{x + 84},{y - 34} A 58 58 0 0 0 {x + 38},{y - 78}", width=2, dash="4 4")
        paper.arrow(x + 46, y - 75, x + 36, y - 79, width=2)
    else:
        paper.rect(x + 24, y - 34, 66, 12, fill="#777777")
    paper.circle(x + 26, y - 26, 5, fill="white")
    if not raised:
        paper.line(x + 26, y - 32, x + 10, y - 58, width=1)
        paper.text(x - 2, y - 62, "hinge", anchor="middle", size=13)
        paper.line(x + 90, y - 34, x + 112, y - 56, width=1)
        paper.text(x + 116, y - 58, "free edge", size=13)


def _mouth(paper: Paper, x: float, y: float, out: float) -> None:
    _body(paper, x, y)
    _cable(paper, x, y, out)


def pinch_roller_capstan() -> Paper:
    """The tape path from the front, with the nips marked by triangles."""
    paper = Paper(
        "pinch-roller-capstan",
        "Tape path with capstan and pinch roller",
        "From the front: supply reel, guide, head, capstan with the pinch roller pressing the tape "
        "against it, take-up reel. Triangles mark the places where fingers are drawn in.",
        760,
        470,
    )
    for x, words in ((150, "supply reel"), (610, "take-up reel")):
        paper.circle(x, 130, 90, fill="#eeeeee")
        paper.circle(x, 130, 26)
        for dx, dy in ((0, -26), (22, 13), (-22, 13)):
            paper.line(x + dx * 0.6, 130 + dy * 0.6, x + dx, 130 + dy, width=4)
        paper.text(x, 28, words, anchor="middle", bold=True)
    paper.poly([(60, 133), (88, 352), (505, 352)], width=3)
    paper.poly([(505, 352), (672, 352), (700, 133)], width=3)
    paper.circle(88, 342, 10, fill=GREY)
    paper.text(60, 388, "guide", anchor="middle")
    paper.circle(672, 342, 10, fill=GREY)
    paper.text(700, 388, "guide", anchor="middle")
    paper.path("M300,440 L300,372 Q345,336 390,372 L390,440 Z", fill=GREY)
    paper.text(345, 412, "head", anchor="middle")
    paper.circle(505, 341, 10, fill="black")
    paper.circle(505, 391, 38)
    paper.circle(505, 391, 9, fill=GREY)
    paper.line(505, 331, 470, 282, width=1)
    paper.text(460, 274, "capstan, steel", anchor="middle")
    paper.text(556, 410, "pinch roller, rubber")
    paper.arrow(190, 336, 260, 336, width=2)
    paper.text(182, 341, "tape", anchor="end")
    for x, y in ((465, 352), (545, 352)):
        paper.poly([(x, y - 22), (x - 14, y + 2), (x + 14, y + 2)], fill="white", closed=True)
        paper.text(x, y - 1, "!", anchor="middle", bold=True)
    paper.poly([(712, 170), (698, 194), (726, 194)], fill="white", closed=True)
    paper.text(712, 191, "!", anchor="middle", bold=True)
    paper.text(380, 180, "!: fingers, cuffs and tools", anchor="middle", bold=True)
    paper.text(380, 200, "are drawn in here", anchor="middle", bold=True)
    return paper
