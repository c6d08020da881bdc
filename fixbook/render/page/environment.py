"""The templates of pages: every value that goes into one is cleaned and escaped on its way."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from fixbook.render.clean import clean

if TYPE_CHECKING:
    from jinja2 import Environment

TEMPLATES = Path(__file__).parent / "templates"
NO_SCRIPTS = ""
OWN_SCRIPTS = "script-src 'self'; "
"""Scripts are files in the page's own folder; none is ever in a page."""
MARK = '<meta name="generator" content="fixbook">'
"""Stands in every page, so that no file of anyone else's is written over."""


@cache
def environment() -> Environment:
    """Make the environment of the templates."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined
    from markupsafe import Markup

    def cleaned(value: object) -> object:
        return value if isinstance(value, Markup) else clean(str(value))

    return Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=cleaned,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def page(template: str, values: Mapping[str, object], *, foot: str, paper: str = "") -> str:
    """Fill a page's template in.

    `foot` stands at the foot of every sheet of paper; `paper` is its size, empty for whatever
    is in the printer. The policy lets nothing in but the page's own style and embedded pictures.
    """
    from markupsafe import Markup

    style = _style() + _paper(foot, paper)
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    scripts = OWN_SCRIPTS if template in WITH_SCRIPTS else NO_SCRIPTS
    policy = (
        f"default-src 'none'; {scripts}img-src data:; style-src 'sha256-{digest}'; "
        "base-uri 'none'; form-action 'none'"
    )
    made = environment().get_template(template)
    return made.render(values, style=Markup(style), policy=Markup(policy), mark=Markup(MARK))


WITH_SCRIPTS = ("contents.html",)


def own_file(name: str) -> str:
    """Give a file that pages are made with, such as the script of the search."""
    return (TEMPLATES / name).read_text(encoding="utf-8")


@cache
def _style() -> str:
    return own_file("style.css")


def _paper(foot: str, size: str) -> str:
    """Give the rules of the sheet of paper; a text in them is kept to letters that end nothing."""
    told = "".join(
        one if one.isascii() and (one.isalnum() or one in " .,:-") else " " for one in foot
    )
    return (
        f"@page {{ {f'size: {size}; ' if size in ('A4', 'letter') else ''}margin: 14mm 14mm 18mm;\n"
        f'  @bottom-left {{ content: "{" ".join(told.split())}"; font: 8pt sans-serif }}\n'
        '  @bottom-right { content: counter(page) " of " counter(pages); font: 8pt sans-serif }\n'
        "}\n"
    )
