"""The proof rules that plugins give, each guarded: one that fails is named and switched off."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from fixbook.app.bench import LibraryBench
from fixbook.app.library import Library
from fixbook.core.page import Page
from fixbook.core.plugins import Finding, ProofRule
from fixbook.core.problems import Problem
from fixbook.hooks.loader import line_of

Rules = Sequence[tuple[str, ProofRule]]


def plugin_rules(library: Library) -> Rules:
    """Give the plugins' rules, each with its plugin's name."""
    return library.registry.gather("fixbook_proof_rules", ProofRule)


def plugin_faults(
    library: Library, bench: LibraryBench, page: Page, rules: Rules
) -> Iterator[Problem]:
    """Report what the plugins' rules find in one write-up."""
    for plugin, rule in rules:
        work = partial(_findings, rule, bench, page)
        place = line_of(rule.check)
        for found in library.registry.attempt(plugin, "fixbook_proof_rules", work, place=place):
            yield from (_problem(page, rule, finding) for finding in found)


def failed_plugins(library: Library) -> Iterator[Problem]:
    """Report the plugins that failed while proofing."""
    for error in library.registry.errors:
        where, _, line = error.where.rpartition(":")
        place = (where, int(line)) if where and line.isdigit() else (error.plugin, 1)
        yield Problem(*place, 1, "plugin", error.why, "mend or remove the plugin")


def _findings(rule: ProofRule, bench: LibraryBench, page: Page) -> list[Finding]:
    found = list(rule.check(bench, page.entry))
    if not all(isinstance(one, Finding) for one in found):
        raise TypeError(f"the rule {rule.name} gave something that is no Finding")
    return found


def _problem(page: Page, rule: ProofRule, finding: Finding) -> Problem:
    if finding.line:
        what = f"{finding.field}: {finding.problem}" if finding.field else finding.problem
        return page.body_fault(rule.name, what, finding.do, finding.line, finding.column)
    path = page.path(finding.field)
    what = f"{finding.field}: {finding.problem}" if finding.field else finding.problem
    if not path or not page.has(path[0]):
        return Problem(page.file, 1, 1, rule.name, what, finding.do)
    return page.fault(rule.name, what, finding.do, *path)
