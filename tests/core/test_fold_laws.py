"""Laws of the fold: order, repeats and batches are nothing; merging is a join of sets.

Model of the merge rule: a replica is a set of events, merging is union, what people see is the fold
of it. Union is commutative, associative and idempotent; these tests hold the code to that model,
through the lists, orders and repeats in which events really come.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from random import Random
from typing import Any, Final

from hypothesis import given, settings
from hypothesis import strategies as st

from server.core.crew.bundle import Bundle, read_bundle
from server.core.night.event_kinds import On, Strapped
from server.core.night.events import Arrival, Event, read_event, standing, unique
from server.core.night.fold import fold
from server.core.night.order import in_order
from tests.support.nights import bundle_document, nights
from tests.support.random_bundle import random_bundle
from tests.support.random_events import random_arrivals, random_events

Night = tuple[Bundle, list[Event]]
LAWS: Final = settings(max_examples=60, deadline=None)


@st.composite
def some_night(draw: st.DrawFn) -> Night:
    seed = draw(st.integers(0, 10_000))
    document = random_bundle(Random(seed), cases=draw(st.integers(0, 8)))
    events = random_events(Random(seed + 1), document, draw(st.integers(0, 40)))
    arrived = random_arrivals(Random(seed + 2), events)
    return read_bundle(document), [
        read_event(
            event, arrived=Arrival(*arrived[event["id"]]) if event["id"] in arrived else None
        )
        for event in events
    ]


def merge(*replicas: list[Event]) -> list[Event]:
    """Merge as a phone does: what comes is put with what is there."""
    return unique(event for replica in replicas for event in replica)


@LAWS
@given(some_night(), st.data())
def test_order_of_arrival_is_nothing(night: Night, data: st.DataObject) -> None:
    bundle, events = night
    assert fold(bundle, data.draw(st.permutations(events))) == fold(bundle, events)


@LAWS
@given(some_night(), st.data())
def test_repeats_are_nothing(night: Night, data: st.DataObject) -> None:
    bundle, events = night
    again = data.draw(st.lists(st.sampled_from(events), max_size=20)) if events else []
    assert fold(bundle, [*again, *events, *again]) == fold(bundle, events)


@LAWS
@given(some_night(), st.data())
def test_batches_may_be_cut_anywhere(night: Night, data: st.DataObject) -> None:
    bundle, events = night
    cuts = sorted(data.draw(st.lists(st.integers(0, len(events)), max_size=5)))
    batches = [events[a:b] for a, b in pairwise([0, *cuts, len(events)])]
    held: list[Event] = []
    for batch in reversed(batches):
        held = merge(batch, held)
    assert fold(bundle, held) == fold(bundle, events)


@LAWS
@given(some_night(), st.data())
def test_merging_is_commutative_associative_and_idempotent(
    night: Night, data: st.DataObject
) -> None:
    bundle, events = night
    whose = data.draw(
        st.lists(st.integers(1, 7), min_size=len(events), max_size=len(events)),
    )
    a, b, c = (
        [event for event, bits in zip(events, whose, strict=True) if bits & bit]
        for bit in (1, 2, 4)
    )
    assert merge(a, b) == merge(b, a)
    assert merge(merge(a, b), c) == merge(a, merge(b, c))
    assert merge(merge(a, b), merge(a, b)) == merge(a, b) == merge(a, merge(a, b))
    assert fold(bundle, merge(a, b, c)) == fold(bundle, events)


@LAWS
@given(some_night(), st.data())
def test_two_events_of_one_id_leave_every_replica_with_the_same_one(
    night: Night, data: st.DataObject
) -> None:
    bundle, events = night
    twins = [replace(event, hlc=f"{event.at:013d}-00009-twin") for event in events[:5]]
    every = [*events, *twins]
    assert fold(bundle, data.draw(st.permutations(every))) == fold(bundle, every)


@LAWS
@given(some_night())
def test_a_voided_event_leaves_no_trace_but_its_number(night: Night) -> None:
    bundle, events = night
    # Clocks that agree with the order: else a voided fact still orders what its phone said after.
    events = in_order(unique(replace(event, after=None, arrived=None) for event in events))
    kept = {event.id for event in standing(unique(events))}
    bare = [event for event in events if event.id in kept]
    with_void, without = fold(bundle, events), fold(bundle, bare)
    assert with_void.last_seen == without.last_seen
    assert with_void.added == without.added
    assert {
        (move, vehicle): (leg.on, leg.off, leg.due, leg.rows)
        for move, legs in with_void.legs.items()
        for vehicle, leg in legs.items()
    } == {
        (move, vehicle): (leg.on, leg.off, leg.due, leg.rows)
        for move, legs in without.legs.items()
        for vehicle, leg in legs.items()
    }


@LAWS
@given(some_night())
def test_no_case_stands_in_two_places_and_none_due_is_forgotten(night: Night) -> None:
    bundle, events = night
    state = fold(bundle, events)
    for legs in state.legs.values():
        on = [code for leg in legs.values() for code in leg.on]
        assert len(on) == len(set(on))
        due = [code for leg in legs.values() for code in leg.due]
        assert len(due) == len(set(due))
        for leg in legs.values():
            done = set(leg.on if leg.move in {"shop_load", "load_out"} else leg.off)
            still = {one.code for one in leg.not_on if not one.accounted}
            assert still == set(leg.due) - done or leg.move in {"load_in", "put_away"}
            assert leg.done == len(set(leg.due) - still)


@LAWS
@given(some_night())
def test_a_later_change_of_a_row_always_takes_its_straps_away(night: Night) -> None:
    bundle, events = night
    state = fold(bundle, events)
    said = standing(in_order(unique(events)))
    for vehicle, leg in state.legs["shop_load"].items():
        for row in leg.rows:
            for count in row.counts:
                later = [
                    event
                    for event in said
                    if event.order > (count.hlc, count.event)
                    and event.move == "shop_load"
                    and event.vehicle == vehicle
                    and isinstance(event.body, On)
                    and leg.row_of.get(event.body.code) == row.number
                    and leg.marks[event.body.code].event == event.id
                ]
                assert not later


def test_a_fold_reads_every_kind_of_fixture_twice_and_backwards() -> None:
    for name, night in nights().items():
        bundle = read_bundle(bundle_document(night["bundle"]))
        events: list[Any] = [read_event(event) for event in night["events"]]
        assert fold(bundle, [*reversed(events), *events]) == fold(bundle, events), name
        assert all(isinstance(event.body, Strapped) or event.body.kind for event in events)
