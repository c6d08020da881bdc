"""Say which packages have a known weakness, without asking a network.

    python .ci/audit.py

Two things are held against `advisories.txt`: the versions installed where this runs, and the lowest
versions that `pyproject.toml` allows, since those may be what another machine has. The list is only
as new as its date; a machine with a network may ask a service that knows more.
"""

from __future__ import annotations

import sys
import tomllib
from importlib.metadata import distributions
from pathlib import Path

from packaging.requirements import Requirement
from packaging.specifiers import SpecifierSet
from packaging.utils import canonicalize_name
from packaging.version import Version

LIST = Path(__file__).with_name("advisories.txt")
PROJECT = Path(__file__).parents[1] / "pyproject.toml"


def known() -> list[tuple[str, SpecifierSet, str]]:
    """Give the package, affected versions and advisory of each line of the list."""
    lines = [line for line in LIST.read_text(encoding="utf-8").splitlines() if line[:1] not in "#"]
    rows = [line.split() for line in lines]
    return [(name, SpecifierSet(affected), advisory) for name, affected, advisory, _ in rows]


def installed() -> list[tuple[str, Version, str]]:
    """Give the name and version of each package here, and what to say of it."""
    return [
        (name, Version(one.version), f"{name} {one.version} is installed")
        for one in distributions()
        for name in [canonicalize_name(one.metadata["Name"])]
    ]


def allowed(project: Path = PROJECT) -> list[tuple[str, Version, str]]:
    """Give the lowest version allowed of each package named by a project, and what to say of it."""
    read = tomllib.loads(project.read_text(encoding="utf-8"))
    named = [*read["build-system"]["requires"], *read["project"]["dependencies"]]
    named += [one for extra in read["project"]["optional-dependencies"].values() for one in extra]
    wanted = [Requirement(one) for one in named]
    return [
        (name, Version(bound.version), f"{project.name} allows {name} {bound.version}")
        for one in wanted
        for name in [canonicalize_name(one.name)]
        for bound in one.specifier
        if bound.operator in (">=", "==", "~=")
    ]


def faults(
    versions: list[tuple[str, Version, str]], weak: list[tuple[str, SpecifierSet, str]]
) -> list[str]:
    """Give a line for each version that an advisory names."""
    return [
        f"{said}, which {advisory} names ({affected}): take one outside that"
        for name, version, said in versions
        for package, affected, advisory in weak
        if name == package and affected.contains(version, prereleases=True)
    ]


def main() -> int:
    """Compare both, and print what was found."""
    weak, versions = known(), [*installed(), *allowed()]
    found = faults(versions, weak)
    print(*found, sep="\n", end="\n" if found else "")
    print(f"{len(versions)} versions held against {len(weak)} advisories: {len(found)} named")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
