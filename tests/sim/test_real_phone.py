"""Nights with the client's own store, exchange and clock; faults planted in them are found."""

from __future__ import annotations

from typing import Final

import pytest

from tests.sim import __main__ as command
from tests.sim.night import SHORT, play
from tests.sim.real_phone import FAULTS, real_phones
from tests.sim.real_server import Template
from tests.sim.servers import MemoryServer

NIGHTS: Final = 2
# All ten are planted by `python3 tests sim --faults`: each is a build of its own.
PLANTED: Final = ("settles what it did not send", "keeps no log of its own")


def test_nights_with_the_phone_that_crews_hold_lose_nothing() -> None:
    with real_phones() as held:
        for seed in range(1, NIGHTS + 1):
            verdict = play(seed, MemoryServer, SHORT, held)
            assert not verdict.lost and not verdict.different, f"seed {seed}: {verdict.why}"
        assert play(2, MemoryServer, SHORT, held) == play(2, MemoryServer, SHORT, held)


@pytest.mark.slow
@pytest.mark.store
def test_the_phone_that_crews_hold_and_the_server_that_they_reach_lose_nothing() -> None:
    template = Template()
    try:
        with real_phones() as held:
            verdict = play(7, template.server, SHORT, held)
        assert not verdict.lost and not verdict.different, verdict.why
    finally:
        template.close()


def test_ten_faults_can_be_planted_and_some_are(capsys: pytest.CaptureFixture[str]) -> None:
    assert len(FAULTS) == 10
    assert command.find_faults(6, 1, PLANTED) == 0
    assert capsys.readouterr().out.endswith("2 faults, 0 not found\n")
