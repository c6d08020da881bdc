"""The hooks. A plugin is a module with functions of these names, marked with `hook`.

A hook function may leave out arguments it does not need. What it gives back is collected from
all plugins, in the order in which they are registered. A hook that raises switches its plugin
off for the run, with the plugin, the file and the line named; everything else goes on.
"""

from __future__ import annotations

from collections.abc import Sequence

import pluggy

from fixbook.core.bench import Bench
from fixbook.core.calculator import Calculator
from fixbook.core.entry import Entry
from fixbook.core.plugins import Command, IndexFields, LinkScheme, ProofRule
from fixbook.core.sheet import Block
from fixbook.core.vocabulary import Vocabulary

hookspec = pluggy.HookspecMarker("fixbook")


@hookspec
def fixbook_calculators() -> Sequence[Calculator]:
    """Give calculator definitions. Called once, when a calculator is first needed.

    An empty list means none. Two calculators of one name: the later plugin is switched off.

        @hook
        def fixbook_calculators():
            return calculators_in(globals())
    """


@hookspec
def fixbook_commands() -> Sequence[Command]:
    """Give commands for the command line. Called once, when the program's own do not match.

    @hook
    def fixbook_commands():
        return [Command("stock", "what is in the drawers", add_arguments, run)]
    """


@hookspec
def fixbook_sheet_blocks(bench: Bench, entry: Entry) -> Sequence[Block]:
    """Give blocks to add to an entry's sheet. Called once for each sheet that is shown.

    They stand after the entry's own text and before its links. An empty list adds nothing.

        @hook
        def fixbook_sheet_blocks(bench, entry):
            return [TextBlock("From the shop", "see the shelf list")] if entry.parts else []
    """


@hookspec
def fixbook_link_schemes() -> Sequence[LinkScheme]:
    """Give the link schemes that the plugin resolves. Called once.

    @hook
    def fixbook_link_schemes():
        return [LinkScheme("drawer", lambda bench, link: LinkTarget(link.name, "…"))]
    """


@hookspec
def fixbook_index_fields(bench: Bench, entry: Entry) -> IndexFields | None:
    """Give extra facets and searchable text for an entry. Called when the entry is indexed.

    None adds nothing. The index is made anew when the set of plugins changes.

        @hook
        def fixbook_index_fields(bench, entry):
            return IndexFields(text=" ".join(part.value for part in entry.parts))
    """


@hookspec
def fixbook_summary(bench: Bench, entry: Entry) -> str:
    """Give a line of figures for an entry's sheet and results; empty where there is none.

    @hook
    def fixbook_summary(bench, entry):
        return f"{entry.minutes} min" if entry.minutes else ""
    """


@hookspec
def fixbook_proof_rules() -> Sequence[ProofRule]:
    """Give checks on write-ups, run by `fixbook proof`. Called once.

    @hook
    def fixbook_proof_rules():
        return [ProofRule("tools-named", check_tools)]
    """


@hookspec
def fixbook_words() -> Vocabulary:
    """Give synonyms and signs to add to the vocabulary. Called when the vocabulary is read.

    A book's own files may define the same words again; theirs hold.

        @hook
        def fixbook_words():
            return Vocabulary(synonyms=(("esr", "series resistance"),))
    """
