"""The shop's own past jobs behind every write-up.

Each hook imports what it needs when it is called, so that a sheet pays for no database.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from fixbook.api import (
    BackupFile,
    Bench,
    Block,
    Calculator,
    Command,
    Counts,
    Entry,
    ExtraDocuments,
    IndexFields,
    JobFacts,
    JobSource,
    Link,
    LinkScheme,
    LinkTarget,
    ScreenPanel,
    calculators_in,
    hook,
)


@hook
def fixbook_commands() -> list[Command]:
    """Give `fixbook job`."""
    from .commands import configure, run

    return [
        Command("job", "the shop's jobs: record, link, bring in, see what held", configure, run)
    ]


@hook
def fixbook_calculators() -> list[Calculator]:
    """Give the sums behind the figures of past jobs."""
    from . import calculators, returning

    return calculators_in({**vars(calculators), **vars(returning)})


@hook
def fixbook_job_sources() -> list[JobSource]:
    """Give the ways to read history: delimited text, spreadsheets, JSON, a database's table."""
    from .sources import SOURCES

    return list(SOURCES)


@hook
def fixbook_screen_panels() -> list[ScreenPanel]:
    """Give the job at the bench: started, noted, measured and closed on the screen."""
    from .panel import panel

    return [panel()]


@hook
def fixbook_sheet_blocks(bench: Bench, entry: Entry) -> Sequence[Block]:
    """Add what past jobs say of a fault, and what its targets read on units that stayed fixed."""
    from .place import has_jobs

    if not has_jobs(bench):
        return []
    from .sheet_block import blocks

    return blocks(bench, entry)


@hook
def fixbook_summary(bench: Bench, entry: Entry) -> str:
    """Say in a line how often a fault was seen here and how often its fix held."""
    from .place import has_jobs

    if not has_jobs(bench):
        return ""
    from .sheet_block import summary

    return summary(bench, entry)


@hook
def fixbook_link_schemes() -> list[LinkScheme]:
    """Open `job:` links."""
    return [LinkScheme("job", _resolve)]


@hook
def fixbook_index_fields(bench: Bench, entry: Entry) -> IndexFields | None:
    """Follow the `job:` links of a write-up, also when its last one went away."""
    from .place import has_jobs

    if "job:" not in entry.body and not has_jobs(bench):
        return None
    from .bodies import fields

    return fields(bench, entry)


@hook
def fixbook_index_documents(bench: Bench) -> list[ExtraDocuments]:
    """Let past jobs be searched with `find --kind job`."""
    from .documents import documents

    return documents(bench)


@hook
def fixbook_seen_here(bench: Bench) -> Mapping[str, int] | None:
    """Let what this shop sees often rank a little higher among equals."""
    from .place import has_jobs

    if not has_jobs(bench):
        return None
    from .figures import seen_lately

    return seen_lately(bench)


@hook
def fixbook_evidence(bench: Bench, unit: str) -> Counts | None:
    """Give what was found in this unit so far, for narrowing."""
    from .place import has_jobs

    if not has_jobs(bench):
        return None
    from .evidence import counts

    return counts(bench, unit)


@hook
def fixbook_job_facts(bench: Bench, number: str) -> JobFacts | None:
    """Let a write-up begin with what a job knows."""
    from .facts import facts

    return facts(bench, number)


@hook
def fixbook_job_note(bench: Bench, number: str, text: str, signs: Mapping[str, str]) -> bool:
    """Put what was found out at the bench into a job."""
    from .noting import take_note

    return take_note(bench, number, text, signs)


@hook
def fixbook_renamed(bench: Bench, old: str, new: str) -> None:
    """Let links and readings follow an entry to its new id."""
    from .place import has_jobs

    if has_jobs(bench):
        from .store import open_store

        with open_store(bench) as store:
            store.rename(old, new)


@hook
def fixbook_backup(bench: Bench) -> list[BackupFile]:
    """Give the jobs for a backup."""
    from .backing_up import files

    return files(bench)


def _resolve(bench: Bench, link: Link) -> LinkTarget:
    from .scheme import resolve

    return resolve(bench, link)
