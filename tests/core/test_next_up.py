"""Whoever does what comes next, step by step, ends with nothing that holds the vehicle back."""

from __future__ import annotations

from random import Random
from typing import Any, Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.core.crew.bundle import LOADING, Bundle, Move, read_bundle
from server.core.night.event_kinds import Body, Off, On, Opened, Person, Strapped, Took
from server.core.night.events import Event, read_event
from server.core.night.fold import fold
from server.core.night.state import Held
from tests.phone_model.next_up import Step, next_up
from tests.phone_model.scan_answer import Scan, answer_scan, rows_to_open
from tests.support.nights import bundle_document
from tests.support.random_bundle import random_bundle
from tests.support.random_events import random_events

MOVES: Final[tuple[Move, ...]] = ("shop_load", "load_in", "load_out", "put_away")
LATER: Final = 1_900_000_000_000
DONE_BY_STEPS: Final = {"cases", "straps", "slack"}


class Hand:
    """One phone that says things later than anybody before."""

    def __init__(self, move: Move, vehicle: str, device: str = "hand") -> None:
        self.move, self.vehicle, self.device = move, vehicle, device
        self.n = 0

    def say(self, body: Body) -> Event:
        self.n += 1
        ms = LATER + self.n
        return Event(
            id=f"{self.device}-{self.n}",
            show="show",
            move=self.move,
            vehicle=self.vehicle,
            device=self.device,
            n=self.n,
            by=Person("h", "Hand", "loader"),
            at=ms,
            hlc=f"{ms:013d}-00000-{self.device}",
            revision=1,
            body=body,
        )

    def do(self, step: Step) -> Event:
        if step.kind == "straps":
            assert step.row is not None
            return self.say(Strapped(step.row, step.needed, filled=True))
        assert step.code is not None
        return self.say(On(step.code, "camera") if step.did == "on" else Off(step.code, "camera"))


def follow(bundle: Bundle, events: list[Event], hand: Hand) -> list[Step]:
    """Do every next step until none is left; return the steps in the order done."""
    done: list[Step] = []
    while steps := next_up(fold(bundle, events), bundle, hand.move, hand.vehicle, hand.device):
        assert len(done) < 200, "it never ends"
        done.append(steps[0])
        events.append(hand.do(steps[0]))
    return done


def left(bundle: Bundle, events: list[Event], hand: Hand) -> list[Held]:
    leg = fold(bundle, events).legs[hand.move][hand.vehicle]
    return [one for one in leg.held if one.gate in DONE_BY_STEPS]


@settings(max_examples=25)
@given(st.integers(0, 5_000), st.sampled_from(MOVES), st.integers(0, 25))
def test_after_the_last_step_nothing_is_missing_or_loose(
    seed: int, move: Move, before: int
) -> None:
    document = random_bundle(Random(seed), cases=9)
    bundle = read_bundle(document)
    said = random_events(Random(seed + 1), document, before)
    events = [read_event(event) for event in said]
    hand = Hand(move, "T1")
    follow(bundle, events, hand)
    assert left(bundle, events, hand) == []


@settings(max_examples=25)
@given(st.integers(0, 5_000), st.sampled_from(MOVES))
def test_from_nothing_on_each_step_is_ready_when_its_turn_comes(seed: int, move: Move) -> None:
    bundle = read_bundle(random_bundle(Random(seed), cases=9))
    steps = follow(bundle, [], Hand(move, "T1"))
    assert all(step.ready for step in steps)
    assert not any(step.late for step in steps)
    if move in LOADING:
        assert [step.row for step in steps] == sorted(step.row or 0 for step in steps)


@pytest.fixture
def bundle() -> Bundle:
    return read_bundle(bundle_document("two-trucks"))


def codes(steps: tuple[Step, ...]) -> list[str | None]:
    return [step.code for step in steps]


def test_a_row_that_this_phone_took_comes_first(bundle: Bundle) -> None:
    hand = Hand("shop_load", "T1")
    state = fold(bundle, [hand.say(Took(2))])
    mine = next_up(state, bundle, "shop_load", "T1", "hand")
    assert codes(mine)[:4] == ["B1", "B2", None, "A1"]
    theirs = next_up(state, bundle, "shop_load", "T1", "other")
    assert codes(theirs)[:4] == ["A1", "A2", "A3", None]
    assert [step.taken_by for step in theirs if step.row == 2] == ["hand"] * 3


def test_a_scan_in_the_own_row_is_next_and_in_another_row_is_only_right(bundle: Bundle) -> None:
    state = fold(bundle, [Hand("shop_load", "T1").say(Took(2))])
    kinds: list[Any] = [
        answer_scan(state, bundle, Scan(code, "shop_load", "T1", device)).kind
        for code, device in (("B1", "hand"), ("A1", "hand"), ("B1", "other"), ("A1", "other"))
    ]
    assert kinds == ["right_next", "right", "right", "right_next"]


def test_nothing_is_next_for_a_vehicle_that_is_not_there(bundle: Bundle) -> None:
    state = fold(bundle, [])
    assert next_up(state, bundle, "shop_load", "T9") == ()
    assert answer_scan(state, bundle, Scan("A1", "shop_load", "T9")).kind == "unknown"


def test_rows_are_opened_from_the_door_inward(bundle: Bundle) -> None:
    hand = Hand("shop_load", "T1")
    events = [hand.say(Strapped(row, 2, filled=True)) for row in (1, 2, 3)]
    leg = fold(bundle, events).legs["shop_load"]["T1"]
    assert rows_to_open(leg, 2) == (3, 2)
    events += [hand.say(Opened(row, "A3 was found")) for row in rows_to_open(leg, 2)]
    opened = fold(bundle, events).legs["shop_load"]["T1"]
    assert [row.counted for row in opened.rows] == [2, None, None]
