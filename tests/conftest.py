"""What every test may ask for: a fresh database of each kind."""

from __future__ import annotations

import itertools
import os
import sys
from collections.abc import Generator, Iterator
from pathlib import Path

import hypothesis
import pytest

from tests.support.needs import postgres
from tests.support.postgres import scratch_cluster, scratch_database

ROOT = Path(__file__).resolve().parents[1]
# No file of settings that lies on this machine counts in the tests.
os.environ["ROWCALL_SETTINGS"] = ""

# The same examples on every machine: a property that fails, fails for everybody.
hypothesis.settings.register_profile(
    "rowcall",
    derandomize=True,
    database=None,
    deadline=None,
    max_examples=100,
    suppress_health_check=[hypothesis.HealthCheck.too_slow],
)
hypothesis.settings.load_profile("rowcall")

# Fixtures that open a database server, asked for directly or through another fixture.
DATABASES = frozenset({"database_url", "postgres_url"})

_names = itertools.count(1)


@pytest.hookimpl(tryfirst=True)  # before `-m` chooses by marks
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark every test that asks for a database: it belongs to the part `store`.

    Files with a slow test begin: the last ones to run keep every worker busy to the end.
    """
    for item in items:
        if isinstance(item, pytest.Function) and DATABASES.intersection(item.fixturenames):
            item.add_marker(pytest.mark.store)
    slow = {item.path for item in items if item.get_closest_marker("slow")}
    items.sort(key=lambda item: item.path not in slow)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Generator[None, object, object]:
    """Run what goes through long loops without tracing: coverage makes them four times as long.

    The mark of pytest-cov stops only one of the two tracers that a worker process has.
    """
    trace = sys.gettrace()
    if item.get_closest_marker("untraced"):
        sys.settrace(None)
    try:
        return (yield)
    finally:
        sys.settrace(trace)


@pytest.fixture(scope="session")
def postgres_socket() -> Iterator[Path]:
    """Start one scratch PostgreSQL for the session; yield its socket folder."""
    with scratch_cluster(postgres()) as socket:
        yield socket


@pytest.fixture
def sqlite_url(tmp_path: Path) -> str:
    """Return the URL of an SQLite file that is not there yet."""
    return f"sqlite:///{tmp_path / 'rowcall.sqlite'}"


@pytest.fixture
def postgres_url(postgres_socket: Path) -> Iterator[str]:
    """Yield the URL of a fresh, empty PostgreSQL database."""
    with scratch_database(postgres_socket, f"rowcall_{next(_names)}") as url:
        yield url


@pytest.fixture(params=["sqlite", "postgresql"])
def database_url(request: pytest.FixtureRequest) -> str:
    """Return the URL of a fresh, empty database; the test runs once on each kind."""
    url: str = request.getfixturevalue(
        {"sqlite": "sqlite_url", "postgresql": "postgres_url"}[request.param]
    )
    return url
