"""Everything fixbook reports on purpose.

    FixbookError                 exit_status, hint; to_json() for --json
      BookError                  a book folder: missing, unreadable, its settings wrong
      EntryError                 a write-up that cannot be used; carries its problems
        UnknownEntryError        an id nobody knows; carries close matches
      QueryError                 an option of a search that names nothing known
      CalculationError           an input of a calculator
        QuantityError            a value that cannot be read as the wanted kind
      PluginError                a plugin; carries its name, and the hook where one was called
      IndexFolderError           the index folder: not writable, locked

Arguments stay attributes; the sentence is made from them. Library errors are translated in the
adapter that meets them.
"""

from __future__ import annotations

import errno
from collections.abc import Sequence

TYPE_CHECKING = False
if TYPE_CHECKING:  # the checker alone needs it, and errors import nothing of ours
    from fixbook.core.problems import Problem


class FixbookError(Exception):
    """One sentence for the user: what was wrong, where, what to do."""

    exit_status = 2

    def __init__(
        self,
        why: str,
        *,
        hint: str = "",
        input: str = "",
        read: str = "",
        choices: Sequence[str] = (),
    ) -> None:
        super().__init__(why)
        self.why = why
        """What is wrong, as a sentence."""
        self.hint = hint
        """What to do about it; empty where `why` says so already."""
        self.input = input
        """The name of the input, option or file it is about."""
        self.read = read
        """What was read there."""
        self.choices = tuple(choices)
        """Readings or names that would have been right."""

    def to_json(self) -> dict[str, object]:
        """Give the shape that every command prints under `--json`."""
        return {
            "error": {
                "input": self.input,
                "read": self.read,
                "why": self.why,
                "choices": list(self.choices),
            }
        }


class BookError(FixbookError):
    """A book folder that is missing, unreadable or wrongly set up."""


class EntryError(FixbookError):
    """A write-up that cannot be used; `problems` says why, place by place."""

    def __init__(self, why: str, problems: Sequence[Problem] = (), *, hint: str = "") -> None:
        super().__init__(why, hint=hint)
        self.problems = tuple(problems)


class UnknownEntryError(FixbookError):
    """An id that no write-up has."""


class QueryError(FixbookError):
    """An option of a search that names nothing the book knows."""


class CalculationError(FixbookError):
    """An input that a calculator cannot use; `input` names it."""


class QuantityError(CalculationError, ValueError):
    """A value that cannot be read, or could be read in more than one way."""


class PluginError(FixbookError):
    """A plugin that failed; `plugin` names it, `hook` the call, `where` its file and line."""

    def __init__(self, plugin: str, why: str, *, hook: str = "", where: str = "") -> None:
        place = f" ({where})" if where else ""
        call = f" in {hook}" if hook else ""
        super().__init__(
            f"the plugin {plugin} failed{call}: {why}{place}; it is off for this run",
            input=plugin,
            hint="the rest goes on without it",
        )
        self.plugin = plugin
        self.hook = hook
        self.where = where


class IndexFolderError(FixbookError):
    """The index folder cannot be used: not writable, or held by another process."""


FULL = (errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC))
"""What the system says where a disk, or a user's share of it, is full."""


def disk_is_full(error: BaseException | None) -> bool:
    """Say whether a full disk is what an error comes from."""
    while error is not None and not (isinstance(error, OSError) and error.errno in FULL):
        error = error.__cause__
    return error is not None


def what_to_do(error: Exception, otherwise: str) -> str:
    """Give what to do about a file that cannot be written: make room where the disk is full."""
    return "make room on the disk, and do the same again" if disk_is_full(error) else otherwise
