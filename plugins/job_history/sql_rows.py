"""A table of an existing database, read and never written."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import quote

from fixbook.api import UnreadableRow, close_matches, did_you_mean

from .cells import column_names, text_of
from .errors import JobError

if TYPE_CHECKING:
    from sqlalchemy import Engine

_BLOCK = 1_000


def rows(address: str, options: Mapping[str, str]) -> Iterator[Mapping[str, str] | UnreadableRow]:
    """Give the rows of a table or view; option `table`. JobError where there is none of its name.

    The address is SQLAlchemy's, `postgresql+psycopg://…`, or the path of an SQLite file.
    """
    from sqlalchemy.exc import SQLAlchemyError

    engine = connect(address)
    shown = shown_address(address)
    try:
        yield from _table(engine, shown, options.get("table") or "")
    except SQLAlchemyError as error:
        raise JobError(
            f"{shown} cannot be read: {_first_line(error)}", input="sql", read=shown
        ) from error
    finally:
        engine.dispose()


def connect(address: str) -> Engine:
    """Make ready to read a database; JobError where the address cannot be used."""
    from sqlalchemy import create_engine
    from sqlalchemy.exc import ArgumentError, NoSuchModuleError

    shown = shown_address(address)
    path = sqlite_path(address)
    if path is not None and not Path(path).is_file():
        raise JobError(f"there is no database file {path}", input="sql", read=path)
    if path is not None:
        address = f"sqlite:///file:{quote(str(Path(path).resolve()))}?mode=ro&uri=true"
    try:
        return create_engine(address)
    except (ArgumentError, NoSuchModuleError, ValueError) as error:
        raise JobError(
            f"{shown} is no address of a database",
            hint="such as shop.sqlite, or postgresql+psycopg://user@host/database",
            input="sql",
            read=shown,
        ) from error
    except ImportError as error:
        raise JobError(
            f"the driver for {shown} is not installed: {error.name}",
            hint="for PostgreSQL: pip install 'fixbook[postgres]'",
            input="sql",
            read=shown,
        ) from error


def sqlite_path(address: str) -> str | None:
    """Give the path of an SQLite file; None where the address is of another database."""
    if "://" not in address:
        return address
    return address.removeprefix("sqlite:///") if address.startswith("sqlite:///") else None


def shown_address(address: str) -> str:
    """Give an address as it may be shown: without a password."""
    scheme, mark, rest = address.partition("://")
    if not mark:
        return address
    user, at, place = rest.rpartition("@")
    name = user.partition(":")[0]
    return f"{scheme}://{name}{at}{place.partition('?')[0]}"


def _table(engine: Engine, shown: str, wanted: str) -> Iterator[Mapping[str, str] | UnreadableRow]:
    from sqlalchemy import inspect, select, table, text

    found = inspect(engine)
    schema, _, name = wanted.rpartition(".")
    names = [*found.get_table_names(schema or None), *found.get_view_names(schema or None)]
    if name not in names:
        listed = ", ".join(sorted(names)) or "no table at all"
        near = did_you_mean(name, names, otherwise=f"it has {listed}") if name else listed
        raise JobError(
            f"{shown} has no table {wanted!r}; {near}" if name else f"say which table: {near}",
            hint="write --table NAME",
            input="table",
            read=wanted,
            choices=close_matches(name, names) or sorted(names)[:20],
        )
    every = select(text("*")).select_from(table(name, schema=schema or None))
    with engine.connect().execution_options(stream_results=True, yield_per=_BLOCK) as connection:
        result = connection.execute(every)
        columns = column_names(list(result.keys()))
        for row in result:
            cells = [text_of(value) for value in row]
            yield dict(zip(columns, cells, strict=True)) if any(cells) else {}


def _first_line(error: Exception) -> str:
    return str(getattr(error, "orig", None) or error).split("\n", 1)[0]
