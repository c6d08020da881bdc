"""Questions on a terminal: broken between words, and asked again where an answer cannot be used."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from fixbook.errors import FixbookError
from fixbook.render.lines import width_of, wrap

if TYPE_CHECKING:
    from prompt_toolkit import PromptSession
    from prompt_toolkit.completion import Completer

    from fixbook.cli.session import Session


LEAST_SHARE = 3
"""An answer begins behind its question where this part of the line is left for it."""


def laid(question: str, session: Session, reason: str = "") -> str:
    """Break a question between words, for the terminal's width; a blank stands at its end.

    One that would leave little room beside it is answered on a line of its own. Above it stands
    why the last answer could not be used, where there is such a reason.
    """
    lines = wrap(reason, session.width - 1) if reason else []
    lines += wrap(question, session.width - 1)
    if session.width - width_of(lines[-1]) < session.width // LEAST_SHARE:
        lines.append(" ")
    return "\n".join(lines) + " "


def ask_line(
    question: str,
    session: Session,
    check: Callable[[str], object] | None = None,
    *,
    prompt: PromptSession[str] | None = None,
    default: str = "",
    completer: Completer | None = None,
    while_typing: bool = True,
    keep: bool = True,
) -> str:
    """Ask until `check` raises no FixbookError, whose reason is said above the next try.

    `completer` offers words with each letter, or, not `while_typing`, where Tab asks for them. With
    `keep` a refused text stands there again, to be mended; without, the line is empty. EOFError
    or KeyboardInterrupt where the user leaves.
    """
    from prompt_toolkit import PromptSession

    prompt = prompt or PromptSession()
    reason = ""
    while True:
        text = prompt.prompt(
            laid(question, session, reason),
            default=default,
            completer=completer,
            complete_while_typing=while_typing,
        )
        try:
            if check is not None:
                check(text)
        except FixbookError as error:
            # It is shown with the question: what is typed meanwhile would go to no prompt.
            reason, default = error.why, text if keep else ""
        else:
            return text
