"""A history of 5,000 rows as a shop has it: brought in, linked, and told everywhere.

The generator says what it put in; nothing is compared with what the program counted itself.
"""

from __future__ import annotations

import csv
import statistics
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from itertools import cycle
from pathlib import Path
from random import Random

import pytest
from fixbook_plugins.job_history import commands

from fixbook.app.bench import LibraryBench
from fixbook.cli.session import Session
from fixbook.cli.words import add_book, new_parser, parse

COLUMNS = ("Job no", "Customer", "Phone", "Date in", "Date out", "Type", "Model", "Complaint",
           "Result", "Minutes", "Notes", "Return of")  # fmt: skip
MINUTES = {60: ("60", "1:00", "1 h"), 90: ("90", "1:30", "1,5 h"), 130: ("130 min", "2h10")}
"""The same times in the forms that people write."""
MODELS = ("QX-200", "qx 200", "Qx200")
OUTCOMES = {"fixed": ("Repaired", "OK"), "improved": ("partly",), "not-fixed": ("failed",),
            "no-fault-found": ("NFF",)}  # fmt: skip


@dataclass
class History:
    """Rows as they are in the file, and what the generator knows of them."""

    rows: list[list[str]] = field(default_factory=list)
    known: dict[str, list[str]] = field(default_factory=dict)
    """The numbers of the jobs that should be in, by what they are."""
    rejected: dict[str, int] = field(default_factory=dict)
    """How many rows have each fault that cannot be mended, by a telling piece of the reason."""
    contacts: int = 0
    doubled: int = 0
    minutes: list[int] = field(default_factory=list)
    """Of the jobs with a drone."""
    ends: list[str] = field(default_factory=list)
    """The same jobs' outcomes."""

    @property
    def good(self) -> int:
        """How many jobs should be in."""
        return sum(len(numbers) for numbers in self.known.values())


class Making:
    """Makes rows, each with a number of its own and some of a shop's many spellings."""

    def __init__(self) -> None:
        self.chance = Random(27)
        self.made = History()
        self.last = 0
        self.ends = cycle([*["fixed"] * 7, "improved", "not-fixed", "fixed"])

    def row(self, **cells: str) -> list[str]:
        """Give a good row with some cells as they are said."""
        self.last += 1
        day = date(2021, 1, 4) + timedelta(days=self.last % 1_000)
        out = day + timedelta(days=self.chance.randint(1, 20))
        values = {
            "Job no": f"{self.last}",
            "Customer": f"Mr Nobody{self.last}",
            "Phone": f"+49 30 {5_550_000 + self.last}",
            "Date in": f"{day:%d/%m/%Y}",
            "Date out": f"{out:%d/%m/%Y}",
            "Type": self.chance.choice(("amp", "Amp", "test amplifier", "amps")),
            "Model": f"ZB-{self.last % 40}",
            "Complaint": "crackly knob",
            "Result": "NFF",
            "Minutes": "20",
        }
        values |= {name.replace("_", " "): text for name, text in cells.items()}
        return [values.get(name, "") for name in COLUMNS]

    def good(self, kind: str, count: int, **cells: str) -> None:
        """Add so many rows that should become jobs."""
        for _ in range(count):
            row = self.row(**cells)
            self.made.rows.append(row)
            self.made.known.setdefault(kind, []).append(row[0])

    def bad(self, why: str, count: int, **cells: str) -> None:
        """Add so many rows that cannot be read, for this reason."""
        self.made.rejected[why] = self.made.rejected.get(why, 0) + count
        self.made.rows += [self.row(**cells) for _ in range(count)]

    def drones(self, kind: str, count: int, **cells: str) -> None:
        """Add so many jobs with the drone, whose ends and times are remembered."""
        for _ in range(count):
            end, minutes = next(self.ends), self.chance.choice(tuple(MINUTES))
            self.made.ends.append(end)
            self.made.minutes.append(minutes)
            said = {"Result": self.chance.choice(OUTCOMES[end]),
                    "Minutes": self.chance.choice(MINUTES[minutes])}  # fmt: skip
            self.good(kind, 1, **said, **cells)


