"""The shop's lists as they were kept: another form each year, and nobody's typing perfect."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Sequence
from datetime import date
from random import Random

from fixbook.demo.jobs import PastJob
from fixbook.demo.slips import slipped

Rows = list[list[object]]
SLIPS = 0.05
"""The share of longer words with a slip."""
_UNITS = {
    "power-amplifier": ("amp", "amplifier", "Amp", "hi-fi amplifier"),
    "valve-amplifier": ("guitar amp", "valve amp", "Guitar combo"),
    "synthesizer": ("synth", "Synth", "synthesiser"),
    "mixing-desk": ("desk", "mixing desk", "sound desk"),
    "loudspeaker": ("speaker", "active speaker", "Speaker"),
    "optical-player": ("cd player", "CD player", "CD"),
    "cassette-deck": ("tape deck", "cassette deck"),
    "turntable": ("turntable", "record player", "Turntable"),
    "radio-receiver": ("radio", "kitchen radio"),
}
_PIANOS = ("stage piano", "digital piano", "Stage piano")
_ENDS: dict[int, dict[str, tuple[str, ...]]] = {
    2022: {"fixed": ("ok", "OK", "done"), "improved": ("better",), "not-fixed": ("no fix",),
           "uneconomic": ("BER", "scrap"), "declined": ("refused",), "no-fault-found": ("NFF",)},
    2023: {"fixed": ("sorted", "sorted", "fixed"), "improved": ("partly fixed",),
           "not-fixed": ("could not fix",), "uneconomic": ("uneconomical",),
           "declined": ("customer declined",), "no-fault-found": ("no fault found",)},
    2024: {"fixed": ("Repaired",), "improved": ("Improved",), "not-fixed": ("Not repaired",),
           "uneconomic": ("Beyond economic repair",), "declined": ("Quote refused",),
           "no-fault-found": ("NTF",)},
}  # fmt: skip


def year_2022(random: Random, jobs: Sequence[PastJob]) -> bytes:
    """Semicolons, Windows letters, short dates; some rows twice, some not to be read."""
    head = ["Job", "In", "Out", "Item", "Make + model", "Serial no", "Fault", "Work done",
            "Parts", "Mins", "Result"]  # fmt: skip
    rows: Rows = [
        [
            one.number, _short(one.booked_in), _short(one.handed_over), _unit(random, one),
            _model(random, one.model), _sometimes(random, one.serial), _typed(random, one.complaint),
            _typed(random, one.work), _parts(random, one), _minutes(random, one),
            _end(random, one, 2022),
        ]
        for one in jobs
    ]  # fmt: skip
    rows[17][1] = "31/02/22"  # no such day
    rows[58][9] = "ages"
    rows[90][0] = ""  # nobody wrote the number down
    for at in (101, 64, 23):
        rows.insert(at, list(rows[at]))  # copied down once too often
    rows.insert(77, ["", "", "", "", "", "", "", "", "", "", ""])
    return _delimited(head, rows, ";").encode("cp1252", "replace")


def year_2023(random: Random, jobs: Sequence[PastJob]) -> bytes:
    """Commas, hours with a decimal, the shop's own word for fixed, customers as numbers."""
    head = ["Ticket No", "Received", "Collected", "Device", "Brand", "Model", "Serial", "Customer",
            "Problem", "Repair", "Spares", "Hours", "Result", "Remarks"]  # fmt: skip
    rows: Rows = [
        [
            one.number, one.booked_in.isoformat(), _iso(one.handed_over), _unit(random, one),
            one.model.split()[0], _model(random, one.model.split()[1]),
            _sometimes(random, one.serial), f"C-{random.randint(1, 420):04d}",
            _typed(random, one.complaint), _typed(random, one.work), one.parts,
            f"{one.minutes / 60:.2f}", _end(random, one, 2023), _remark(random, one),
        ]
        for one in jobs
    ]  # fmt: skip
    rows[33][12] = "??"
    rows[71][11] = "half a day or so"
    return b"\xef\xbb\xbf" + _delimited(head, rows, ",").encode("utf-8")


