"""Nights with faults lose nothing and leave every replica the same; faulty parts are found out."""

from __future__ import annotations

from typing import Final

import pytest

from tests.sim import __main__ as command
from tests.sim.night import LONG, SHORT, Verdict, play
from tests.sim.phone import ForgetfulPhone, HastyPhone, Phone
from tests.sim.real_server import Template
from tests.sim.servers import MemoryServer, SkippingServer

NIGHTS: Final = 200
REAL_NIGHTS: Final = 3
LONG_NIGHTS: Final = 4


@pytest.mark.untraced
@pytest.mark.slow
def test_two_hundred_short_nights_lose_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    for seed in range(NIGHTS):
        verdict = play(seed, MemoryServer, SHORT)
        assert not verdict.lost and not verdict.different, f"seed {seed}: {verdict.why}"


def test_nights_of_up_to_two_hundred_cases_lose_nothing() -> None:
    for seed in range(LONG_NIGHTS):
        verdict = play(seed, MemoryServer, LONG)
        assert not verdict.lost and not verdict.different, f"seed {seed}: {verdict.why}"
        assert verdict.events > 100


@pytest.mark.slow
@pytest.mark.store
def test_nights_on_the_real_server_lose_nothing() -> None:
    template = Template()
    try:
        for seed in range(REAL_NIGHTS):
            verdict = play(seed, template.server, SHORT)
            assert not verdict.lost and not verdict.different, f"seed {seed}: {verdict.why}"
    finally:
        template.close()


def test_the_same_seed_plays_the_same_night() -> None:
    first, second = (play(11, MemoryServer, SHORT) for _ in range(2))
    assert first == second


# Each fault is found in most of its nights; a simulation that finds none proves nothing.
@pytest.mark.parametrize(
    ("server", "phone", "what"),
    [
        (MemoryServer, ForgetfulPhone, "lost"),  # leaves the outbox before the answer
        (MemoryServer, HastyPhone, "different"),  # takes the cursor without the events
        (SkippingServer, Phone, "different"),  # answers with a hole before its cursor
    ],
)
def test_a_faulty_part_is_found_out(
    server: type[MemoryServer], phone: type[Phone], what: str
) -> None:
    verdicts = [play(seed, server, SHORT, phone) for seed in range(6)]
    assert sum(getattr(verdict, what) > 0 for verdict in verdicts) >= 4


def test_the_command_says_in_its_last_line_what_came_of_it(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert command.main(["--nights", "3", "--seed", "5", "--server", "memory"]) == 0
    assert capsys.readouterr().out.splitlines()[-1] == "3 nights, 0 lost, 0 different"


def test_a_night_that_fails_is_named_by_its_seed(capsys: pytest.CaptureFixture[str]) -> None:
    total = Verdict()
    command.add(total, play(0, MemoryServer, SHORT, ForgetfulPhone), 0)
    assert total.lost > 0
    assert capsys.readouterr().out.startswith("seed 0: ")


def test_no_nights_at_all_is_bad_usage() -> None:
    with pytest.raises(SystemExit) as ended:
        command.main(["--nights", "0"])
    assert ended.value.code == 2
