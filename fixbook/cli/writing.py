"""Asking a write-up's questions on a terminal, and opening the editor."""

from __future__ import annotations

import shlex
import subprocess
import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fixbook.app.writing import Desk
from fixbook.app.writing_begun import Near
from fixbook.app.writing_form import Question
from fixbook.cli.session import Session
from fixbook.core.draft import Draft
from fixbook.errors import BookError, FixbookError
from fixbook.render.clean import clean_line

if TYPE_CHECKING:
    from prompt_toolkit.completion import CompleteEvent, Completer, Completion
    from prompt_toolkit.document import Document
    from prompt_toolkit.validation import Validator

BEGIN = "Enter takes what stands there or leaves a gap, Tab completes, Ctrl-D stops and keeps the draft."


def ask_all(
    form: Sequence[Question], draft: Draft, session: Session, desk: Desk, key: str
) -> Draft:
    """Ask every question; the draft is kept after each answer. EOFError where the user stops."""
    from prompt_toolkit import PromptSession

    prompt: PromptSession[str] = PromptSession()
    session.write([[("quiet", BEGIN)]])
    for question in form:
        for line in question.got(draft) if question.many else ():
            if line.strip():
                session.write([[("quiet", f"  {clean_line(line)}")]])
        while True:
            text = _ask(prompt, question, draft)
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
    from prompt_toolkit import prompt

    ids = [one.id for one in near]
    lines = [f"{number}  {one.id}: {one.title}" for number, one in enumerate(near, 1)]
    for id in linked:
        if id not in ids:
            ids.append(id)
            lines.append(f"{len(ids)}  {id}: the job is linked to it")
    if not ids:
        return ""
    session.write([[("heading", "There already:")], *[[("plain", clean_line(x))] for x in lines]])

    def choice(text: str) -> str:
        word = text.strip()
        if word in ("", "0", "new"):
            return ""
        if word.isascii() and word.isdigit() and 0 < int(word[:3]) <= len(ids):
            return ids[int(word[:3]) - 1]
        if word in ids:
            return word
        raise BookError(f"a number from 1 to {len(ids)}, or nothing for a new write-up")

    question = "extend one of these? its number (empty: a new write-up): "
    return choice(prompt(question, validator=_validator(choice), validate_while_typing=False))


def ask_id(suggested: str, desk: Desk, session: Session) -> str:
    """Ask for the id of a new write-up."""
    from prompt_toolkit import prompt

    def good(text: str) -> str:
        if fault := desk.id_fault(text.strip()):
            raise BookError(fault)
        return text.strip()

    return good(prompt("id: ", default=suggested, validator=_validator(good),
                       validate_while_typing=False))  # fmt: skip


def edit(path: Path, session: Session) -> None:
    """Open a file in the user's editor and wait for it; BookError where that cannot be."""
    named = session.environment.get("VISUAL") or session.environment.get("EDITOR")
    if not session.can_ask:
        return
    if not named:
        said = f"no editor is named by VISUAL or EDITOR; the text is {path}"
        session.write([[("quiet", clean_line(said))]])
        return
    command = shlex.split(named, posix=sys.platform != "win32")
    try:
        status = subprocess.run([*command, str(path)], check=False).returncode
    except (OSError, ValueError) as error:
        raise BookError(
            f"the editor {named!r} cannot be started: {error}", input="VISUAL", read=named,
            hint=f"set VISUAL to your editor; the draft is {path}",
        ) from error  # fmt: skip
    if status:
        raise BookError(
            f"the editor {named!r} ended with status {status}", input="VISUAL", read=named,
            hint=f"the draft is kept as it is: {path}; 'fixbook write {path.stem}' goes on",
        )  # fmt: skip


def _ask(prompt: Any, question: Question, draft: Draft) -> str:
    def check(text: str) -> object:
        return question.answer(draft, text)

    answer: str = prompt.prompt(
        f"{question.ask}: ",
        default="" if question.many else question.given(draft),
        completer=_completer(question.words) if question.words else None,
        complete_while_typing=False,
        validator=_validator(check),
        validate_while_typing=False,
    )
    return answer


def _validator(check: Callable[[str], object]) -> Validator:
    from prompt_toolkit.validation import ValidationError, Validator

    class Readable(Validator):
        """Refuses what the form could not read, in the form's own words."""

        def validate(self, document: Document) -> None:
            if not document.text.strip():
                return
            try:
                check(document.text)
            except FixbookError as error:
                raise ValidationError(len(document.text), error.why) from error

    return Readable()


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
