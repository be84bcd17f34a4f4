"""Buying N cases together: ties are called ties, the roomiest of them comes first."""

from __future__ import annotations

from server.core.advisor.buy import buy
from server.core.advisor.questions import Need, Night
from server.core.advisor.year import Span
from server.core.shop.case import Case
from server.core.shop.show import Rules
from server.core.shop.vehicle import Vehicle

INCH = 25_400
TRUCK = Vehicle("T", 90 * INCH, 312 * INCH, 96 * INCH)
OWNED = tuple(Case(f"A{n}", 45 * INCH, 30 * INCH, 30 * INCH, turn=False) for n in range(2))


def _need(count: int, long: float = 22, wide: float = 20) -> Need:
    inside = (int(long * INCH), int(wide * INCH), 20 * INCH)
    return Need(count=count, height_um=30 * INCH, inside_um=inside)


def test_a_case_that_fills_the_slack_of_a_row_costs_nothing() -> None:
    # two of 30 in leave 30 in of 90 in (common practice, no source)
    found = buy([_need(1)], [Night("gala", OWNED, (TRUCK,))], OWNED, Rules())
    assert found.before == Span(45 * INCH, 45 * INCH)
    assert found.ranked[0].added == Span()
    assert found.ranked[0].tie
    free = {one.footprint for one in found.ranked if one.added == Span()}
    # of those that cost nothing the roomiest is first: all of 45 x 30 is there
    assert found.ranked[0].footprint == (45 * INCH, 30 * INCH)
    assert len(free) > 1


def test_every_one_ranked_holds_what_must_fit_inside() -> None:
    need = _need(4, 33, 21)
    found = buy([need], [Night("gala", OWNED, (TRUCK,))], OWNED, Rules())
    assert found.ranked
    assert all(need.inside(one.footprint) for one in found.ranked)
    assert all(one.inside_um3 > 0 for one in found.ranked)


def test_a_vehicle_that_one_case_is_too_large_for_still_judges_the_rest() -> None:
    large = Case("BIG", 120 * INCH, 95 * INCH, 30 * INCH)
    found = buy([_need(2)], [Night("gala", (*OWNED, large), (TRUCK,))], OWNED, Rules())
    assert found.ranked
    assert found.left_out == ("gala in T: BIG do not fit and are left out",)


def test_a_shop_that_starts_gets_sets_of_one_two_and_three_sizes() -> None:
    needs = [_need(6, 42, 20), _need(5, 28, 21), _need(4, 22, 13)]
    found = buy(needs, [Night("all", (), (TRUCK,))], (), Rules(), most=3)
    assert [one.most for one in found.sets] == [1, 2, 3]
    floors = [one.sizes.high_um for one in found.sets]
    assert floors == sorted(floors, reverse=True)
    for one in found.sets:
        assert len(one.sizes.footprints) <= one.most
        assert one.sizes.low_um <= one.sizes.high_um
        for need, counts in zip(needs, zip(*one.sizes.split, strict=True), strict=True):
            assert sum(counts) == need.count


def test_a_search_that_is_stopped_says_so() -> None:
    found = buy([_need(1)], [Night("gala", OWNED, (TRUCK,))], OWNED, Rules(), tell=_never)
    assert not found.whole


def _never(done: int, of: int) -> bool:
    return done > of
