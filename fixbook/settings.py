"""Which book is meant, and what its shop has settled.

A book is named by `--book`, then by FIXBOOK_BOOK, then it is the nearest parent folder with a
`fixbook.toml`, then the user's own data folder. Without any of these there is the starter book.
"""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from fixbook.core.problems import Problem
from fixbook.core.shop import Meter, Shop
from fixbook.errors import BookError, QuantityError

if TYPE_CHECKING:
    from fixbook.core.quantity import Kind

FILE = "fixbook.toml"
ENVIRONMENT = "FIXBOOK_BOOK"
FORMAT = 2
"""The form of a book's folder that this program makes; it reads all before."""
METER = ("reads", "percent", "counts", "resolution", "up_to")
"""The fields of a meter."""


class Place(NamedTuple):
    """Where the book is, and how it was found."""

    folder: Path | None
    """None: there is only the starter book."""
    said_by: str
    """`--book`, `FIXBOOK_BOOK`, `the folder you are in`, `your data folder`, `nothing`."""


def find_book(option: str | None, environment: Mapping[str, str], here: Path, data: Path) -> Place:
    """Find the book that is meant; BookError where the one that was named is none."""
    for named, said_by in ((option, "--book"), (environment.get(ENVIRONMENT), ENVIRONMENT)):
        if named:
            return Place(_checked(Path(named).expanduser(), said_by), said_by)
    for folder in (here, *here.parents):
        if os.path.isfile(folder / FILE):  # a path's own `is_file` raises where it may not look
            return Place(folder, "the folder you are in")
    own = data / "book"
    if os.path.isfile(own / FILE):
        return Place(own, "your data folder")
    return Place(None, "nothing")


def _checked(folder: Path, said_by: str) -> Path:
    effective = os.access in os.supports_effective_ids
    if os.path.isdir(folder) and not os.access(folder, os.X_OK, effective_ids=effective):
        raise BookError(
            f"the book {folder} may not be entered",
            input=said_by,
            read=str(folder),
            hint="look at the folder's permissions",
        )
    if not os.path.isdir(folder):
        what = "is not a folder" if os.path.exists(folder) else "does not exist, or is out of reach"
        raise BookError(
            f"the book {folder} {what}",
            input=said_by,
            read=str(folder),
            hint=f"make one with 'fixbook book new {folder}'",
        )
    return Path(os.path.abspath(folder))


def read_shop(folder: Path | None) -> tuple[Shop, list[Problem]]:
    """Read a book's `fixbook.toml`; what cannot be used is reported and keeps its default.

    BookError where the book has a form from after this program.
    """
    path = folder / FILE if folder else None
    if path is None or not os.path.isfile(path):
        return Shop(), []
    import tomllib  # 10 ms that the starter book alone never pays

    try:
        text = path.read_text(encoding="utf-8-sig")
        data = tomllib.loads(text)
    except (OSError, ValueError, RecursionError) as error:
        why = " ".join(str(error).split())
        found = re.search(r"at line (\d+), column (\d+)", why)
        line, column = (int(found[1]), int(found[2])) if found else (1, 1)
        said = f"not readable: {why}"
        return Shop(), [Problem(str(path), line, column, "settings", said, "mend the file")]
    problems: list[Problem] = []
    shop = _shop(data, str(path), problems)
    if shop.format > FORMAT:
        raise BookError(
            f"the book {folder} has format {shop.format}; this fixbook knows those up to {FORMAT}",
            hint="use the newer fixbook that it was made with; nothing in it was touched",
            input="format",
            read=str(shop.format),
        )
    return shop, [one._replace(line=_line_of(one.problem, text)) for one in problems]


def _line_of(problem: str, text: str) -> int:
    """Give the line of the setting whose name stands first in a problem; 1 where it has none."""
    name = re.match(r"[\"']?([\w-]*)", problem)
    key = re.escape(name[1]) if name else ""
    found = re.search(rf"^[ \t]*\[*[ \t]*[\"']?{key}[\"']?[ \t]*[\]=.]", text, re.MULTILINE)
    return text.count("\n", 0, found.start()) + 1 if key and found else 1


