"""Beliefs and information against libraries that know nothing of this program.

pgmpy works the same networks out by variable elimination; what it cannot express, that of two
signs that say the same only one counts, is held against an enumeration of all cases. Information
is held against scipy's entropy.
"""

from __future__ import annotations

import random
import warnings

import pytest
from fixbook_plugins.narrowing.arithmetic import entropy, information
from fixbook_plugins.narrowing.belief import Belief, believe
from fixbook_plugins.narrowing.choosing import gains
from fixbook_plugins.narrowing.model import Model, build_model

from fixbook.api import Counts, Entry, Sign, Vocabulary

NETWORKS = 200
OFTEN = ("always", "usually", "sometimes", "rarely", "never")


def random_model(seed: int, *, same: bool = False) -> tuple[Model, dict[str, str]]:
    """Make a small unit with random faults, signs and counts, and some answers."""
    rng = random.Random(seed)
    signs = {}
    for at in range(rng.randint(1, 6)):
        answers = ["seen", "not-seen"] if rng.random() < 0.6 else ["low", "mid", "high"]
        rates = [rng.uniform(0.05, 1) for _ in answers]
        background = {a: r / sum(rates) for a, r in zip(answers, rates, strict=True)}
        twin = (f"s{at - 1}",) if same and at and rng.random() < 0.6 else ()
        signs[f"s{at}"] = Sign(f"s{at}", "?", background, 1.0, says_the_same_as=twin)
    faults = []
    for at in range(rng.randint(1, 5)):
        listed = rng.sample(list(signs), rng.randint(0, len(signs)))
        said = {n: {rng.choice(signs[n].answers): rng.choice(OFTEN)} for n in listed}
        share = rng.choice(("common", "occasional", "rare"))
        faults.append(Entry(f"f{at}", "fault", f"F{at}", "u", share=share, signs=said))
    counts = Counts(
        {one.id: rng.randint(0, 20) for one in faults},
        {
            one.id: {n: {a: rng.randint(0, 5) for a in s.answers} for n, s in signs.items()}
            for one in faults
        },
        rng.randint(0, 5),
    )
    model = build_model("u", faults, Vocabulary(signs=signs), counts)
    looked = rng.sample(list(signs), rng.randint(0, len(signs)))
    return model, {name: rng.choice(signs[name].answers) for name in looked}


def by_pgmpy(model: Model, answers: dict[str, str]) -> list[float]:
    """Give the chances as pgmpy works them out, from the tables alone."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # pgmpy deprecates parts of itself on import
        factors = pytest.importorskip("pgmpy.factors.discrete")
        inference = pytest.importorskip("pgmpy.inference")
        models = pytest.importorskip("pgmpy.models")
        network = models.DiscreteBayesianNetwork([("fault", name) for name in model.questions])
        network.add_node("fault")
        size = len(model.prior)
        network.add_cpds(factors.TabularCPD("fault", size, [[one] for one in model.prior]))
        for name, question in model.questions.items():
            table = [list(row) for row in question.table]
            network.add_cpds(factors.TabularCPD(name, len(table), table, ["fault"], [size]))
        evidence = {
            name: model.questions[name].sign.answers.index(answer)
            for name, answer in answers.items()
        }
        solver = inference.VariableElimination(network)
        found = solver.query(["fault"], evidence=evidence, show_progress=False)
        return [float(one) for one in found.values]


def by_enumeration(belief: Belief) -> list[float]:
    """Give the chances by multiplying out the counted answers, in plain products."""
    model = belief.model
    products = []
    for at, chance in enumerate(model.prior):
        for name in belief.counted:
            question = model.questions[name]
            chance *= question.table[question.sign.answers.index(belief.answers[name])][at]
        products.append(chance)
    return [one / sum(products) for one in products]


@pytest.mark.parametrize("first", range(0, NETWORKS, 50))
def test_beliefs_equal_those_of_pgmpy(first):
    """Two hundred random networks, to 1e-9."""
    for seed in range(first, first + 50):
        model, answers = random_model(seed)
        listed = {name: one for name, one in answers.items() if name in model.questions}
        assert believe(model, answers).chances == pytest.approx(
            by_pgmpy(model, listed), abs=1e-9
        ), seed


def test_of_signs_that_say_the_same_one_counts_and_the_sums_equal_an_enumeration():
    """Two hundred random networks with signs that say the same, to 1e-9."""
    doubled = 0
    for seed in range(NETWORKS):
        model, answers = random_model(seed, same=True)
        belief = believe(model, answers)
        assert belief.chances == pytest.approx(by_enumeration(belief), abs=1e-9), seed
        for name in belief.counted:
            assert not model.questions[name].same & belief.counted
        doubled += len(belief.counted) < sum(name in model.questions for name in answers)
    assert doubled > 20


def test_information_equals_scipys_entropies():
    """The entropy that is lost on average, by scipy, on two hundred random networks."""
    stats = pytest.importorskip("scipy.stats")
    for seed in range(NETWORKS):
        model, answers = random_model(seed)
        belief = believe(model, answers)
        open_ = float(stats.entropy(belief.chances, base=2))
        assert entropy(belief.chances) == pytest.approx(open_, abs=1e-9)
        for check in gains(belief):
            told = open_
            for row in check.question.table:
                joint = [a * b for a, b in zip(belief.chances, row, strict=True)]
                told -= sum(joint) * float(stats.entropy(joint, base=2))
            assert check.gain == pytest.approx(told, abs=1e-9), (seed, check.question.id)
            assert information(belief.chances, check.question.table) == check.gain
