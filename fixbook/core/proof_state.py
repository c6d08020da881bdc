"""What a withdrawn write-up owes its reader."""

from __future__ import annotations

from collections.abc import Iterator

from fixbook.core.page import Page
from fixbook.core.problems import Problem

RULE = "withdrawn"


def state_faults(page: Page) -> Iterator[Problem]:
    """Report a replacement without a withdrawal, and a write-up that is replaced by itself."""
    entry = page.entry
    if entry.replaced_by and entry.state != "withdrawn":
        what = f"it is replaced by {entry.replaced_by}, and its state is {entry.state}"
        yield page.fault(
            RULE, what, "write state: withdrawn, or take replaced-by out", "replaced-by"
        )
    if entry.replaced_by in (entry.id, *entry.aliases) and entry.replaced_by:
        yield page.fault(RULE, "it is replaced by itself", "name another", "replaced-by")
