"""All rules of the program that look at one write-up alone."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from fixbook.core.page import Page
from fixbook.core.problems import Problem
from fixbook.core.proof_form import form_faults
from fixbook.core.proof_hazards import undeclared_hazards
from fixbook.core.proof_signs import signless
from fixbook.core.proof_state import state_faults
from fixbook.core.proof_steps import early_steps
from fixbook.core.proof_targets import vague_targets, windowless_targets, wrong_units
from fixbook.core.vocabulary import Vocabulary

RULES: tuple[Callable[[Page], Iterator[Problem]], ...] = (
    form_faults,
    vague_targets,
    windowless_targets,
    wrong_units,
    early_steps,
    signless,
    state_faults,
)


def page_faults(page: Page, vocabulary: Vocabulary) -> Iterator[Problem]:
    """Report what the program's own rules find in one write-up."""
    for rule in RULES:
        yield from rule(page)
    yield from undeclared_hazards(page, vocabulary.hazards)
