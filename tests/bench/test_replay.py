"""The replay of an hour, small: every phone ends with what the server holds."""

from __future__ import annotations

import argparse

import pytest

from tests.bench.replay import replay


@pytest.mark.slow
@pytest.mark.store
def test_an_hour_replayed_ends_alike_on_every_phone() -> None:
    asked = argparse.Namespace(shows=2, cases=12, phones=3, speed=600.0)
    told = replay("sqlite", asked)
    assert (told.errors, told.different) == (0, 0)
    assert told.on == 2 * 12
    assert told.facts >= told.on and told.posts > 0
