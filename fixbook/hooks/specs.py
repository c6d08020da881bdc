"""The hooks. A plugin is a module with functions of these names, marked with `hook`.

A hook function may leave out arguments it does not need. What it gives back is collected from
all plugins, in the order in which they are registered. A hook that raises switches its plugin
off for the run, with the plugin, the file and the line named; everything else goes on.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pluggy

from fixbook.core.bench import Bench
from fixbook.core.calculator import Calculator
from fixbook.core.entry import Entry
from fixbook.core.plugins import (
    BackupFile,
    Command,
    Counts,
    ExtraDocuments,
    IndexFields,
    JobFacts,
    JobSource,
    LinkScheme,
    ProofRule,
    ScreenPanel,
)
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


@hookspec
def fixbook_index_documents(bench: Bench) -> Sequence[ExtraDocuments]:
    """Give documents of the plugin's own to be searched, such as past jobs. Called when the
    index is opened for the first time, and again when a watched file has changed.

    They are in the results only when their kind is asked for.

        @hook
        def fixbook_index_documents(bench):
            return [ExtraDocuments("memo", stamps, make_document, watch=("/book/memos.txt",))]
    """


@hookspec
def fixbook_seen_here(bench: Bench) -> Mapping[str, int] | None:
    """Give how often each entry was seen lately, by id, counting those seen at all.

    Called with `fixbook_index_documents`, and kept with what that gives. Such entries rank a
    little higher among equals; several plugins' counts are added. None where nothing is counted.

        @hook
        def fixbook_seen_here(bench):
            return {"amp-dc-offset": 3}
    """


@hookspec
def fixbook_evidence(bench: Bench, unit: str) -> Counts | None:
    """Give what the shop has counted about a unit's faults, signs and answers. Called when
    causes are narrowed down. None where there is nothing; several plugins' counts are added.

        @hook
        def fixbook_evidence(bench, unit):
            return Counts(faults={"amp-dc-offset": 3}) if unit == "power-amplifier" else None
    """


@hookspec
def fixbook_job_sources() -> Sequence[JobSource]:
    """Give ways to read a shop's existing history. Called once, when history is brought in.

    @hook
    def fixbook_job_sources():
        return [JobSource("card file", (".cards",), read_cards)]
    """


@hookspec
def fixbook_job_facts(bench: Bench, number: str) -> JobFacts | None:
    """Give what a past job knows that a write-up can begin with. Called when one is begun from
    that job. None where the plugin has no such job; the first that has one holds.

        @hook
        def fixbook_job_facts(bench, number):
            return JobFacts(unit="power-amplifier", complaint="hums") if number == "7" else None
    """


@hookspec
def fixbook_job_note(bench: Bench, number: str, text: str, signs: Mapping[str, str]) -> bool:
    """Put a note, and the signs that were looked for, into a job. Called when a plugin has found
    out something about the unit on the bench.

    True where it was put in, False where the plugin keeps no jobs. FixbookError, with words,
    where there is no such job.

        @hook
        def fixbook_job_note(bench, number, text, signs):
            return append_line(bench.folder, number, text)
    """


@hookspec
def fixbook_renamed(bench: Bench, old: str, new: str) -> None:
    """Follow an entry to its new id. Called after the file has its new name.

    The old id stays an alias of the entry, so a plugin that fails here loses nothing.

        @hook
        def fixbook_renamed(bench, old, new):
            move_notes(bench.folder, old, new)
    """


@hookspec
def fixbook_backup(bench: Bench) -> Sequence[BackupFile]:
    """Give the files of the plugin that belong in a backup. Called once for each backup.

    @hook
    def fixbook_backup(bench):
        return [BackupFile("memos.txt", lambda: read_memos(bench.folder))]
    """


@hookspec
def fixbook_screen_panels(bench: Bench) -> Sequence[ScreenPanel]:
    """Give panels of the bench screen. Called once, after the screen has opened the book.

    A panel is a pure function of (state, event); what takes time or touches files is asked for
    in the state's `work`, done beside the screen, and comes back as an event. An empty list
    means none. A panel whose function raises switches its plugin off.

        @hook
        def fixbook_screen_panels(bench):
            begin = PanelState("Memo", fields=(PanelField("memo", "memo"),))
            return [ScreenPanel("memo", "a line to remember", begin, step)]
    """
