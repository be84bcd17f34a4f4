"""A bare app on each kind of database."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.support.app import Bench


@pytest.fixture
def bare(database_url: str, tmp_path: Path) -> Iterator[Bench]:
    """Yield an app on a fresh database with nothing in it."""
    made = Bench(database_url, tmp_path)
    yield made
    made.close()
