"""The book of the invented shop: always the same, without a fault, and like a real one."""

from __future__ import annotations

import csv
import io
import json
import re
from collections import Counter
from pathlib import Path
from random import Random
from statistics import mean
from xml.etree import ElementTree

import pytest

from fixbook.app.demo import demo_book
from fixbook.app.folders import Folders
from fixbook.app.library import Library
from fixbook.app.proofing import proof
from fixbook.demo.faults import faults
from fixbook.demo.jobs import YEARS, PastJob, past_jobs
from fixbook.demo.making import SEED, demo_files
from fixbook.demo.slips import slipped
from fixbook.settings import Place

STOP = re.compile(
    r"\b(stops?|hand(s|ed)? (it|the|on|over|whole)|hand over|pass (it|on)|goes to|leave|qualified"
    r"|licen[sc]ed?|trained)\b",
    re.IGNORECASE,
)
DANGEROUS = {"mains", "stored-charge", "high-voltage", "laser", "lithium"}


@pytest.fixture(scope="module")
def made() -> dict[str, bytes]:
    """Give the files of the book."""
    return demo_files()


@pytest.fixture(scope="module")
def history() -> list[PastJob]:
    """Give the jobs of four invented shops together."""
    return [job for seed in range(4) for job in past_jobs(Random(seed))]


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make the book once for all tests that only read it."""
    folder = tmp_path_factory.mktemp("demo") / "shop"
    demo_book(folder)
    return folder


@pytest.fixture(scope="module")
def library(shop: Path) -> Library:
    """Open the book with the starter book beside it."""
    home = shop.parent
    return Library(Place(shop, "--book"), Folders(home / "c", home / "d", home / "s"))


@pytest.fixture(scope="module")
def own(library: Library, shop: Path):
    """Give the shop's own write-ups."""
    ids = {path.stem for path in shop.glob("entries/*/*.md")}
    return [filed.entry for filed in library.filed() if filed.entry.id in ids]


def test_the_same_seed_gives_the_same_bytes(made):
    """Whoever makes it again can compare."""
    assert demo_files(SEED) == made


def test_another_seed_gives_another_history(made):
    """The history hangs on the seed, the write-ups do not."""
    second = demo_files(2)
    differing = {path for path in made if made[path] != second[path]}
    assert {path.split("/")[0] for path in differing} == {"history", "stock.csv"}


def test_it_has_twenty_five_write_ups(own):
    """The shop has written up what its own models suffer from."""
    assert len(own) == 25


def test_proofing_finds_nothing(library):
    """What is shown as an example is without a fault."""
    assert proof(library).problems == ()


def test_each_write_up_names_the_models_it_is_about(own):
    """They are of the shop's own models; what holds for any unit is in the starter book."""
    assert [entry.id for entry in own if not entry.models] == []


def test_dangerous_write_ups_say_when_to_stop(own):
    """Where the work can hurt, the text says where it ends and who takes over."""
    silent = [one.id for one in own if DANGEROUS & set(one.hazards) and not STOP.search(one.body)]
    assert silent == []


def test_every_write_up_leads_to_the_safety_check(own):
    """Nothing of this shop leaves without it."""
    assert [one.id for one in own if "hand-over-safety-check" not in one.body] == []


def test_every_fault_of_the_history_has_its_write_up(library):
    """An id in the lists is the id of a write-up, of the shop or of the starter book."""
    known = {filed.entry.id for filed in library.filed()}
    assert {one.entry for one in faults() if one.entry} - known == set()


def test_every_write_up_of_the_shop_has_jobs(own):
    """A write-up came from jobs."""
    assert {one.id for one in own} - {one.entry for one in faults()} == set()


def test_there_are_six_hundred_jobs_over_four_growing_years():
    """The counts of the years rise, and add up to 600."""
    counts = Counter(job.booked_in.year for job in past_jobs(Random(SEED)))
    assert (sum(counts.values()), dict(sorted(counts.items()))) == (600, YEARS)


def test_repairs_hold_about_as_often_as_in_a_good_shop(history):
    """Of what was tried, four fifths to nearly all were fixed; a few in a hundred came back."""
    tried = [job for job in history if job.outcome in ("fixed", "improved", "not-fixed")]
    fixed = sum(job.outcome == "fixed" for job in tried) / len(tried)
    back = sum(job.return_of is not None for job in history) / len(tried)
    assert (0.8 < fixed < 0.97, 0.01 < back < 0.06) == (True, True)


def test_turntables_come_after_christmas(history):
    """Seasons show: January brings more record players than June."""
    months = Counter(job.booked_in.month for job in history if job.unit == "turntable")
    assert months[1] > 1.5 * months[6]


def test_times_spread_around_what_a_fault_takes(history):
    """The mean of many times is near the table's middle, a little above it."""
    taken = [job.minutes for job in history if job.entry == "z88-hammer-felt"]
    assert 0.9 < mean(taken) / 160 < 1.25


def test_slips_touch_some_words_and_no_number():
    """Five in a hundred longer words are mistyped; figures stay what they were."""
    text = "channel distorted 22 mV " * 200
    made = slipped(Random(3), text.strip(), 0.05).split()
    changed = sum(a != b for a, b in zip(made, text.split(), strict=True))
    assert (5 < changed < 50, made.count("22")) == (True, 200)


def test_the_stock_list_has_what_a_pick_list_needs(made):
    """Each row says what it is and how many there are."""
    rows = list(csv.DictReader(io.StringIO(made["stock.csv"].decode())))
    assert len(rows) > 60
    assert all(row["What"] and row["Qty"].isdigit() for row in rows)


def test_pictures_say_what_they_show_and_run_nothing(made):
    """A drawing is described, and is nothing but shapes and words."""
    for path, data in made.items():
        if path.endswith(".svg"):
            names = {node.tag.rpartition("}")[2] for node in ElementTree.fromstring(data).iter()}
            assert {"title", "desc"} <= names <= {
                "svg", "title", "desc", "rect", "circle", "path", "text",
            }  # fmt: skip


def test_every_picture_is_shown_in_a_write_up(own, made):
    """No drawing lies about unused."""
    shown = {name for one in own for name in re.findall(r"pictures/([\w-]+)\.svg", one.body)}
    drawn = {path[17:-4] for path in made if path.startswith("entries/pictures/")}
    assert shown == drawn


def test_a_folder_with_something_in_it_is_left_alone(fixbook, tmp_path):
    """Nobody's files are mixed with invented ones."""
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    ran = fixbook("book", "demo", str(tmp_path), "--json")
    told = json.loads(ran.out)["error"]
    assert (ran.status, "not an empty folder" in told["why"]) == (2, True)
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]
