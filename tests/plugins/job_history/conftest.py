"""Jobs in a book's own file, and the same on a server where one is named.

FIXBOOK_TEST_POSTGRES holds the address of a database that tests may make schemas in, such as
postgresql://fixbook@127.0.0.1:5499/postgres; without it those tests skip.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from typing import Any
from urllib.parse import quote
from uuid import uuid4

import pytest
from fixbook_plugins.job_history.job import Job, Note, PartUsed, Reading
from fixbook_plugins.job_history.store import Store, open_store

from fixbook.api import Bench
from fixbook.cli.session import Session

ADDRESS = os.environ.get("FIXBOOK_TEST_POSTGRES", "").replace("+psycopg:", ":")


@pytest.fixture(params=["file", "server"])
def server(request: pytest.FixtureRequest) -> Iterator[str]:
    """Give nothing, for jobs in a book's own file, then the address of a schema of its own."""
    if request.param == "file":
        yield ""
        return
    if not ADDRESS:
        pytest.skip("no PostgreSQL to test on; FIXBOOK_TEST_POSTGRES names none")
    import psycopg

    schema = f"t{uuid4().hex}"
    with psycopg.connect(ADDRESS, autocommit=True) as database:
        database.execute(f"CREATE SCHEMA {schema}")
        mark = "&" if "?" in ADDRESS else "?"
        yield f"{ADDRESS}{mark}options={quote(f'-csearch_path={schema}')}"
        database.execute(f"DROP SCHEMA {schema} CASCADE")


@pytest.fixture
def kept(server: str, book: Any, monkeypatch: pytest.MonkeyPatch) -> Any:
    """Let the jobs of the book be kept in its own file, then on a server."""
    if server:
        monkeypatch.setenv("FIXBOOK_JOBS", server)
    return book


@pytest.fixture
def bench(kept: Any) -> Bench:
    """Give the bench of the book."""
    return Session().bench


@pytest.fixture
def store(bench: Bench) -> Iterator[Store]:
    """Open the jobs of the book."""
    with open_store(bench) as opened:
        yield opened


@pytest.fixture
def asked(fixbook: Callable[..., Any]) -> Callable[..., Any]:
    """Run a command with --json and give what it printed."""

    def ask(*words: str) -> Any:
        ran = fixbook(*words, "--json")
        return json.loads(ran.out)

    return ask


@pytest.fixture
def whole_job() -> Callable[..., Job]:
    """Make jobs with every field filled in: `whole_job("2041", minutes=50)`."""
    return _whole_job


@pytest.fixture
def ended() -> Callable[..., Job]:
    """Make jobs with the fault amp-hum that went out: `ended("1", "fixed", days_ago=400)`."""
    return _ended


def _whole_job(number: str = "2041", **changes: Any) -> Job:
    values: dict[str, Any] = {
        "number": number,
        "booked_in": date(2024, 1, 3),
        "handed_over": date(2024, 1, 9),
        "unit": "test-amp",
        "model": "QX-200 rev B",
        "serial": "77-A",
        "accessories": "lead",
        "condition": "scratched lid",
        "complaint": "drones",
        "limit": "80, ask beyond",
        "shelf": "B3",
        "stage": "handed-over",
        "signs": {"low-drone": "seen"},
        "faults": ("amp-hum",),
        "work": "new relay",
        "parts": (PartUsed("relay", "24 V coil", 1, "RL1"),),
        "readings": (Reading("amp-hum", "contact resistance", "ohms", 4.0, 0.05, "bench"),),
        "notes": (Note("2024-01-04T10:00", "waited for the relay"),),
        "minutes": 40,
        "safety_test": "passed by the local code",
        "soak_minutes": 60,
        "outcome": "fixed",
        "source": "history.csv",
    }
    return Job(**{**values, **changes})


def _ended(number: str, outcome: str, *, days_ago: int = 400, **more: Any) -> Job:
    out = date.today() - timedelta(days=days_ago)
    values = {
        "booked_in": out - timedelta(days=5),
        "handed_over": out,
        "unit": "test-amp",
        "stage": "handed-over",
        "outcome": outcome,
        "faults": ("amp-hum",),
    }
    return Job(number, **{**values, **more})
