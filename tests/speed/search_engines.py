"""Five engines that do the same work over the same documents, each in the way it is meant to be used.

Ten hits with a snippet, the number of results, and how many results have each value of eight
facets. `search_table.py` runs them, each in processes of its own.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Protocol

from fixbook.core.query import Document

FACETS = ("unit", "section", "kind", "hazard", "skill", "state", "sign", "model")
PARTS = ("title", "signs", "lay", "body")


class Engine(Protocol):
    """What each of them can do; `folder` is its own."""

    takes_changes: bool
    """Whether it takes a changed document in, rather than being made anew."""

    def build(self, folder: Path, docs: Sequence[Document]) -> None:
        """Make the index from nothing."""

    def open(self, folder: Path) -> None:
        """Open it for asking."""

    def ask(self, words: str) -> object:
        """Answer a question, the whole of the work."""

    def change(self, folder: Path, document: Document) -> None:
        """Take in a document that changed, so that the next question sees it."""


class Ours:
    """Fixbook, ranking in arrays."""

    takes_changes = True
    fast = True

    def build(self, folder: Path, docs: Sequence[Document]) -> None:
        """Build in as many processes as it likes."""
        from fixbook.search import Index

        stamps = {document.source: "1" for document in docs}
        Index(folder, "1").update(((d.source, [d]) for d in docs), stamps=stamps)

    def open(self, folder: Path) -> None:
        """Open the index."""
        from fixbook.search import Index

        self._index = Index(folder, "1", fast=self.fast)
        self._stamp = 1

    def ask(self, words: str) -> object:
        """Search."""
        from fixbook.core.query import Request

        return self._index.search(Request(words))

    def change(self, folder: Path, document: Document) -> None:
        """Update."""
        self._stamp += 1
        stamps = {document.source: str(self._stamp)}
        self._index.update({document.source: [document]}, stamps=stamps)


class OursPlain(Ours):
    """Fixbook in plain Python, as one command of a shell runs it."""

    fast = False


class Fts5:
    """SQLite FTS5 with its porter stems, facets in a table beside it."""

    takes_changes = True

    def build(self, folder: Path, docs: Sequence[Document]) -> None:
        """Insert everything in one transaction."""
        base = sqlite3.connect(folder / "fts5")
        base.execute(f"create virtual table d using fts5({', '.join(PARTS)}, tokenize=porter)")
        base.execute("create table f (doc integer, field text, value text)")
        for number, document in enumerate(docs):
            self._insert(base, number, document)
        base.execute("create index fd on f(doc, field, value)")
        base.commit()

    @staticmethod
    def _insert(base: sqlite3.Connection, number: int, document: Document) -> None:
        row = (number, *(document.parts[part] for part in PARTS))
        base.execute(f"insert into d(rowid, {', '.join(PARTS)}) values (?, ?, ?, ?, ?)", row)
        base.executemany(
            "insert into f values (?, ?, ?)",
            ((number, f, value) for f, values in document.facets.items() for value in values),
        )

    def open(self, folder: Path) -> None:
        """Connect."""
        self._base = sqlite3.connect(folder / "fts5")

    def ask(self, words: str) -> object:
        """Search, then count over all results."""
        match = (" OR ".join(f'"{word}"' for word in words.split()),)
        hits = self._base.execute(
            "select rowid, bm25(d, 4, 3, 3, 1) as s, snippet(d, 3, '', '', '…', 24) from d "
            "where d match ? order by s limit 10",
            match,
        ).fetchall()
        counts = self._base.execute(
            "select field, value, count(*) from f where doc in "
            "(select rowid from d where d match ?) group by field, value",
            match,
        ).fetchall()
        return hits, counts

    def change(self, folder: Path, document: Document) -> None:
        """Delete and insert."""
        number = int(document.key.rpartition("-")[2])
        self._base.execute("delete from d where rowid = ?", (number,))
        self._base.execute("delete from f where doc = ?", (number,))
        self._insert(self._base, number, document)
        self._base.commit()


class Tantivy:
    """Tantivy with its English stems."""

    takes_changes = True

    def _schema(self) -> Any:
        import tantivy

        builder = tantivy.SchemaBuilder()
        builder.add_text_field("key", tokenizer_name="raw")
        for part in PARTS:
            builder.add_text_field(part, stored=True, tokenizer_name="en_stem")
        for facet in FACETS:
            builder.add_text_field(facet, fast=True, tokenizer_name="raw")
        return builder.build()

    @staticmethod
    def _document(document: Document) -> Any:
        import tantivy

        fields: dict[str, Any] = {part: document.parts[part] for part in PARTS}
        facets = {facet: list(document.facets[facet]) for facet in FACETS}
        return tantivy.Document(key=document.key, **fields, **facets)

    def build(self, folder: Path, docs: Sequence[Document]) -> None:
        """Write with the heap its own examples take."""
        import tantivy

        writer = tantivy.Index(self._schema(), path=str(folder)).writer(200_000_000)
        for document in docs:
            writer.add_document(self._document(document))
        writer.commit()
        writer.wait_merging_threads()

    def open(self, folder: Path) -> None:
        """Open for reading; the schema is needed for snippets."""
        import tantivy

        self._made = self._schema()
        self._index = tantivy.Index.open(str(folder))
        self._searcher = self._index.searcher()
        self._wanted = {f: {"terms": {"field": f, "size": 2000}} for f in FACETS}

    def ask(self, words: str) -> object:
        """Search, aggregate, make snippets."""
        import tantivy

        query = self._index.parse_query(words, list(PARTS))
        found = self._searcher.search(query, 10, count=True)
        counts = self._searcher.aggregate(query, self._wanted)
        maker = tantivy.SnippetGenerator.create(self._searcher, query, self._made, "body")
        hits = [maker.snippet_from_doc(self._searcher.doc(at)) for _, at in found.hits]
        return hits, counts

    def change(self, folder: Path, document: Document) -> None:
        """Delete by key, add, commit."""
        writer = self._index.writer(50_000_000)
        writer.delete_documents("key", document.key)
        writer.add_document(self._document(document))
        writer.commit()
        self._index.reload()
        self._searcher = self._index.searcher()


class Whoosh:
    """Whoosh's own writer, parser, searcher, facets and highlighter, set up for speed."""

    takes_changes = True
    _single = frozenset(("unit", "section", "kind", "skill", "state"))

    def _schema(self) -> Any:
        from whoosh import analysis, fields

        keep = analysis.StemmingAnalyzer(stoplist=None, minsize=1)
        column, several = fields.ID(sortable=True), fields.KEYWORD(commas=True)
        facets = {f: column if f in self._single else several for f in FACETS}
        text = fields.TEXT(stored=True, analyzer=keep, chars=True)
        return fields.Schema(key=fields.ID(unique=True), text=text, **facets)

    @staticmethod
    def _fields(document: Document) -> dict[str, str]:
        facets = {facet: ",".join(document.facets[facet]) for facet in FACETS}
        return {"key": document.key, "text": "\n".join(document.parts.values()), **facets}

    def build(self, folder: Path, docs: Sequence[Document]) -> None:
        """Add one document after the other, as its guide does."""
        from whoosh import index

        writer = index.create_in(str(folder), self._schema()).writer()
        for document in docs:
            writer.add_document(**self._fields(document))
        writer.commit()

    def open(self, folder: Path) -> None:
        """Open a searcher."""
        from whoosh import index, qparser, sorting

        self._index = index.open_dir(str(folder))
        self._searcher = self._index.searcher()
        self._parser = qparser.QueryParser("text", self._index.schema, group=qparser.OrGroup)
        self._groups = {
            f: sorting.FieldFacet(f, allow_overlap=f not in self._single, maptype=sorting.Count)
            for f in FACETS
        }

    def ask(self, words: str) -> object:
        """Search twice: highlighting a grouped result takes several times as long."""
        from whoosh import highlight

        query = self._parser.parse(words)
        found = self._searcher.search(query, limit=10, terms=True)
        found.fragmenter = highlight.PinpointFragmenter()
        counted = self._searcher.search(query, limit=10, groupedby=self._groups)
        return [hit.highlights("text") for hit in found], [counted.groups(f) for f in FACETS]

    def change(self, folder: Path, document: Document) -> None:
        """Update by key."""
        writer = self._index.writer()
        writer.update_document(**self._fields(document))
        writer.commit()
        self._searcher = self._searcher.refresh()


