"""Hybrid clock and ids; the phone's own copy is tested in pwa/tests/clock.test.ts."""

from __future__ import annotations

from dataclasses import replace
from random import Random
from uuid import UUID

from hypothesis import given
from hypothesis import strategies as st

from tests.phone_model.clock import (
    MAX_DRIFT_MS,
    MOST_COUNT,
    Clock,
    Reading,
    heard_server,
    hlc_text,
    receive,
    tick,
    true_ms,
    uuid7,
)

DAY = 86_400_000
NOON = 1_807_000_000_000


def test_an_id_is_the_example_of_the_standard() -> None:
    # RFC 9562, appendix A.6: 017F22E2-79B0-7CC3-98C4-DC0C0C07398F, made at 1645557742000 ms with
    # rand_a CC3 and rand_b 18C4DC0C0C07398F (62 bits).
    random = bytes.fromhex("cc3" + "18c4dc0c0c07398f" + "0")
    assert uuid7(1_645_557_742_000, random) == "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"


@given(st.integers(0, 2**48 - 1), st.binary(min_size=10, max_size=10))
def test_every_id_is_a_uuid_of_version_7_with_its_time(ms: int, random: bytes) -> None:
    made = UUID(uuid7(ms, random))
    assert (made.version, made.variant, made.int >> 80) == (7, UUID(int=1 << 63).variant, ms)


def test_ids_sort_by_time() -> None:
    random = Random(1)
    ids = [uuid7(NOON + k, random.randbytes(10)) for k in range(500)]
    assert ids == sorted(ids)
    assert len(set(ids)) == 500


@given(st.lists(st.integers(NOON - DAY, NOON + DAY), min_size=2, max_size=30))
def test_every_reading_is_later_than_the_one_before(walls: list[int]) -> None:
    clock, last = Clock(), ""
    for wall in walls:
        clock = tick(clock, Reading(wall))
        text = hlc_text(clock, "p1")
        assert text > last
        last = text


@given(st.integers(-MAX_DRIFT_MS, MAX_DRIFT_MS), st.integers(0, 5))
def test_what_follows_something_heard_is_later(skew: int, count: int) -> None:
    heard = f"{NOON + skew:013d}-{count:05d}-p2"
    clock = receive(Clock(), heard, Reading(NOON))
    assert hlc_text(tick(clock, Reading(NOON)), "p1") > heard


def test_a_phone_a_day_ahead_does_not_drag_the_others_along() -> None:
    clock = receive(Clock(), f"{NOON + DAY:013d}-00000-p2", Reading(NOON))
    assert tick(clock, Reading(NOON)).ms == NOON


def test_a_phone_a_day_ahead_is_put_right_by_the_first_answer() -> None:
    clock = heard_server(Clock(), NOON, Reading(NOON + DAY))
    assert tick(clock, Reading(NOON + DAY + 5)).ms == NOON + 5


def test_a_leap_of_the_wall_clock_is_followed_no_further_than_the_bound() -> None:
    clock = heard_server(Clock(), NOON, Reading(NOON, steady=1_000))
    after = Reading(NOON + DAY, steady=1_500)
    assert true_ms(clock, after) == NOON + 500 + MAX_DRIFT_MS
    assert true_ms(clock, Reading(NOON + 400, steady=1_500)) == NOON + 400


def test_a_full_count_moves_on_to_the_next_millisecond() -> None:
    full = replace(Clock(), ms=NOON, count=MOST_COUNT)
    after = tick(full, Reading(NOON))
    assert (after.ms, after.count) == (NOON + 1, 0)
    assert hlc_text(after, "p") > hlc_text(full, "p")
