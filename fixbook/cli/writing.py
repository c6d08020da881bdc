"""Asking a write-up's questions on a terminal, and opening the editor."""

from __future__ import annotations

import shlex
import subprocess
import sys
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from fixbook.app.writing import Desk
from fixbook.app.writing_begun import Near
from fixbook.app.writing_form import Question
from fixbook.cli.prompting import ask_line
from fixbook.cli.session import Session
from fixbook.core.draft import Draft
from fixbook.errors import BookError
from fixbook.render.clean import clean_line
from fixbook.render.lines import hanging, wrap

if TYPE_CHECKING:
    from prompt_toolkit import PromptSession
    from prompt_toolkit.completion import CompleteEvent, Completer, Completion
    from prompt_toolkit.document import Document

BEGIN = "Enter takes what stands there or leaves a gap, Tab completes, Ctrl-D stops and keeps the draft."


def ask_all(
    form: Sequence[Question], draft: Draft, session: Session, desk: Desk, key: str
) -> Draft:
    """Ask every question; the draft is kept after each answer. EOFError where the user stops."""
    from prompt_toolkit import PromptSession

    prompt: PromptSession[str] = PromptSession()
    session.write([[("quiet", line)] for line in wrap(BEGIN, session.width)])
    for question in form:
        for line in question.got(draft) if question.many else ():
            if line.strip():
                session.write(hanging("  ", line, session.width, style="quiet"))
        while True:
            text = _ask(prompt, question, draft, session)
            if not text.strip():
                break
            draft = question.answer(draft, text)
            desk.keep_answers(key, draft)
            if not question.many:
                break
    desk.keep_answers(key, draft)
    return draft


def choose_near(near: Sequence[Near], linked: Iterable[str], session: Session) -> str:
    """Show the nearest write-ups; give the id of the one to extend, empty for a new one."""
    ids = [one.id for one in near]
    lines = [f"{number}  {one.id}: {one.title}" for number, one in enumerate(near, 1)]
    for id in linked:
        if id not in ids:
            ids.append(id)
            lines.append(f"{len(ids)}  {id}: the job is linked to it")
    if not ids:
        return ""
    session.write([[("heading", "There already:")]])
    for line in lines:
        session.write([[("plain", part)] for part in wrap(line, session.width)])

    def choice(text: str) -> str:
        word = text.strip()
        if word in ("", "0", "new"):
            return ""
        if word.isascii() and word.isdigit() and 0 < int(word[:3]) <= len(ids):
            return ids[int(word[:3]) - 1]
        if word in ids:
            return word
        raise BookError(f"a number from 1 to {len(ids)}, or nothing for a new write-up")

    question = "extend one of these? its number (empty: a new write-up):"
    return choice(ask_line(question, session, choice))


def ask_id(suggested: str, desk: Desk, session: Session) -> str:
    """Ask for the id of a new write-up."""

    def good(text: str) -> str:
        if fault := desk.id_fault(text.strip()):
            raise BookError(fault)
        return text.strip()

    return good(ask_line("id:", session, good, default=suggested))


def edit(path: Path, session: Session) -> None:
    """Open a file in the user's editor and wait for it; BookError where that cannot be."""
    variable = "VISUAL" if session.environment.get("VISUAL") else "EDITOR"
    named = session.environment.get(variable)
    if not session.can_ask:
        return
    if not named:
        said = f"no editor is named by VISUAL or EDITOR; the text is {path}"
        session.write([[("quiet", line)] for line in wrap(said, session.width)])
        return
    try:
        command = shlex.split(named, posix=sys.platform != "win32")
        status = subprocess.run([*command, str(path)], check=False).returncode
    except (OSError, ValueError) as error:
        raise BookError(
            f"the editor {named!r}, named by {variable}, cannot be started: {_why_not(error)}",
            input=variable, read=named,
            hint=f"set {variable} to your editor; the draft is {path}: 'fixbook write {path.stem}' "
            "goes on, and with --no-editor files it as it is",
        ) from error  # fmt: skip
    if status:
        raise BookError(
            f"the editor {named!r} ended with status {status}", input=variable, read=named,
            hint=f"the draft is kept as it is: {path}; 'fixbook write {path.stem}' goes on",
        )  # fmt: skip


def _why_not(error: Exception) -> str:
    """Say in plain words why a program cannot be started."""
    if isinstance(error, FileNotFoundError):
        return "there is no such program"
    if isinstance(error, PermissionError):
        return "it is no program that may be run"
    return getattr(error, "strerror", None) or "its name has a quote that is not closed"


def _ask(prompt: PromptSession[str], question: Question, draft: Draft, session: Session) -> str:
    def check(text: str) -> object:
        return question.answer(draft, text) if text.strip() else None

    return ask_line(
        f"{question.ask}:",
        session,
        check,
        prompt=prompt,
        default="" if question.many else question.given(draft),
        completer=_completer(question.words) if question.words else None,
        while_typing=False,
    )


def _completer(words: Mapping[str, str]) -> Completer:
    from prompt_toolkit.completion import Completer, Completion

    class Offered(Completer):
        """Offers the words that begin with, then those that hold, what stands after a comma."""

        def get_completions(
            self, document: Document, complete_event: CompleteEvent
        ) -> Iterable[Completion]:
            typed = document.text_before_cursor.rpartition(",")[2].lstrip()
            for word in offered(words, typed):
                yield Completion(word, -len(typed), display_meta=clean_line(words[word])[:60])

    return Offered()


def offered(words: Mapping[str, str], typed: str, *, most: int = 50) -> list[str]:
    """Give the words to offer for what was typed, the likeliest first."""
    wanted = typed.lower()
    begins = [word for word in words if word.lower().startswith(wanted)]
    holds = [
        word
        for word, about in words.items()
        if word not in begins and (wanted in word.lower() or wanted in about.lower())
    ]
    return [*begins, *(holds if wanted else ())][:most]