def _shop(data: Mapping[str, object], file: str, problems: list[Problem]) -> Shop:
    known = [name for name in Shop._fields if name not in ("meters", "other")]
    values: dict[str, object] = {}
    default = Shop()
    for key, value in data.items():
        if key in known:
            if (good := _plain(key, value, getattr(default, key), file, problems)) is not None:
                values[key] = good
        elif key == "meters":
            values["meters"] = _meters(value, file, problems)
        elif key == "plugin":
            values["other"] = _other(value, file, problems)
        else:
            from fixbook.core.problems import did_you_mean

            names = [*known, "meters", "plugin"]
            hint = did_you_mean(key, names, otherwise=f"known: {', '.join(names)}")
            problems.append(Problem(file, 1, 1, "settings", f"{key!r} is no setting", hint))
    return Shop(**values)  # type: ignore[arg-type]  # each value has its default's type


def _plain(key: str, value: object, default: object, file: str, problems: list[Problem]) -> object:
    good: object = None
    if isinstance(default, bool) or isinstance(value, bool):
        good = value if isinstance(default, bool) and isinstance(value, bool) else None
    elif isinstance(default, (int, float)):
        if isinstance(value, (int, float)) and 0 < value < 1e6 and type(default)(value) == value:
            good = type(default)(value)
    elif isinstance(value, str):
        good = value
    if good is None:
        wanted = {bool: "true or false", int: "a whole number", float: "a number", str: "a text"}
        shown = f'"{default}"' if isinstance(default, str) else str(default).lower()
        do = f"expected {wanted[type(default)]}, as in {key} = {shown}"
        problems.append(Problem(file, 1, 1, "settings", f"{key} is {value!r}", do))
    return good


def _meters(value: object, file: str, problems: list[Problem]) -> tuple[Meter, ...]:
    meters = []
    for row in value if isinstance(value, list) else [value]:
        try:
            meters.append(_meter(row))
        except (KeyError, TypeError, ValueError, OverflowError, QuantityError) as error:
            why = f"missing {error}" if isinstance(error, KeyError) else str(error)
            problems.append(
                Problem(
                    file, 1, 1, "settings", f"meters: {why}",
                    'write { reads = "ohms", percent = 0.5, counts = 2, resolution = "0.1 ohm" }',
                )
            )  # fmt: skip
    return tuple(meters)


def _meter(row: object) -> Meter:
    from fixbook.core.meant import meant_reading
    from fixbook.core.problems import did_you_mean
    from fixbook.core.quantity import PERCENT
    from fixbook.core.readings import READS

    if not isinstance(row, dict):
        raise TypeError(f"{row!r} is not a table")
    unknown = set(row) - set(METER)
    if unknown:
        one = min(unknown, key=str)
        hint = did_you_mean(one, METER, otherwise=f"known: {', '.join(METER)}")
        raise ValueError(f"{one!r} is no field of a meter; {hint}")
    reads = str(row["reads"])
    if reads not in READS:
        raise ValueError(f"reads = {reads!r} is no reading that is known; {meant_reading(reads)}")
    up_to = row.get("up_to")
    return Meter(
        reads=reads,
        percent=_value(row["percent"], PERCENT),
        counts=float(row.get("counts", 0)),
        resolution=_value(row["resolution"], READS[reads]),
        up_to=_value(up_to, READS[reads]) if up_to is not None else float("inf"),
    )


def _value(typed: object, kind: Kind) -> float:
    from fixbook.core.reading import read

    return read(str(typed), kind).value


def _other(value: object, file: str, problems: list[Problem]) -> Mapping[str, Mapping[str, str]]:
    if isinstance(value, dict) and all(isinstance(one, dict) for one in value.values()):
        return {name: {key: str(text) for key, text in one.items()} for name, one in value.items()}
    problems.append(Problem(file, 1, 1, "settings", "plugin is no table", "write [plugin.NAME]"))
    return {}
