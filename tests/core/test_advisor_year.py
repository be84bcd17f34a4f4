"""A year's nights judge a change; nights of the shop tell how long a load takes."""

from __future__ import annotations

import statistics
from dataclasses import replace
from random import Random

import pytest

from server.core.advisor.load_time import Timed, expected
from server.core.advisor.money import Prices, VehiclePrice
from server.core.advisor.questions import Change, Night
from server.core.advisor.year import Span, year
from server.core.shop.case import Case
from server.core.shop.show import Rules
from server.core.shop.vehicle import Vehicle

INCH = 25_400
RULES = Rules()
TRUCK = Vehicle("T", 96 * INCH, 72 * INCH, 96 * INCH, payload_g=5_000_000)
PRICES = Prices("EUR", {"T": VehiclePrice(day=100_00)})


def _racks(depth: int, count: int = 8) -> tuple[Case, ...]:
    return tuple(
        Case(f"R{n}", depth * INCH, 24 * INCH, 60 * INCH, mass_g=80_000, turn=False)
        for n in range(count)
    )


def _deeper(night: Night, depth: int) -> Change:
    return Change(
        f"{depth} in deep",
        {case.code: replace(case, length_um=depth * INCH) for case in night.cases},
    )


def test_deeper_racks_cost_what_rows_say_in_floor_vehicles_and_money() -> None:
    night = Night("club", _racks(30), (TRUCK,), times=20)
    changes = [_deeper(night, 36), _deeper(night, 40)]
    six, ten = year([night], changes, RULES, PRICES).changes
    # two rows of four, 6 in deeper each: 12 in a night, and 72 in still hold them
    assert six.floor == Span(12 * INCH * 20, 12 * INCH * 20)
    assert (six.vehicles, six.money) == (Span(), Span())
    assert six.floor.verdict == "more"
    # 80 in do not fit 72 in: a second truck each night
    assert (ten.vehicles, ten.money) == (Span(20, 20), Span(200_000, 200_000))


def test_a_change_that_changes_nothing_is_a_tie() -> None:
    night = Night("club", _racks(30), (TRUCK,))
    (same,) = year([night], [Change("new paint")], RULES, PRICES).changes
    assert same.floor.verdict == same.vehicles.verdict == "tie"


def test_without_prices_everything_but_money_is_there() -> None:
    night = Night("club", _racks(30), (TRUCK,))
    (sold,) = year([night], [Change("sell", {"R0": None})], RULES, Prices()).changes
    assert sold.money is None
    assert sold.floor == Span()  # seven stand in two rows too
    lone = Night("club", _racks(30, 5), (TRUCK,))
    (odd,) = year([lone], [Change("sell the odd one", {"R0": None})], RULES, Prices()).changes
    assert odd.floor == Span(-30 * INCH, -30 * INCH)
    assert odd.floor.verdict == "less"


def test_lids_that_stack_save_floor_and_cost_lifts() -> None:
    low = tuple(replace(case, height_um=30 * INCH) for case in _racks(30))
    night = Night("club", low, (TRUCK,), times=3)
    lids = {case.code: replace(case, lid_casters=True, lid_load_g=200_000) for case in low}
    (stacked,) = year([night], [Change("lids", lids)], RULES, PRICES).changes
    # 96 in hold three of 30 in: eight stand on three places, one row instead of two
    assert stacked.floor == Span(-30 * INCH * 3, -30 * INCH * 3)
    assert stacked.lifts == (8 - 3) * 3


def test_what_is_bought_goes_on_the_nights_that_are_named() -> None:
    nights = [Night("club", _racks(30), (TRUCK,)), Night("gala", _racks(30), (TRUCK,))]
    more = tuple(replace(case, code=f"N{case.code}") for case in _racks(30, 1))
    (bought,) = year(
        nights, [Change("buy", bought=more, nights=frozenset({"gala"}))], RULES, PRICES
    ).changes
    assert {night: span.low for night, _, span in bought.nights} == {"gala": 30 * INCH, "club": 0}


def test_a_case_that_is_too_large_is_named_and_compares_nothing() -> None:
    night = Night("club", _racks(30), (TRUCK,))
    wide = {"R0": Case("R0", 100 * INCH, 97 * INCH, 30 * INCH)}
    (change,) = year([night], [Change("a set piece", wide)], RULES, PRICES).changes
    assert change.left_out == ("club: a case does not fit T",)
    assert change.floor.verdict == "tie"
    assert change.nights == ()


def test_what_each_case_costs_a_year_adds_up_to_the_floor() -> None:
    night = Night("club", (*_racks(30, 4), Case("X", 20 * INCH, 40 * INCH, 40 * INCH)), (TRUCK,), 7)
    found = year([night], [], RULES, PRICES)
    (load,) = found.nights[0].loads
    assert sum(found.costs.values()) == pytest.approx(load.floor.low * 7, rel=0.2)


def test_a_year_that_is_stopped_says_so() -> None:
    night = Night("club", _racks(30), (TRUCK,))
    found = year([night, night], [], RULES, PRICES, lambda done, _: done < 1)
    assert (len(found.nights), found.whole) == (1, False)


def test_a_difference_is_an_interval() -> None:
    assert Span(5, 7) - Span(1, 4) == Span(1, 6)
    assert [Span(-2, 1).verdict, Span(-2, -1).verdict, Span(0, 0).verdict] == [
        "open",
        "less",
        "tie",
    ]


def test_the_load_time_is_the_shops_own_rate_with_the_range_of_its_nights() -> None:
    random = Random(4)
    nights = [Timed(cases * random.uniform(0.9, 1.5), cases) for cases in range(20, 60)]
    found = expected(nights, 40, "shop_load")
    assert found is not None
    assert found.enough
    rates = [one.minutes / one.cases for one in nights]
    # general library: statistics.quantiles, inclusive, is the same definition
    deciles = statistics.quantiles(rates, n=10, method="inclusive")
    assert found.low == pytest.approx(deciles[0] * 40)
    assert found.high == pytest.approx(deciles[8] * 40)
    assert found.minutes == pytest.approx(statistics.median(rates) * 40)
    # four fifths of the nights held back should lie inside
    assert 0.7 <= found.held_back / found.nights <= 0.85


def test_below_ten_nights_it_is_said_and_without_nights_there_is_no_figure() -> None:
    few = expected([Timed(30, 30)] * 9, 40, "shop_load")
    assert few is not None
    assert not few.enough
    assert expected([], 40, "shop_load") is None
    assert expected([Timed(30, 30)], 40, "load_out") is None
    # a clock that was wrong is no night
    assert expected([Timed(5_000, 30), Timed(0, 30), Timed(30, 0)], 40, "shop_load") is None
