"""Older backups are restored, phones leave and come back, disks are full: nothing is lost."""

from __future__ import annotations

from typing import Final

from tests.sim import real_phone
from tests.sim.real_phone import real_phones
from tests.sim.restores import FORGETS, play

NIGHTS: Final = 4


def test_restores_of_older_backups_lose_nothing_that_phones_sent() -> None:
    restored = left = full = 0
    with real_phones() as held:
        for seed in range(1, NIGHTS + 1):
            verdict, night = play(seed, held)
            assert not verdict.lost and not verdict.different, f"seed {seed}: {verdict.why}"
            restored, left, full = (
                restored + night.restored, left + night.left, full + night.full
            )  # fmt: skip
    assert restored >= NIGHTS and left >= NIGHTS and full


def test_a_phone_that_forgets_when_it_leaves_is_found() -> None:
    real_phone.FAULTS["forgets when it leaves"] = FORGETS
    try:
        with real_phones("forgets when it leaves") as held:
            assert any(play(seed, held)[0].lost for seed in range(1, 20, 2))
    finally:
        del real_phone.FAULTS["forgets when it leaves"]
