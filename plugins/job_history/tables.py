"""The tables of the job database, for SQLAlchemy Core."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sqlalchemy import MetaData, Table

TEXTS = (
    "unit", "model", "serial", "accessories", "condition", "complaint", "limit", "shelf",
    "stage", "work", "safety_test", "outcome", "return_of", "source",
)  # fmt: skip
"""The columns of a job that hold text, named as the fields of `Job`."""
NUMBERS = ("minutes", "soak_minutes")
DATES = ("booked_in", "handed_over")


@dataclass(frozen=True, slots=True)
class Tables:
    """All tables of the database."""

    all: MetaData
    job: Table
    link: Table
    """Which entries a job is linked to, in order, and how it came to be linked."""
    sign: Table
    reading: Table
    part: Table
    note: Table
    alias: Table
    """Former ids of entries, with the id that holds now."""
    change: Table
    """For each entry (and `unit:ID`) the version of the database that last touched its figures."""
    state: Table
    """The schema's version, the database's version and its identity."""

    @property
    def children(self) -> tuple[Table, ...]:
        """The tables whose rows belong to a job and are written anew with it."""
        return self.sign, self.reading, self.part, self.note


@cache
def tables() -> Tables:
    """Give the tables; SQLAlchemy is imported here, since it costs more than a whole search."""
    from sqlalchemy import Column, Date, Float, ForeignKey, Integer, MetaData, Table, Text

    def owner(name: str = "job") -> Column[str]:
        key = ForeignKey("job.number", ondelete="CASCADE")
        return Column(name, Text, key, primary_key=True)

    def text(name: str) -> Column[str]:
        return Column(name, Text, nullable=False, default="")

    def place() -> Column[int]:
        return Column("place", Integer, primary_key=True, autoincrement=False)

    meta = MetaData()
    keys = ("model_key", "serial_key")
    job = Table(
        "job",
        meta,
        Column("number", Text, primary_key=True),
        *(Column(name, Date) for name in DATES),
        *(text(name) for name in (*TEXTS, *keys)),
        *(Column(name, Integer) for name in NUMBERS),
        Column("version", Integer, nullable=False, index=True),
    )
    for name in ("unit", "serial_key", "model_key", "return_of", "stage"):
        from sqlalchemy import Index

        Index(f"job_by_{name}", job.c[name])
    link = Table(
        "job_link",
        meta,
        owner(),
        Column("entry", Text, primary_key=True, index=True),
        Column("place", Integer, nullable=False),
        text("how"),
    )
    sign = Table(
        "job_sign", meta, owner(), Column("sign", Text, primary_key=True), text("answer"),
    )  # fmt: skip
    reading = Table(
        "job_reading",
        meta,
        owner(),
        place(),
        Column("fault", Text, nullable=False, index=True),
        text("target"),
        text("kind"),
        Column("before", Float(53)),
        Column("after", Float(53)),
        text("meter"),
    )
    part = Table(
        "job_part", meta, owner(), place(), text("what"), text("value"),
        Column("count", Integer, nullable=False), text("at"),
    )  # fmt: skip
    note = Table("job_note", meta, owner(), place(), text("when"), text("text"))
    alias = Table("job_alias", meta, Column("old", Text, primary_key=True), text("new"))
    change = Table(
        "job_change",
        meta,
        Column("entry", Text, primary_key=True),
        Column("version", Integer, nullable=False, index=True),
    )
    state = Table("job_state", meta, Column("name", Text, primary_key=True), text("value"))
    return Tables(meta, job, link, sign, reading, part, note, alias, change, state)