def year_2024(random: Random, jobs: Sequence[PastJob]) -> tuple[list[str], Rows]:
    """A spreadsheet: real dates, times as 1:30, numbers with a fraction."""
    head = ["Job number", "Date in", "Date out", "Equipment", "Model", "Serial number",
            "Customer complaint", "Work carried out", "Parts fitted", "Time", "Outcome",
            "Repeat of"]  # fmt: skip
    rows: Rows = [
        [
            one.number, one.booked_in, one.handed_over, _unit(random, one),
            one.model if random.random() < 0.7 else _model(random, one.model),
            _sometimes(random, one.serial), _typed(random, one.complaint),
            _typed(random, one.work), _parts(random, one), _clock(one.minutes),
            _end(random, one, 2024), one.return_of,
        ]
        for one in jobs
    ]  # fmt: skip
    rows[45][1] = "some time in May"
    rows.insert(80, [None] * len(head))
    return head, rows


def year_2025(random: Random, jobs: Sequence[PastJob]) -> bytes:
    """Tabs and UTF-16, as a spreadsheet writes Unicode text; now the write-up is noted as well."""
    head = ["job_no", "date_in", "date_out", "unit", "model", "serial", "complaint", "work_done",
            "parts_used", "minutes", "outcome", "return_of", "write_up", "bench_notes"]  # fmt: skip
    rows: Rows = [
        [
            one.number, one.booked_in.isoformat(), _iso(one.handed_over), one.unit, one.model,
            one.serial, _typed(random, one.complaint), _typed(random, one.work), one.parts,
            one.minutes or "", one.outcome, one.return_of or "",
            one.entry if random.random() < 0.92 else "", _remark(random, one),
        ]
        for one in jobs
    ]  # fmt: skip
    return _delimited(head, rows, "\t").encode("utf-16")


def _delimited(head: Sequence[str], rows: Rows, delimiter: str) -> str:
    out = io.StringIO()
    writer = csv.writer(out, delimiter=delimiter, lineterminator="\r\n")
    writer.writerow(head)
    writer.writerows(["" if cell is None else cell for cell in row] for row in rows)
    return out.getvalue()


def _unit(random: Random, job: PastJob) -> str:
    return random.choice(_PIANOS if "Z-88" in job.model else _UNITS[job.unit])


def _model(random: Random, model: str) -> str:
    """Write a model in one of the ways it is written."""
    ways: tuple[Callable[[str], str], ...] = (
        str, str, lambda text: text.replace("-", ""), lambda text: text.replace("-", " "),
        str.lower, lambda text: text.split()[-1],
    )  # fmt: skip
    return random.choice(ways)(model)


def _typed(random: Random, text: str) -> str:
    made = slipped(random, text, SLIPS)
    return made[:1].upper() + made[1:] if random.random() < 0.4 else made


def _sometimes(random: Random, text: str) -> str:
    return text if random.random() < 0.8 else ""


def _parts(random: Random, job: PastJob) -> str:
    return job.parts if random.random() < 0.85 else ""


def _minutes(random: Random, job: PastJob) -> str:
    ways = (f"{job.minutes}", f"{job.minutes} min", _clock(job.minutes), f"{job.minutes}")
    return random.choice(ways) if random.random() < 0.93 else ""


def _clock(minutes: int) -> str:
    return f"{minutes // 60}:{minutes % 60:02d}"


def _end(random: Random, job: PastJob, year: int) -> str:
    return random.choice(_ENDS[year][job.outcome])


def _remark(random: Random, job: PastJob) -> str:
    if job.return_of:
        return f"came back, was job {job.return_of}"
    said = ("", "", "", "", "rang, no answer", "wants it for Saturday", "no hurry",
            "case scratched before", "power lead not with it")  # fmt: skip
    return random.choice(said)


def _short(day: date | None) -> str:
    return f"{day.day}/{day.month}/{day:%y}" if day else ""


def _iso(day: date | None) -> str:
    return day.isoformat() if day else ""
