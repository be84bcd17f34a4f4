"""A bench with the demo on each kind of database, and a quick one on SQLite alone."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.support.app import Bench


@pytest.fixture
def bench(database_url: str, tmp_path: Path) -> Iterator[Bench]:
    """Yield the demo on a fresh database; the test runs once on each kind."""
    made = Bench(database_url, tmp_path).demo()
    yield made
    made.close()


@pytest.fixture(scope="session")
def filled(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """Return an SQLite file with the demo in it, made once, and the chief's PIN."""
    folder = tmp_path_factory.mktemp("filled")
    file = folder / "rowcall.sqlite"
    made = Bench(f"sqlite:///{file}", folder).demo()
    made.close()
    return file, made.pin


@pytest.fixture
def quick(filled: tuple[Path, str], tmp_path: Path) -> Iterator[Bench]:
    """Yield the demo on SQLite, for what has nothing to do with the kind of database."""
    shutil.copy(filled[0], tmp_path / "rowcall.sqlite")
    made = Bench(f"sqlite:///{tmp_path / 'rowcall.sqlite'}", tmp_path)
    made.pin = filled[1]
    yield made
    made.close()


@pytest.fixture
def bare(sqlite_url: str, tmp_path: Path) -> Iterator[Bench]:
    """Yield a shop with nothing in it, on SQLite."""
    made = Bench(sqlite_url, tmp_path)
    yield made
    made.close()
