"""Balance: moments to the gram, centre of gravity, sides, limits, which rows to exchange."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.core.base.units import to_g, to_um
from server.core.shop.plan import Place, Row
from server.core.shop.vehicle import Axles, Vehicle
from server.core.weight.balance import (
    Balance,
    Load,
    axle_loads,
    centre_um,
    two_supports,
    weigh,
    whole_grams,
)
from server.core.weight.exchange import (
    RowMass,
    excess_g,
    exchanges,
    in_drop_order,
    row_masses,
    supports,
)
from server.core.weight.limits import limits, over

loads = st.lists(
    st.builds(Load, st.integers(0, 3_000_000), st.integers(-1_000_000, 16_000_000)), max_size=40
)
spans = st.integers(500_000, 13_000_000)


@given(loads, st.integers(-3_000_000, 3_000_000), spans)
def test_moments_balance_to_the_gram(cargo: list[Load], front_at: int, span: int) -> None:
    front, rear = two_supports(cargo, front_at, front_at + span)
    assert front + rear == sum(load.mass_g for load in cargo)
    moment = sum(load.mass_g * Fraction(load.y_um) for load in cargo)
    assert front * front_at + rear * (front_at + span) == moment
    front_g, rear_g = whole_grams(front, rear)
    assert front_g + rear_g == sum(load.mass_g for load in cargo)
    assert abs(rear_g - rear) <= Fraction(1, 2)


@given(loads)
def test_the_centre_of_gravity_lies_between_the_loads(cargo: list[Load]) -> None:
    centre = centre_um(cargo)
    heavy = [load.y_um for load in cargo if load.mass_g]
    if centre is None:
        assert not heavy
    else:
        assert min(heavy) <= centre[1] <= max(heavy)


def test_a_case_behind_the_rear_axle_lifts_the_front() -> None:
    # TRADE 3.6 [D]: row of 1,110 lb, 292.5 in from the bulkhead, wheelbase 270, bulkhead 74 in
    # behind the front axle: 397 lb off the front axle
    row = Load(to_g(1110, "lb"), to_um(292.5, "in"))
    axles = Axles("truck", -to_um(74, "in"), to_um(196, "in"), 0, 0)
    front, _ = axle_loads([row], axles)
    assert round(front / 453.59237) == -397


def truck(**axle: int) -> Vehicle:
    known = {"empty_front_g": 2_800_000, "empty_rear_g": 3_100_000} | axle
    axles = Axles("truck", -to_um(60, "in"), to_um(188, "in"), **known)
    return Vehicle(
        "T1", to_um(96, "in"), to_um(312, "in"), to_um(96, "in"), payload_g=4_000_000, axles=axles
    )


def test_a_case_across_the_middle_is_split_between_the_sides() -> None:
    half = to_um(48, "in")
    places = (
        Place("A", 0, 0, 0, half, 1_000_000, 500_000),
        Place("B", half // 2, 1_000_000, 0, half, 1_000_000, 500_000),
    )
    found = weigh(truck(), places, {"A": 100_000, "B": 50_000})
    assert (found.left_g, found.right_g, found.load_g) == (125_000, 25_000, 150_000)
    assert found.side_difference == 100 / 150
    assert found.centre_um is not None
    assert found.centre_um[2] == 250_000


def test_each_limit_says_its_number_and_its_margin() -> None:
    vehicle = truck(rear_limit_g=4_000_000, front_limit_g=5_000_000, gross_limit_g=20_000_000)
    places = (Place("A", 0, to_um(200, "in"), 0, to_um(96, "in"), to_um(40, "in"), 500_000),)
    balance = weigh(vehicle, places, {"A": 1_200_000})
    found = {limit.name: limit for limit in limits(vehicle, balance, 0.1)}
    assert found["payload"].kept
    assert found["payload"].margin == 2_800_000
    assert not found["rear"].kept
    assert "over" in found["rear"].figure.derivation
    assert not found["steering"].kept
    assert not found["steering"].hard
    assert found["sides"].kept
    assert {limit.name for limit in over(limits(vehicle, balance, 0.1))} == {"rear", "steering"}


def trailer() -> Axles:
    """Return the trailer of TRADE 3.6: 6 x 12 ft, empty 1,150 lb, GVWR 2,990 lb."""
    return Axles(
        "ball",
        -to_um(40, "in"),
        to_um(84, "in"),
        to_g(120, "lb"),
        to_g(1030, "lb"),
        gross_limit_g=to_g(2990, "lb"),
    )


# TRADE 3.6 [D], the same 1,650 lb packed well and badly: (pounds, inches behind the bulkhead)
GOOD = (
    *((140, 70), (140, 70), (160, 48), (220, 80), (75, 20), (75, 20), (95, 100), (45, 100)),
    *((45, 110), (120, 48), (110, 100), (70, 20), (85, 24), (130, 92), (100, 112), (40, 130)),
)
BAD = (
    *((140, 125), (140, 125), (160, 48), (220, 125), (75, 20), (75, 20), (95, 100), (45, 100)),
    *((45, 110), (120, 48), (110, 100), (70, 20), (85, 24), (130, 92), (100, 48), (40, 130)),
)


@pytest.mark.parametrize(
    ("pack", "tongue", "share", "kept"),
    [
        (GOOD, 307, 0.110, True),  # 11.0 % of 2,800 lb: within 10 to 15 %, trailer-loading guides
        (BAD, 155, 0.055, False),  # 5.5 %: it sways
    ],
)
def test_the_tongue_of_one_load_packed_well_and_badly(
    pack: tuple[tuple[int, int], ...], tongue: int, share: float, *, kept: bool
) -> None:
    cargo = [Load(to_g(mass, "lb"), to_um(at, "in")) for mass, at in pack]
    front, rear = axle_loads(cargo, trailer())
    assert front / 453.59237 == pytest.approx(tongue, abs=0.6)
    vehicle = Vehicle("T", to_um(70, "in"), to_um(142, "in"), to_um(74, "in"), axles=trailer())
    balance = Balance(1, 1, 0, None, front, rear, front + rear, front / (front + rear))
    found = next(one for one in limits(vehicle, balance, 1.0) if one.name == "front_share")
    assert found.kept is kept
    assert found.hard
    assert found.figure.value == pytest.approx(share, abs=0.0006)
    assert ("sway" in found.figure.derivation) is not kept


ROWS = (
    RowMass(1, 150_000, 600_000, Fraction(300_000), 2, 2),
    RowMass(2, 100_000, 600_000, Fraction(300_000), 2, 2),
    RowMass(3, 300_000, 900_000, Fraction(450_000), 1, 2),
    RowMass(4, 200_000, 600_000, Fraction(300_000), 1, 1),
)


def test_the_exchange_that_brings_the_tongue_back_is_found() -> None:
    axles = trailer()
    assert excess_g(*supports(ROWS, axles), axles) > 0
    best = exchanges(ROWS, axles)[0]
    order = list(ROWS)
    order[best.first - 1], order[best.second - 1] = order[best.second - 1], order[best.first - 1]
    assert supports(order, axles) == (best.front_g, best.rear_g)
    assert best.excess_g < excess_g(*supports(ROWS, axles), axles)
    assert f"exchange rows {best.first} and {best.second}" in best.figure.derivation


def test_no_exchange_is_offered_where_nothing_is_over() -> None:
    axles = Axles("truck", -1_000_000, 5_000_000, 2_000_000, 3_000_000, rear_limit_g=9_000_000)
    assert exchanges(ROWS, axles) == ()


def test_an_exchange_says_whether_it_breaks_the_order_of_drops() -> None:
    assert in_drop_order(ROWS)
    assert not in_drop_order((ROWS[3], ROWS[1], ROWS[2], ROWS[0]))
    # two neighbouring drops may share one row, but a later drop never stands nearer the door
    assert not in_drop_order((ROWS[2], ROWS[1]))


@given(
    st.lists(st.integers(1, 900_000), min_size=2, max_size=9),
    st.integers(1_000_000, 4_000_000),
)
def test_an_exchange_never_makes_it_worse_and_keeps_the_mass(masses: list[int], most: int) -> None:
    rows = [RowMass(n, m, 700_000, Fraction(350_000)) for n, m in enumerate(masses, 1)]
    axles = Axles("truck", -1_000_000, 3_000_000, 900_000, 900_000, rear_limit_g=most)
    now = supports(rows, axles)
    for one in exchanges(rows, axles):
        assert one.excess_g < excess_g(*now, axles)
        assert one.front_g + one.rear_g == sum(now)


def test_rows_of_a_plan_become_masses_with_their_drops() -> None:
    places = (
        Place("A", 0, 1_000_000, 0, 500_000, 700_000, 500_000),
        Place("B", 500_000, 1_000_000, 0, 500_000, 500_000, 500_000),
    )
    (row,) = row_masses(
        (Row(2, 1_000_000, 700_000, 0, 1, places),), {"A": 100, "B": 300}, {"A": 1, "B": 2}
    )
    assert (row.mass_g, row.first_drop, row.last_drop) == (400, 1, 2)
    assert row.centre_um == Fraction(100 * 350_000 + 300 * 250_000, 400)
