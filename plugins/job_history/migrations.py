"""Bringing a job database to the form that this program uses, one version at a time."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from .errors import JobError
from .tables import tables

if TYPE_CHECKING:
    from sqlalchemy import Connection

Step = Callable[["Connection"], None]

SCHEMA, VERSION, IDENTITY = "schema", "version", "identity"
"""Rows of the state table: the version of the form, the count of changes, a name of its own."""


def schema_of(connection: Connection, where: str) -> int:
    """Give the version of the form that a database has, 0 where it is empty.

    JobError where it holds tables of something else: they are left alone.
    """
    from sqlalchemy import inspect, select

    names = set(inspect(connection).get_table_names())
    known = tables()
    if known.state.name in names:
        row = connection.execute(
            select(known.state.c.value).where(known.state.c.name == SCHEMA)
        ).scalar()
        if row is not None and row.isdecimal():
            return int(row)
    foreign = sorted(names & {table.name for table in known.all.sorted_tables})
    if foreign or (names and connection.dialect.name == "sqlite"):
        raise JobError(
            f"{where} holds tables of something else ({', '.join(sorted(names)[:5])})",
            input="job database",
            read=where,
            hint="move that file away, or name another database under 'jobs' in fixbook.toml",
        )
    return 0


def check_schema(found: int, newest: int, where: str) -> None:
    """Refuse a database from a newer version of the program; JobError."""
    if found > newest:
        raise JobError(
            f"{where} was written by a newer version of fixbook (its form is {found}, this "
            f"program knows {newest}); it is left as it is",
            input="job database",
            read=where,
            hint="update fixbook on this bench",
        )


def migrate(connection: Connection, where: str, steps: Sequence[Step] | None = None) -> None:
    """Take every step that a database has not taken, inside the caller's transaction."""
    steps = STEPS if steps is None else steps
    found = schema_of(connection, where)
    check_schema(found, len(steps), where)
    for step in steps[found:]:
        step(connection)
    if found < len(steps):
        state = tables().state
        connection.execute(state.delete().where(state.c.name == SCHEMA))
        connection.execute(state.insert(), {"name": SCHEMA, "value": str(len(steps))})


def first_form(connection: Connection) -> None:
    """Make all tables."""
    known = tables()
    known.all.create_all(connection, checkfirst=False)
    connection.execute(
        known.state.insert(),
        [{"name": VERSION, "value": "0"}, {"name": IDENTITY, "value": uuid.uuid4().hex}],
    )


STEPS: tuple[Step, ...] = (first_form,)
"""Step N brings form N to form N + 1. A step that has been released never changes."""
