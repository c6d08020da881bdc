"""The ways to read a shop's history that are always there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from fixbook.api import JobSource, UnreadableRow

Rows = Iterable[Mapping[str, str] | UnreadableRow]


def delimited(path: str, options: Mapping[str, str]) -> Rows:
    """Read delimited text; options: delimiter, encoding."""
    from .delimited import rows

    return rows(path, options)


def spreadsheet(path: str, options: Mapping[str, str]) -> Rows:
    """Read a spreadsheet; option: sheet."""
    from .spreadsheet import rows

    return rows(path, options)


def objects(path: str, options: Mapping[str, str]) -> Rows:
    """Read JSON objects, one a line."""
    from .json_rows import rows

    return rows(path, options)


def database(address: str, options: Mapping[str, str]) -> Rows:
    """Read a table of a database; option: table."""
    from .sql_rows import rows

    return rows(address, options)


SOURCES = (
    JobSource("delimited text", (".csv", ".tsv", ".txt"), delimited, first_row=2),
    JobSource("spreadsheet", (".xlsx", ".xlsm"), spreadsheet, first_row=2),
    JobSource("JSON", (".jsonl", ".ndjson", ".json"), objects),
    JobSource("database", (), database),
)
