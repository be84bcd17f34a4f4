"""Hire: the cheapest lawful set of vehicles, proven; checked against every set tried by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from server.core.advisor.hire import Hiring, Part
from server.core.advisor.hire_ways import ways_out
from server.core.advisor.money import VehiclePrice, loading_metres
from server.core.advisor.questions import Drive, Offer
from server.core.judge import judge
from server.core.shop.case import Case
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle

INCH = 25_400
KG = 1_000
VAN = Vehicle("VAN", 90 * INCH, 90 * INCH, 80 * INCH, payload_g=900 * KG)
TRUCK = Vehicle("TRUCK", 90 * INCH, 180 * INCH, 80 * INCH, payload_g=2_000 * KG)


def _show(count: int, mass: int = 100) -> Show:
    """Two of 45 x 45 in stand in a row: a van takes four, a truck eight."""
    cases = tuple(
        Case(f"C{number}", 45 * INCH, 45 * INCH, 50 * INCH, mass_g=mass * KG)
        for number in range(count)
    )
    return Show("gala", (VAN,), cases)


def _van(**changes: object) -> Offer:
    return replace(Offer(VAN, price=VehiclePrice(day=100_00, distance=1_00)), **changes)  # type: ignore[arg-type]


def _truck(**changes: object) -> Offer:
    return replace(Offer(TRUCK, price=VehiclePrice(day=260_00, distance=2_00)), **changes)  # type: ignore[arg-type]


def test_two_trips_of_a_small_one_against_one_of_a_large_one() -> None:
    offers = (_van(trips=2), _truck())
    near = Hiring(_show(8), offers, Drive(distance=10)).cheapest()
    # van: 100 + 2 (2 x 2 - 1) ways x 10 x 1 = 160; truck: 260 + 2 ways x 10 x 2 = 300
    assert near.best is not None
    assert (near.best.parts, near.best.cost, near.proven) == ((Part(0, 1, 2),), 160_00, True)
    far = Hiring(_show(8), offers, Drive(distance=100)).cheapest()
    # van: 100 + 600 = 700; truck: 260 + 400 = 660
    assert far.best is not None
    assert (far.best.parts, far.best.cost, far.proven) == ((Part(1, 1, 1),), 660_00, True)


def test_every_set_that_is_taken_has_a_plan_that_the_judge_passes() -> None:
    show = _show(7)
    hiring = Hiring(show, (_van(trips=2),), Drive())
    best = hiring.cheapest().best
    assert best is not None
    assert best.plan is not None
    assert judge(replace(show, vehicles=hiring.rooms(best.parts)), best.plan) == ()


def test_the_cheaper_sets_are_refused_by_proof() -> None:
    found = Hiring(_show(5), (_van(), _truck()), Drive()).cheapest()
    assert found.best is not None
    assert found.best.parts == (Part(1, 1, 1),)
    assert [(one.parts, one.state) for one in found.cheaper] == [((Part(0, 1, 1),), "refused")]
    assert found.proven


def test_payload_counts_before_floor() -> None:
    found = Hiring(_show(4, mass=250), (_van(), _truck()), Drive()).cheapest()
    assert found.best is not None
    assert found.best.parts == (Part(1, 1, 1),)
    assert found.cheaper[0].why == "220.5 lb over the payload"


def test_a_trailer_carries_no_more_than_may_be_towed() -> None:
    trailer = _van(empty_g=600 * KG, tow_limit_g=750 * KG)
    found = Hiring(_show(2), (trailer,), Drive()).cheapest()
    assert (found.best, found.proven) == (None, True)


def test_who_has_no_licence_and_no_hours_drives_nothing() -> None:
    truck = _truck(licence="C1")
    found = Hiring(_show(5), (truck,), Drive(licences=frozenset({"B"}))).cheapest()
    assert found.best is None
    assert found.illegal == ("TRUCK: needs licence C1, which nobody holds",)
    # two trips are three ways on the day of the load-in: 12 h against 11 h (49 CFR 395.3(a)(3))
    late = Hiring(_show(8), (_van(trips=2),), Drive(hours=4, hours_limit=11)).cheapest()
    assert late.best is None
    assert Hiring(_show(8), (_van(trips=2),), Drive(hours=3, hours_limit=11)).cheapest().best


def test_without_money_the_smallest_hire_is_fewest_loads_then_least_floor() -> None:
    bare = [replace(one, price=VehiclePrice()) for one in (_truck(count=2), _van(count=3))]
    small, large = (Hiring(_show(n), bare, Drive()).cheapest() for n in (3, 5))
    assert small.best is not None
    assert large.best is not None
    assert not small.by_money
    assert small.best.cost is None
    assert (small.best.parts, large.best.parts) == ((Part(1, 1, 1),), (Part(0, 1, 1),))


def test_a_missing_price_is_not_a_price_of_nothing() -> None:
    offer = Offer(VAN, price=VehiclePrice(day=100_00))
    assert Hiring(_show(1), (offer,), Drive(distance=5)).cost((Part(0, 1, 1),)) is None
    assert Hiring(_show(1), (offer,), Drive()).cost((Part(0, 1, 1),)) == 100_00


@pytest.mark.parametrize(
    ("floor_m", "width_m", "metres"),
    [
        (0.8, 1.2, 0.4),  # a pallet of 1.2 x 0.8 m: 0.4 loading metres (common practice, no source)
        (13.6, 2.4, 13.6),
    ],
)
def test_a_loading_metre_is_a_metre_of_a_floor_2400_mm_wide(
    floor_m: float, width_m: float, metres: float
) -> None:
    assert loading_metres(round(floor_m * 1e6), round(width_m * 1e6)) == pytest.approx(metres)


def test_a_vehicle_may_be_priced_by_loading_metres() -> None:
    offer = Offer(TRUCK, price=VehiclePrice(loading_metre=100_00))
    hiring = Hiring(_show(2), (offer,), Drive())
    # 45 in x 90 in over 2.4 m: 1.143 m x 2.286 m / 2.4 m = 1.0887 loading metres
    assert hiring.cost((Part(0, 1, 1),), [45 * INCH]) == 108_87


def test_too_much_for_the_booked_one_names_three_ways_out_and_what_each_costs() -> None:
    hiring = Hiring(_show(5), (_van(count=2, trips=2), _truck()), Drive(distance=10))
    why, ways = ways_out(hiring, (Part(0, 1, 1),))
    assert why is not None
    # the van alone: 100 + 2 x 10 = 120
    assert {way.kind: way.extra for way in ways} == {
        "leave": 0,
        "larger": 180_00,  # the truck: 300
        "trips": 40_00,  # 160
        "second": 120_00,  # another van
    }
    assert [len(way.leave) for way in ways if way.kind == "leave"] == [1]
    assert all(way.proven for way in ways)


def test_what_fits_needs_no_way_out() -> None:
    assert ways_out(Hiring(_show(4), (_van(),), Drive()), (Part(0, 1, 1),)) == (None, ())


def test_a_search_that_is_stopped_proves_nothing() -> None:
    found = Hiring(_show(5), (_van(), _truck()), Drive(), stop=lambda: True).cheapest()
    assert (found.best, found.proven, found.stopped) == (None, False, True)
