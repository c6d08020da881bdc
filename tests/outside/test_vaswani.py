"""Our own analysis, index and ranking over the Vaswani/NPL collection.

11,429 abstracts on electronics and physics with 93 questions and 2,083 judgements by people
(National Physical Laboratory; handed out by the University of Glasgow's IR resources). The data
are not part of the project: set FIXBOOK_OUTSIDE to the folder that holds `vaswani`.

Published or measured by others for the same files, nDCG@10, MRR@10, Recall@10, MAP, depth 1000:
bm25s 0.3.16 with Snowball stems, k1 1.2, b 0.4: 0.4399, 0.6875, 0.2195, 0.2890. Abstracts are no
fault write-ups: this says that everything is wired right, not that a technician finds the fault.
"""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from pathlib import Path

import pytest

from fixbook.core.query import Document, Request
from fixbook.search import Index

BEST_BM25 = {"nDCG@10": 0.4399, "RR@10": 0.6875, "R@10": 0.2195, "AP": 0.2890}
OURS = {"nDCG@10": 0.4660, "RR@10": 0.7032, "R@10": 0.2340, "AP": 0.3029}


def outside(name: str) -> Path:
    """Give a folder of outside data, or skip."""
    root = os.environ.get("FIXBOOK_OUTSIDE")
    folder = Path(root) if root else Path(__file__).parents[3] / "shared" / "data"
    if not (folder / name).is_dir():
        pytest.skip(f"no outside data: {folder / name} is missing; set FIXBOOK_OUTSIDE")
    return folder / name


@pytest.fixture(scope="module")
def measured(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, float]:
    """Index all abstracts, ask all questions, and give the four figures."""
    measures = pytest.importorskip("ir_measures")
    pytest.importorskip("numpy", reason="93 questions for a thousand hits take long without arrays")
    data = outside("vaswani")
    abstracts = re.findall(
        r"<DOCNO>(\d+)</DOCNO>\n(.*?)</DOC>", (data / "doc-text.trec").read_text("ascii"), re.DOTALL
    )
    questions = re.findall(
        r"<num>(\d+)</num><title>\n(.*?)\n</title>",
        (data / "query-text.trec").read_text(),
        re.DOTALL,
    )
    assert (len(abstracts), len(questions)) == (11_429, 93)
    index = Index(tmp_path_factory.mktemp("vaswani") / "index", "1", fast=True)
    given = ((number, [Document(number, number, {"body": text})]) for number, text in abstracts)
    index.update(given, stamps={})
    run = [
        measures.ScoredDoc(number, key, score)
        for number, question in questions
        for key, score in index.ranked(Request(question.lower(), limit=1000))
    ]
    judged = list(measures.read_trec_qrels(str(data / "qrels")))
    wanted = [measures.nDCG @ 10, measures.RR @ 10, measures.R @ 10, measures.AP]
    found = measures.calc_aggregate(wanted, judged, run)
    return {str(measure): value for measure, value in found.items()}


@pytest.mark.parametrize("measure", BEST_BM25)
def test_at_least_the_best_bm25_of_others(measured: Mapping[str, float], measure: str) -> None:
    """Each figure reaches the best row measured with another engine, less 0.005."""
    assert measured[measure] >= BEST_BM25[measure] - 0.005


@pytest.mark.parametrize("measure", OURS)
def test_our_own_figures_stay(measured: Mapping[str, float], measure: str) -> None:
    """Everything is deterministic, so a figure that moves was moved by a change."""
    assert measured[measure] == pytest.approx(OURS[measure], abs=0.005)