class Bm25s:
    """Bm25s with Snowball stems; facets counted in numpy, snippets cut by hand, as it has neither.

    It cannot take in a change: the index is made anew.
    """

    takes_changes = False

    def build(self, folder: Path, docs: Sequence[Document]) -> None:
        """Tokenize, index, and keep what facets and snippets need."""
        import bm25s
        import numpy as np

        texts = ["\n".join(document.parts[part] for part in PARTS) for document in docs]
        engine = bm25s.BM25()
        engine.index(bm25s.tokenize(texts, stemmer=self._stem(), show_progress=False))
        engine.save(str(folder), corpus=texts)
        for facet in FACETS:
            values = sorted({value for d in docs for value in d.facets[facet]})
            at = {value: number for number, value in enumerate(values)}
            pairs = [(n, at[value]) for n, d in enumerate(docs) for value in d.facets[facet]]
            np.save(folder / f"facet-{facet}.npy", np.array(pairs, np.int32).reshape(-1, 2))
            (folder / f"facet-{facet}.json").write_text(json.dumps(values))

    @staticmethod
    def _stem() -> Any:
        from whoosh.lang.snowball.english import EnglishStemmer

        one = EnglishStemmer()
        return lambda words: [one.stem(word) for word in words]

    def open(self, folder: Path) -> None:
        """Load index, texts and facets."""
        import bm25s
        import numpy as np

        self._engine = bm25s.BM25.load(str(folder), load_corpus=True, mmap=True)
        self._facets = {
            f: (np.load(folder / f"facet-{f}.npy"), (folder / f"facet-{f}.json").read_text())
            for f in FACETS
        }

    def ask(self, words: str) -> object:
        """Score everything, take ten, count, cut."""
        import bm25s
        import numpy as np

        tokens = bm25s.tokenize(
            [words], stemmer=self._stem(), show_progress=False, return_ids=False
        )
        scores = self._engine.get_scores(tokens[0])
        best = np.argpartition(-scores, 10)[:10]
        best = best[np.argsort(-scores[best])]
        result = scores > 0
        counts = {}
        for facet, (pairs, values) in self._facets.items():
            names = json.loads(values)
            numbers = np.bincount(pairs[result[pairs[:, 0]], 1], minlength=len(names))
            counts[facet] = dict(zip(names, numbers.tolist(), strict=True))
        texts = [self._engine.corpus[int(n)]["text"] for n in best]
        return [self._cut(text, words) for text in texts], counts, int(result.sum())

    @staticmethod
    def _cut(text: str, words: str) -> str:
        low = text.lower()
        at = min((p for w in words.lower().split() if (p := low.find(w)) >= 0), default=0)
        return text[max(0, at - 60) : at + 140]

    def change(self, folder: Path, document: Document) -> None:
        """Is never asked to."""


ENGINES: dict[str, type[Engine]] = {
    "fixbook": Ours,
    "fixbook plain": OursPlain,
    "SQLite FTS5": Fts5,
    "tantivy": Tantivy,
    "bm25s": Bm25s,
    "Whoosh": Whoosh,
}
