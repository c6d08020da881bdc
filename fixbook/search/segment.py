"""Hand posting lists to Whoosh's codec, and keep its table of contents.

What results is a Whoosh index like any other: `whoosh.index.open_dir` opens it.
"""

# mypy: disallow-untyped-calls=False
from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from whoosh import fields, formats
from whoosh.analysis.tokenizers import SpaceSeparatedTokenizer
from whoosh.codec.whoosh3 import W3Codec, W3Segment
from whoosh.filedb.filestore import FileStorage
from whoosh.index import TOC

from fixbook.search.packed import ENDING, PackWriter
from fixbook.search.postings import BLOCK, FIELD, write_terms

INDEX_NAME = "fixbook"


class Places(formats.Format):
    """Values of postings: one character a place, the part in its lowest four bits."""

    def decode_positions(self, value: str) -> list[int]:
        """Give the slots, for Whoosh's own phrase search."""
        return [ord(c) >> 4 for c in value]

    def decode_frequency(self, value: str) -> int:
        """Give how often the term stands in the document."""
        return len(value)


def schema() -> Any:
    """Give the schema: one field of text, searched in terms that are already analysed."""
    analyzer: Any = SpaceSeparatedTokenizer()
    text = fields.FieldType(format=Places(), analyzer=analyzer, scorable=True)
    return fields.Schema(key=fields.STORED(), **{FIELD: text})


def write_segment(
    folder: Path,
    lists: Iterable[tuple[str, list[int], list[float], list[str]]],
    *,
    keys: Sequence[str],
    lengths: Sequence[int],
) -> str:
    """Write a segment's files and give the beginning of their names."""
    described = schema()
    storage = FileStorage(str(folder))
    codec = W3Codec(blocklimit=BLOCK, compression=1)
    segment = codec.new_segment(storage, INDEX_NAME)
    documents = codec.per_document_writer(storage, segment)
    for number, key in enumerate(keys):
        documents.start_doc(number)
        documents.add_field("key", described["key"], key, 0)
        documents.add_field(FIELD, described[FIELD], None, lengths[number])
        documents.finish_doc()
    documents.close()
    terms = codec.field_writer(storage, segment)
    with (folder / f"{segment.segment_id()}{ENDING}").open("wb") as file:
        pack = PackWriter(file)
        write_terms(terms, described[FIELD], lists, lengths, pack)
        pack.finish()
    terms.close()
    return str(segment.segment_id())


def write_contents(
    folder: Path, generation: int, segments: Sequence[tuple[str, int, float, Mapping[int, object]]]
) -> str:
    """Write Whoosh's table of contents for (name, count, length, deleted) and give its name."""
    codec = W3Codec(blocklimit=BLOCK, compression=1)
    listed = []
    for name, count, length, deleted in segments:
        segment: Any = W3Segment(
            codec, INDEX_NAME, count, name.removeprefix(f"{INDEX_NAME}_"), set(deleted) or None
        )
        segment._fieldlengths = {FIELD: round(length)}
        listed.append(segment)
    storage = FileStorage(str(folder))
    TOC(schema(), listed, generation).write(storage, INDEX_NAME)
    return str(TOC._filename(INDEX_NAME, generation))
