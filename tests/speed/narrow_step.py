"""One step of narrowing: from an answer to the next checks in their order.

python tests/speed/narrow_step.py [FAULTS SIGNS]

First a made-up unit (200 faults and 200 signs unless said otherwise), then every unit of the
starter book, each followed through whole narrowings; what is timed is all that an answer costs.
"""

from __future__ import annotations

import random
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from statistics import median

from fixbook_plugins.narrowing.belief import believe
from fixbook_plugins.narrowing.choosing import next_checks
from fixbook_plugins.narrowing.model import Model, build_model, faults_of

from fixbook.api import Entry, Sign, Vocabulary
from fixbook.app.bench import LibraryBench
from fixbook.app.folders import user_folders
from fixbook.app.library import Library
from fixbook.settings import find_book

LIMIT_MS = 16.0
JOBS = 30
OFTEN = ("always", "usually", "sometimes", "rarely", "never")


def made_up(faults: int, signs: int) -> Model:
    """Make a unit whose faults each list ten signs."""
    rng = random.Random(1)
    names = [f"sign-{at:03}" for at in range(signs)]
    words = {
        name: Sign(
            name,
            f"{name}?",
            {"seen": (rate := rng.uniform(0.02, 0.3)), "not-seen": 1 - rate},
            rng.choice((0.5, 1.0, 2.0, 5.0)),
            hazards=("mains",) if rng.random() < 0.3 else (),
            customer=rng.random() < 0.4,
        )
        for name in names
    }
    entries = [
        Entry(
            f"fault-{at:03}",
            "fault",
            f"Fault {at}",
            "made-up",
            share=rng.choice(("common", "occasional", "rare")),
            signs={name: {"seen": rng.choice(OFTEN)} for name in rng.sample(names, 10)},
            minutes=40,
        )
        for at in range(faults)
    ]
    return build_model("made-up", entries, Vocabulary(signs=words))


def starter() -> Iterator[Model]:
    """Give the model of every unit of the starter book."""
    with tempfile.TemporaryDirectory(prefix="fixbook-speed-") as cache:
        folders = user_folders()._replace(cache=Path(cache))
        bench = LibraryBench(Library(find_book(None, {}, Path("/"), folders.data), folders))
        entries, words = list(bench.entries()), bench.vocabulary
    for unit in words.units:
        faults = faults_of(entries, words, unit)
        if faults:
            yield build_model(unit, faults, words)


def step_times(model: Model) -> list[float]:
    """Give the milliseconds of each step of some narrowings, answers drawn from the model."""
    taken = []
    for job in range(JOBS):
        rng = random.Random(job)
        fault = rng.choices(range(len(model.prior)), model.prior)[0]
        answers: dict[str, str] = {}
        while True:
            began = time.perf_counter()
            checks = next_checks(believe(model, answers))
            taken.append((time.perf_counter() - began) * 1e3)
            if not checks:
                break
            question = checks[0].question
            chances = [row[fault] for row in question.table]
            answers[question.id] = rng.choices(question.sign.answers, chances)[0]
    return taken


def run(faults: int, signs: int) -> None:
    """Time the steps."""
    for model in (made_up(faults, signs), *starter()):
        taken = sorted(step_times(model))
        print(
            f"{model.unit:20} {len(model.faults):>3} faults {len(model.questions):>3} signs:"
            f" {len(taken):>4} steps, middle {median(taken):5.2f} ms,"
            f" 99 of 100 under {taken[int(len(taken) * 0.99)]:5.2f} ms, worst {taken[-1]:5.2f} ms"
            f" (limit {LIMIT_MS:g})"
        )


if __name__ == "__main__":
    run(*(int(text) for text in sys.argv[1:3] or ("200", "200")))
