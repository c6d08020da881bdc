"""Ways of taking parts off a board: two cuts, rocking, two irons."""

from __future__ import annotations

from paper import GREY, Paper


def board_edge(paper: Paper, x: float, y: float, width: float) -> None:
    """Draw a board from the side; y is its upper face."""
    paper.rect(x, y, width, 16, fill=GREY)


def pads(paper: Paper, middle: float, y: float) -> None:
    """Draw two pads on the board, left and right of the middle."""
    paper.rect(middle - 78, y - 6, 48, 6, fill="black", width=1)
    paper.rect(middle + 30, y - 6, 48, 6, fill="black", width=1)


def can_two_cuts() -> Paper:
    """A can from the side with both cuts, and what is left to wipe off."""
    paper = Paper(
        "can-two-cuts",
        "Cutting a can capacitor free in two bites",
        "Left: a can from the side on its plastic base with cut 1 halfway up and cut 2 just above "
        "the base, and an upward pull crossed out. Right: the two legs left on their pads, wiped "
        "outwards while hot.",
        720,
        400,
    )
    board_edge(paper, 30, 330, 330)
    pads(paper, 190, 330)
    paper.rect(118, 300, 144, 24)
    paper.rect(125, 110, 130, 190, round_by=10)
    paper.line(125, 285, 255, 285, width=1.5)
    paper.rect(150, 272, 80, 28, fill=GREY, width=1)
    paper.rect(140, 124, 100, 140, width=1, dash="4 4")
    paper.lines(190, 150, ["roll of", "foil"], anchor="middle", size=13)
    paper.poly([(174, 262), (174, 322), (118, 322)], width=3)
    paper.poly([(206, 262), (206, 322), (262, 322)], width=3)
    paper.line(85, 205, 300, 205, dash="9 6")
    paper.line(85, 292, 300, 292, dash="9 6")
    paper.number(72, 205, "1")
    paper.number(72, 292, "2")
    paper.lines(308, 200, ["halfway up:", "top comes away"], size=13)
    paper.lines(308, 268, ["just above the base,", "through rubber and legs"], size=13)
    paper.arrow(190, 90, 190, 28, width=3, head=14)
    paper.cross_out(190, 58, 18)
    paper.text(220, 62, "never pull upwards", bold=True)
    board_edge(paper, 480, 330, 220)
    pads(paper, 590, 330)
    paper.poly([(574, 292), (574, 322), (518, 322)], width=3)
    paper.poly([(606, 292), (606, 322), (662, 322)], width=3)
    paper.arrow(560, 302, 490, 302)
    paper.arrow(620, 302, 690, 302)
    paper.number(590, 250, "3")
    paper.lines(
        590, 212, ["legs wiped off hot,", "outwards along the pad"], anchor="middle", size=13
    )
    paper.text(195, 375, "board", anchor="middle", size=13)
    return paper


def leaning_can(paper: Paper, x: float, y: float, lean: float) -> None:
    """Draw a can on its base, leant by so many degrees about its lower corner."""
    corner = x + (55 if lean > 0 else -55)
    turn = f"rotate({lean},{corner},{y})"
    start = len(paper.shapes)
    paper.rect(x - 55, y - 20, 110, 20)
    paper.rect(x - 48, y - 120, 96, 100, round_by=8)
    body = "".join(paper.shapes[start:])
    del paper.shapes[start:]
    paper.shapes.append(f'<g transform="{turn}">{body}</g>')


def hot_tip(paper: Paper, x: float, y: float, *, side: int) -> None:
    """Draw a soldering tip that touches (x, y); side is -1 from the left, 1 from the right."""
    paper.poly(
        [(x, y), (x + side * 40, y - 30), (x + side * 52, y - 16)], fill=GREY, closed=True, width=2
    )
    paper.poly(
        [
            (x + side * 38, y - 33),
            (x + side * 72, y - 58),
            (x + side * 86, y - 40),
            (x + side * 54, y - 13),
        ],
        fill="white",
        closed=True,
    )


def can_rocking() -> Paper:
    """Three stages of rocking a can off its pads."""
    paper = Paper(
        "can-rocking",
        "Rocking a can capacitor from pad to pad",
        "Three side views. First pad A is heated and the can leans a little towards B. Then pad B "
        "is heated and the can leans towards A. Last the can stands clear of A and comes off. A "
        "large lean at once tears the far pad.",
        900,
        370,
    )
    heads = ("heat A, lean to B", "heat B, lean to A", "A clear, B liquid: lift")
    for stage, (lean, head) in enumerate(zip((5, -5, 14), heads, strict=True)):
        middle = 165 + stage * 285
        board_edge(paper, middle - 105, 260, 210)
        pads(paper, middle, 260)
        leaning_can(paper, middle, 252, lean)
        paper.text(middle - 54, 296, "A", anchor="middle", bold=True)
        paper.text(middle + 54, 296, "B", anchor="middle", bold=True)
        paper.text(middle, 40, head, anchor="middle", bold=True)
        paper.number(middle, 72, str(stage + 1))
        side = -1 if stage == 0 else 1
        hot_tip(paper, middle + side * 66, 252, side=side)
    paper.lines(
        450,
        330,
        [
            "Each lean about as much as the leg is thick (here drawn larger).",
            "A large lean at once tears the far pad.",
        ],
        anchor="middle",
    )
    return paper


def two_iron_removal() -> Paper:
    """Plan view of a chip part between two tips."""
    paper = Paper(
        "two-iron-removal",
        "Taking off a chip part with two irons",
        "Plan view: a chip part lies between two pads with a soldering tip on each end; both "
        "joints are liquid. An arrow shows the slide along the board; below, from the side, an "
        "arrow upwards is crossed out.",
        720,
        430,
    )
    paper.text(360, 30, "seen from above", anchor="middle", bold=True)
    for x in (230, 410):
        paper.rect(x, 90, 80, 80, fill=GREY)
    paper.rect(280, 98, 160, 64)
    paper.rect(280, 98, 30, 64, fill="black")
    paper.rect(410, 98, 30, 64, fill="black")
    for side, edge in ((-1, 277), (1, 443)):
        paper.poly(
            [
                (edge, 112),
                (edge + side * 70, 100),
                (edge + side * 190, 92),
                (edge + side * 190, 168),
                (edge + side * 70, 160),
                (edge, 148),
            ],
            closed=True,
            fill="white",
        )
        paper.text(edge + side * 120, 135, "tip, hot", anchor="middle", size=13)
    paper.arrow(360, 172, 360, 232, width=3, head=14)
    paper.text(376, 215, "nudge sideways, along the board")
    paper.text(232, 82, "liquid", anchor="start", size=13)
    paper.text(488, 82, "liquid", anchor="end", size=13)
    paper.text(360, 280, "from the side", anchor="middle", bold=True)
    board_edge(paper, 180, 380, 360)
    for x in (230, 410):
        paper.rect(x, 374, 80, 6, fill="black", width=1)
    paper.rect(280, 334, 160, 38)
    paper.rect(280, 334, 30, 38, fill="black")
    paper.rect(410, 334, 30, 38, fill="black")
    paper.arrow(360, 330, 360, 290, width=3, head=14)
    paper.cross_out(360, 312, 13)
    paper.text(384, 316, "no pulling while one end is solid")
    return paper
