"""Proofing: every fault of every write-up and vocabulary file, at once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from fixbook.app.bench import LibraryBench
from fixbook.app.library import Filed, Library, Shelf
from fixbook.core.links import ENTRY_SCHEMES, links_in, read_link
from fixbook.core.plugins import Finding, ProofRule
from fixbook.core.problems import Problem, did_you_mean
from fixbook.errors import BookError
from fixbook.hooks.loader import line_of
from fixbook.store.folder import VOCABULARY


@dataclass(frozen=True, slots=True)
class Proof:
    """What proofing found."""

    files: int
    """How many files were looked at."""
    problems: tuple[Problem, ...]

    def to_json(self) -> dict[str, object]:
        """Give the shape of `proof --json`."""
        return {"files": self.files, "problems": [one.to_json() for one in self.problems]}


def proof(library: Library, paths: Sequence[str] = ()) -> Proof:
    """Proof the book, or only the files and folders named; BookError for a path that is none.

    A folder outside the open book is proofed as a book of its own.
    """
    if not paths:
        return _proof_shelves(library, library.shelves[:1], None)
    files = 0
    problems: list[Problem] = []
    for path in paths:
        root, wanted = _root_of(path)
        opened = library.beside(root, path if wanted is None else str(root))
        found = _proof_shelves(opened, opened.shelves[:1], wanted)
        files += found.files
        problems += found.problems
    return Proof(files, tuple(dict.fromkeys(problems)))


def _root_of(path: str) -> tuple[Path, str | None]:
    """Give the folder of entries that a path belongs to, and the file in it, if it is one."""
    given = Path(path)
    if not given.exists():
        raise BookError(
            f"there is no file or folder {path}",
            input="PATH",
            read=path,
            hint="name a write-up's file, a folder of write-ups, or nothing for the whole book",
        )
    absolute = given.absolute()
    if (absolute / "entries").is_dir():
        return absolute / "entries", None
    if absolute.is_dir() and not (absolute.parent / VOCABULARY).is_dir():
        return absolute, None
    start = absolute if absolute.is_dir() else absolute.parent
    roots = [one for one in (start, *start.parents) if (one / VOCABULARY).is_dir()]
    root = roots[0] if roots else (start if absolute.is_dir() else start.parent)
    inside = absolute.relative_to(root).as_posix()
    return root, None if inside == "." else inside


def _proof_shelves(library: Library, shelves: Sequence[Shelf], wanted: str | None) -> Proof:
    bench = LibraryBench(library)
    rules = library.registry.gather("fixbook_proof_rules", ProofRule)
    _, problems = library.read_vocabulary()
    problems = [*library.shop_problems, *problems]
    owners: dict[str, Filed] = {}
    files = 0
    known = set(_known_ids(library))
    for shelf in shelves:
        listing = library.listings[shelf.name]
        problems += listing.problems
        files += len(listing.vocabulary)
        for path in listing.entries:
            if wanted is not None and path != wanted and not path.startswith(f"{wanted}/"):
                continue
            files += 1
            filed, faults = library.read(shelf, path)
            problems += faults
            if filed is not None:
                problems += _twice(filed, owners)
                problems += _links(library, filed, known)
                problems += _rules(library, bench, filed, rules)
    for error in library.registry.errors:
        where, _, line = error.where.rpartition(":")
        place = (where, int(line)) if where and line.isdigit() else (error.plugin, 1)
        problems.append(Problem(*place, 1, "plugin", error.why, "mend or remove the plugin"))
    if wanted is not None:
        root = shelves[0].shown
        begins = f"{root}/{wanted}"
        problems = [one for one in problems if one.file == begins or begins + "/" in one.file]
    return Proof(files, tuple(sorted(set(problems))))


def _known_ids(library: Library) -> Iterable[str]:
    for filed in library.filed():
        yield filed.entry.id
        yield from filed.entry.aliases


def _twice(filed: Filed, owners: dict[str, Filed]) -> list[Problem]:
    problems = []
    for id in (filed.entry.id, *filed.entry.aliases):
        first = owners.setdefault(id, filed)
        if first is not filed:
            problems.append(
                Problem(
                    filed.file, 2, 1, "repeated-id", f"{id!r} is the id of {first.file} too",
                    "give one of them another id; until then only the first is found",
                )
            )  # fmt: skip
    return problems


def _links(library: Library, filed: Filed, known: set[str]) -> list[Problem]:
    entry, problems = filed.entry, []
    for field, ids in (("also", entry.also), ("see", entry.see)):
        problems += [_nowhere(filed, 1, 1, f"{field}: {id}", id, known) for id in ids
                     if id not in known]  # fmt: skip
    if entry.replaced_by and entry.replaced_by not in known:
        problems.append(
            _nowhere(filed, 1, 1, f"replaced-by: {entry.replaced_by}", entry.replaced_by, known)
        )
    schemes = library.link_schemes()
    for line, column, picture, _, target in links_in(entry.body):
        at = line + entry.body_line - 1
        link = read_link(target)
        if picture or not link.scheme:
            problems += _picture(filed, at, column, target) if not target.startswith("#") else []
        elif link.scheme in ENTRY_SCHEMES:
            if link.name not in known:
                problems.append(_nowhere(filed, at, column, target, link.name, known))
        elif link.scheme not in schemes:
            all_schemes = (*ENTRY_SCHEMES, *schemes)
            do = did_you_mean(link.scheme, all_schemes, otherwise=f"use {', '.join(all_schemes)}")
            what = f"nothing opens the link {target!r}"
            problems.append(Problem(filed.file, at, column, "link", what, do))
    return problems


def _nowhere(filed: Filed, line: int, column: int, what: str, id: str, known: set[str]) -> Problem:
    do = did_you_mean(id, known, otherwise="mend the id, or write the missing write-up")
    return Problem(filed.file, line, column, "link", f"{what} leads nowhere", do)


def _picture(filed: Filed, line: int, column: int, target: str) -> list[Problem]:
    root = filed.shelf.root.resolve()
    file = (root / filed.path).parent / read_link(target).name
    resolved = file.resolve()
    if not resolved.is_relative_to(root / "pictures"):
        what, do = "leads out of the book's pictures", "put the picture under entries/pictures/"
    elif not resolved.is_file():
        what, do = "is not there", "mend its name, or add the picture"
    else:
        return []
    return [Problem(filed.file, line, column, "picture", f"the picture {target!r} {what}", do)]


def _rules(
    library: Library, bench: LibraryBench, filed: Filed, rules: Sequence[tuple[str, ProofRule]]
) -> list[Problem]:
    problems = []
    for plugin, rule in rules:
        work = partial(_findings, rule, bench, filed)
        place = line_of(rule.check)
        for found in library.registry.attempt(plugin, "fixbook_proof_rules", work, place=place):
            problems += [_problem(filed, rule, finding) for finding in found]
    return problems


def _findings(rule: ProofRule, bench: LibraryBench, filed: Filed) -> list[Finding]:
    found = list(rule.check(bench, filed.entry))
    if not all(isinstance(one, Finding) for one in found):
        raise TypeError(f"the rule {rule.name} gave something that is no Finding")
    return found


def _problem(filed: Filed, rule: ProofRule, finding: Finding) -> Problem:
    return Problem(
        filed.file,
        finding.line + filed.entry.body_line - 1 if finding.line else 1,
        finding.column,
        rule.name,
        f"{finding.field}: {finding.problem}" if finding.field else finding.problem,
        finding.do,
    )