def history() -> History:
    """Make 5,000 rows; what is wrong with them is counted while they are made."""
    make = Making()
    made = make.made
    make.drones("named", 150, Notes="was fault:amp-hum again", Complaint="noisy")
    make.drones("suggested", 30, Complaint="low drone, sticky relay")
    make.good("dark", 12, Complaint="lamp stays dark", Result="Repaired")
    make.good("open", 60, Date_out="", Result="", Minutes="")
    for model in MODELS:
        make.good("model", 20, Model=model)
    make.good("wobbles", 17, Complaint="wobbles on the shelf")
    make.good("contacts", 70, Notes="call 030 5551234 or a.person@example.org")
    made.contacts = 140
    make.good("no date", 30, Date_in="n/a", Date_out="")
    make.bad("on no calendar", 100, Date_in="31/02/2022")
    make.bad("is no date", 50, Date_in="soon")
    make.bad("nobody has said what 'all dandy' means", 100, Result="all dandy")
    make.bad("is no time of work", 70, Minutes="-5")
    make.bad("before it was booked in", 30, Date_out="01/02/2020")
    make.bad("no job number", 25, Job_no="")
    again = made.rows[:80]
    made.doubled = len(again)
    others = [[*row[:6], "other", *row[7:]] for row in made.rows[80:120]]
    made.rejected["already, and says something else"] = len(others)
    make.good("plain", 5_000 - len(made.rows) - len(again) - len(others))
    made.rows += [*again, *others]
    return made


def written(rows: list[list[str]], path: Path) -> Path:
    """Write the rows, with an empty line now and then, as spreadsheets leave them."""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(COLUMNS)
        for at, row in enumerate(rows):
            writer.writerow(row)
            if at % 400 == 0:
                writer.writerow([""] * len(COLUMNS))
    return path


def accept(folder: Path, entry: str) -> None:
    """Run `job suggest --all --ask` with somebody who says yes to one write-up alone."""
    session, shown = Session(book=str(folder)), [""]

    def show(blocks: list) -> None:
        shown[0] = str(blocks)

    def ask(form: list) -> dict[str, str]:
        return {"link": "yes" if f"{entry}: " in shown[0] else "no"}

    parser = new_parser("job", "jobs")
    add_book(parser)
    commands.configure(parser)
    bench = LibraryBench(session.library, ask=ask, show=show)
    commands.run(bench, parse(parser, ["suggest", "--all", "--ask"]))


@pytest.fixture(scope="module")
def made() -> Iterator[History]:
    """Make the history once for both databases."""
    found = history()
    assert len(found.rows) == 5_000
    yield found


def test_a_history_is_brought_in_linked_and_told_everywhere(kept, made, fixbook, asked, tmp_path):
    """The counts of import, links, sheet, search, rates and lists are those of the generator."""
    kept.add("amp-hum", title="Low drone from a sticky relay")
    kept.add("amp-dark", title="Lamp stays dark", body="\n## How it shows\n\nNo light.\n")
    done = asked("job", "import", str(written(made.rows, tmp_path / "history.csv")))
    counts = {name: done[name] for name in ("rows", "added", "same", "changed", "rejected")}
    assert counts == {
        "rows": 5_000,
        "added": made.good,
        "same": made.doubled,
        "changed": 0,
        "rejected": sum(made.rejected.values()),
    }
    reasons = {why: sum(one["rows"] for one in done["reasons"] if why in one["why"])
               for why in made.rejected}  # fmt: skip
    assert reasons == made.rejected
    dropped = {one["column"] for one in done["columns"] if one["field"] == "nothing"}
    assert (dropped, done["contacts_left_out"]) == ({"Customer", "Phone"}, made.contacts)

    accept(kept.folder, "amp-hum")
    by_hand = made.known["dark"][:5]
    for number in by_hand:
        asked("job", "link", number, "amp-dark")

    def listed(*words: str) -> set[str]:
        return {job["number"] for job in asked("job", "list", "--limit", "5000", *words)}

    drones = {*made.known["named"], *made.known["suggested"]}
    assert listed("--fault", "amp-hum") == drones
    assert listed("--fault", "amp-dark") == set(by_hand)
    assert listed("--open") == set(made.known["open"])
    assert listed("--model", "qX_200") == set(made.known["model"])
    assert asked("find", "wobbles", "--kind", "job")["total"] == len(made.known["wobbles"])

    found = asked("job", "rates", "amp-hum")
    ended = {end: made.ends.count(end) for end in ("fixed", "not-fixed", "improved")}
    names = ("seen", "fixed", "not_fixed", "improved", "returned", "in_warranty")
    assert [found[name] for name in names] == [len(drones), *ended.values(), 0, 0]
    assert found["fix_rate"]["value"] == pytest.approx(ended["fixed"] / len(drones))
    assert found["minutes"]["median"] == statistics.median(made.minutes)

    sheet = " ".join(fixbook("sheet", "amp-hum").out.split())
    assert f"seen here {len(drones)}" in sheet.replace(":", "")
    assert f"{ended['fixed']} of {len(drones)} held" in sheet
    assert asked("find", "Nobody40", "--kind", "job")["hits"] == []
