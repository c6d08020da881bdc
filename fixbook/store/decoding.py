"""A file's bytes as text: UTF-8, and not too long."""

from __future__ import annotations

from fixbook.core.problems import Problem

LARGEST = 1024 * 1024
"""The most bytes that a file of a book may have."""


def decode(data: bytes, file: str) -> tuple[str, list[Problem]]:
    """Read a file's bytes as UTF-8; a byte-order mark is dropped, a wrong byte is reported."""
    if len(data) > LARGEST:
        return "", [too_large(file, len(data))]
    try:
        return data.decode("utf-8-sig"), []
    except UnicodeDecodeError as error:
        before = error.object[: error.start].decode("utf-8")
        line = before.count("\n") + 1
        column = len(before) - before.rfind("\n")
        byte = f"0x{error.object[error.start]:02x}"
        return "", [
            Problem(
                file, line, column, "not-utf-8", f"byte {byte} is not UTF-8",
                "save the file in the encoding UTF-8",
            )
        ]  # fmt: skip


def too_large(file: str, size: int) -> Problem:
    """Report a file that is longer than is read."""
    return Problem(
        file, 1, 1, "too-large", f"the file has {size:,} bytes",
        f"at most {LARGEST:,} are read; split it or take something out",
    )  # fmt: skip
