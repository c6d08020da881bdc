"""A warm search with ten hits, snippets and exact facet counts, beside three other engines.

    python tests/speed/search_warm.py [10000 [100000 …]] [--whoosh]

Same documents, same questions, same work: ten hits with a snippet, the number of results, and how
many results have each value of eight facets. Whoosh's own loop takes minutes to build from 10,000
documents on, so it takes part only when asked for. Times are of one process after a first round;
ours are given for the arrays and, in brackets, for plain Python.
"""

from __future__ import annotations

import shutil
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from statistics import median, quantiles
from typing import Any

from search_corpus import QUERIES, documents

from fixbook.core.query import Document, Request
from fixbook.search import Index

ROUNDS = 7
FACETS = ("unit", "section", "kind", "hazard", "skill", "state", "sign", "model")


def time_each(ask: Callable[[str], object]) -> tuple[float, float]:
    """Give the middle and the 99th percentile in milliseconds."""
    for words in QUERIES:
        ask(words)
    taken = []
    for _ in range(ROUNDS):
        for words in QUERIES:
            began = time.perf_counter()
            ask(words)
            taken.append((time.perf_counter() - began) * 1e3)
    return median(taken), quantiles(taken, n=100)[98]


def ours(folder: Path, docs: Sequence[Document], *, fast: bool) -> Callable[[str], object]:
    """Search with fixbook."""
    index = Index(folder / "ours", "1", fast=fast)
    if not index.sources():
        index.update(((d.source, [d]) for d in docs), stamps={})
    return lambda words: index.search(Request(words))


def fts5(folder: Path, docs: Sequence[Document]) -> Callable[[str], object]:
    """Search with SQLite FTS5 and its porter stems."""
    base = sqlite3.connect(folder / "fts5")
    base.execute("create virtual table d using fts5(title, signs, lay, body, tokenize=porter)")
    base.execute("create table f (doc integer, field text, value text)")
    base.executemany(
        "insert into d(rowid, title, signs, lay, body) values (?, ?, ?, ?, ?)",
        ((n, *(d.parts[p] for p in ("title", "signs", "lay", "body"))) for n, d in enumerate(docs)),
    )
    base.executemany(
        "insert into f values (?, ?, ?)",
        ((n, f, v) for n, d in enumerate(docs) for f, vs in d.facets.items() for v in vs),
    )
    base.execute("create index fd on f(doc, field, value)")
    base.commit()

    def ask(words: str) -> object:
        match = " OR ".join(f'"{word}"' for word in words.split())
        hits = base.execute(
            "select rowid, bm25(d, 4, 3, 3, 1) as s, snippet(d, 3, '', '', '…', 24) from d "
            "where d match ? order by s limit 10",
            (match,),
        ).fetchall()
        counts = base.execute(
            "select field, value, count(*) from f where doc in "
            "(select rowid from d where d match ?) group by field, value",
            (match,),
        ).fetchall()
        return hits, counts

    return ask


def tantivy(folder: Path, docs: Sequence[Document]) -> Callable[[str], object]:
    """Search with tantivy and its English stems."""
    import tantivy as engine

    builder = engine.SchemaBuilder()
    for part in ("title", "signs", "lay", "body"):
        builder.add_text_field(part, stored=True, tokenizer_name="en_stem")
    for facet in FACETS:
        builder.add_text_field(facet, fast=True, tokenizer_name="raw")
    schema = builder.build()
    (folder / "tantivy").mkdir()
    index = engine.Index(schema, path=str(folder / "tantivy"))
    writer = index.writer(200_000_000)
    for document in docs:
        fields: dict[str, Any] = {p: document.parts[p] for p in ("title", "signs", "lay", "body")}
        writer.add_document(
            engine.Document(**fields, **{f: list(document.facets[f]) for f in FACETS})
        )
    writer.commit()
    index.reload()
    searcher = index.searcher()
    wanted = {f: {"terms": {"field": f, "size": 2000}} for f in FACETS}

    def ask(words: str) -> object:
        query = index.parse_query(words, ["title", "signs", "lay", "body"])
        found = searcher.search(query, 10, count=True)
        counts = searcher.aggregate(query, wanted)
        maker = engine.SnippetGenerator.create(searcher, query, schema, "body")
        return [maker.snippet_from_doc(searcher.doc(at)) for _, at in found.hits], counts

    return ask


def whoosh(folder: Path, docs: Sequence[Document]) -> Callable[[str], object]:
    """Search with Whoosh's own writer, parser, searcher, facets and highlighter.

    Set up for speed: columns for facets of one value, stored places for the highlighter.
    """
    from whoosh import analysis, fields, highlight, index, qparser, sorting

    single = {"unit", "section", "kind", "skill", "state"}
    keep = analysis.StemmingAnalyzer(stoplist=None, minsize=1)
    column, several = fields.ID(sortable=True), fields.KEYWORD(commas=True)
    schema = fields.Schema(
        text=fields.TEXT(stored=True, analyzer=keep, chars=True),
        **{f: column if f in single else several for f in FACETS},
    )
    (folder / "whoosh").mkdir()
    made = index.create_in(str(folder / "whoosh"), schema)
    writer = made.writer()
    for d in docs:
        writer.add_document(
            text="\n".join(d.parts.values()), **{f: ",".join(d.facets[f]) for f in FACETS}
        )
    writer.commit()
    searcher = made.searcher()
    parser = qparser.QueryParser("text", schema, group=qparser.OrGroup)
    groups = {
        f: sorting.FieldFacet(f, allow_overlap=f not in single, maptype=sorting.Count)
        for f in FACETS
    }

    def ask(words: str) -> object:
        # Two searches: highlighting a grouped result takes several times as long.
        query = parser.parse(words)
        found = searcher.search(query, limit=10, terms=True)
        found.fragmenter = highlight.PinpointFragmenter()
        counted = searcher.search(query, limit=10, groupedby=groups)
        return [hit.highlights("text") for hit in found], [counted.groups(f) for f in FACETS]

    return ask


def run(count: int, *, with_whoosh: bool) -> None:
    """Time all engines over so many documents."""
    docs = list(documents(count))
    folder = Path(tempfile.mkdtemp(prefix="fixbook-speed-"))
    try:
        plain = time_each(ours(folder, docs, fast=False))
        arrays = time_each(ours(folder, docs, fast=True))
        print(f"{count:,} documents       middle      99 %   (milliseconds)")
        print(
            f"  fixbook, arrays  {arrays[0]:9.2f} {arrays[1]:9.2f}   (plain {plain[0]:.1f}, {plain[1]:.1f})"
        )
        others = {
            "SQLite FTS5": fts5,
            "tantivy": tantivy,
            **({"Whoosh": whoosh} if with_whoosh else {}),
        }
        for name, make in others.items():
            middle, late = time_each(make(folder, docs))
            print(
                f"  {name:16} {middle:9.2f} {late:9.2f}   {middle / arrays[0]:.1f} x ours",
                flush=True,
            )
    finally:
        shutil.rmtree(folder)


if __name__ == "__main__":
    numbers = [int(text) for text in sys.argv[1:] if text.isdigit()] or [10_000]
    for number in numbers:
        run(number, with_whoosh="--whoosh" in sys.argv)
