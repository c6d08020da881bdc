"""What the templates of blocks ask for: each block's kind, its CommonMark and its drawing."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Sequence
from html import escape
from typing import Any

from fixbook.core import sheet as weights
from fixbook.core.links import ENTRY_SCHEMES, read_link
from fixbook.core.sheet import Block, CautionBlock, PictureBlock
from fixbook.render.clean import clean, clean_line
from fixbook.render.page.environment import environment, page
from fixbook.render.page.markdown import markdown_html

_SHEET = re.compile(r"fixbook sheet ([a-z][a-z0-9-]*)")
_WEIGHTS = {weights.GOOD: "good", weights.DOUBT: "doubt", weights.BAD: "bad"}

LONG_WORD = 15
"""Letters of a word that may be broken anywhere, so that a column is no wider than the page."""

Draw = Callable[[Block], str]
"""Gives a drawing as a `data:` address, empty where nothing here can draw."""


class Surroundings:
    """What a page stands among: the pages beside it, the pictures of its book, what draws."""

    def __init__(
        self,
        *,
        pages: Collection[str] = (),
        picture: Callable[[str], str] | None = None,
        draw: Draw | None = None,
    ) -> None:
        self.pages = pages
        """Ids of the write-ups that have a page in the same folder."""
        self.picture = picture or (lambda target: "")
        self.draw: Draw = draw or (lambda block: "")

    def href(self, target: str) -> str:
        """Give the page of a link's target; empty where it has none."""
        link = read_link(target)
        known = link.scheme in ENTRY_SCHEMES and link.name in self.pages
        return f"{link.name}.html" if known else ""


def sheet_page(
    title: str,
    under: Sequence[str],
    blocks: Sequence[Block],
    around: Surroundings,
    *,
    foot: Sequence[str],
    paper: str = "",
) -> str:
    """Give blocks as a page of HTML, cautions first whatever their place."""
    cautions = dict.fromkeys(block for block in blocks if isinstance(block, CautionBlock))
    body = [block for block in blocks if not isinstance(block, CautionBlock)]
    _filters(around)
    values = {
        "title": clean_line(title),
        "under": [word for word in under if word],
        "cautions": list(cautions),
        "body": body,
        "foot": foot,
        "up": bool(around.pages),
    }
    return page("sheet.html", values, foot=", ".join(foot[:1]), paper=paper)


def _filters(around: Surroundings) -> None:
    from markupsafe import Markup

    def markdown(text: str) -> Any:
        return Markup(markdown_html(text, around.href, around.picture))

    def cell(text: str) -> Any:
        found = _SHEET.fullmatch(text)
        if found and found[1] in around.pages:
            return Markup(f'<a href="{escape(found[1])}.html">{escape(found[1])}</a>')
        return text

    def picture(block: PictureBlock) -> Any:
        found, words = around.picture(block.file), clean_line(block.alternative)
        if not found:
            return f"[picture: {words}]"
        image = f'<img class="picture" src="{escape(found)}" alt="{escape(words)}">'
        return Markup(image)

    def drawn(block: Block) -> Any:
        return Markup(_figure(block, around.draw(block)))

    environment().filters.update(
        kind=_kind,
        markdown=markdown,
        cell=cell,
        picture=picture,
        drawn=drawn,
        lines=lambda text: [one for one in clean(text).split("\n") if one.strip()],
        paragraphs=_paragraphs,
        pairs=lambda values: list(values.items()),
        weight=lambda weight: _WEIGHTS.get(weight, "plain"),
        fit=_fit,
        tick=lambda row: " ".join(clean_line(cell) for cell in row if cell) or "done",
    )


def _kind(block: Block) -> str:
    return type(block).__name__.removesuffix("Block").lower()


def _fit(cell: str) -> str:
    """Say how a cell is broken: `bare` has nothing in it, `long` a word longer than a column."""
    if not cell.strip():
        return "bare"
    return "long" if max(len(word) for word in cell.split()) > LONG_WORD else "words"


def _paragraphs(text: str) -> list[str]:
    return [" ".join(part.split()) for part in clean(text).split("\n\n") if part.strip()]


def _figure(block: Block, drawing: str) -> str:
    from fixbook.render.drawing.words import facts

    told = [clean_line(line) for line in facts(block)]
    words = "".join(f"{escape(line)}<br>" for line in told).removesuffix("<br>")
    if not told:
        return ""
    if not drawing:
        return f"<figure><figcaption>{words}</figcaption></figure>"
    scale = _kind(block) == "scale"  # its words stand under it, those of the others in the drawing
    alternative = "the same on a scale" if scale else "; ".join(told)
    image = f'<img src="{escape(drawing)}" alt="{escape(alternative)}">'
    return f"<figure>{image}{f'<figcaption>{words}</figcaption>' if scale else ''}</figure>"
