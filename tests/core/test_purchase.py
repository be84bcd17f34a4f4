"""The next purchase is judged by what it adds to the floor, not by its own size."""

from __future__ import annotations

from fractions import Fraction

from server.core.shop.case import Case
from server.core.shop.purchase import Verdict, candidates, next_purchase
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle

INCH = 25_400
TRUCK = Vehicle("T1", 90 * INCH, 312 * INCH, 96 * INCH)


def _case(code: str, length: float, width: float) -> Case:
    return Case(code, int(length * INCH), int(width * INCH), 30 * INCH, turn=False)


def _rows_of_one_depth(show: Show) -> int | None:
    """A floor for the test: first fit in rows of equal depth; None beyond the vehicle's length."""
    vehicle = show.vehicles[0]
    rows: dict[int, list[int]] = {}
    for case in sorted(show.cases, key=lambda one: -one.width_um):
        widths = rows.setdefault(case.length_um, [])
        for index, used in enumerate(widths):
            if used + case.width_um <= vehicle.width_um:
                widths[index] += case.width_um
                break
        else:
            widths.append(case.width_um)
    floor = sum(depth * len(widths) for depth, widths in rows.items())
    return floor if floor <= vehicle.length_um else None


def test_a_case_that_fills_the_slack_costs_nothing_and_comes_first() -> None:
    # two of 30 in leave 30 in of 90 in: one third more is free (common practice, no source)
    show = Show("gala", (TRUCK,), (_case("A", 45, 30), _case("B", 45, 30)))
    third, half = _case("N", 45, 30), _case("N", 30, 45)
    best, worse = next_purchase([show], [half, third], _rows_of_one_depth)
    assert (best.candidate, best.free) == (third, 1)
    assert (worse.candidate, worse.free) == (half, 0)
    assert (best.mean_added_um, worse.mean_added_um) == (Fraction(0), Fraction(30 * INCH))


def test_a_candidate_that_no_longer_goes_comes_last() -> None:
    short = Vehicle("T2", 90 * INCH, 60 * INCH, 96 * INCH)
    show = Show("gala", (short,), (_case("A", 45, 45),))
    fits, too_long = _case("N", 45, 30), _case("N", 60, 30)
    best, worst = next_purchase([show], [too_long, fits], _rows_of_one_depth)
    assert (best.candidate, best.refused) == (fits, 0)
    assert (worst.candidate, worst.refused) == (too_long, 1)


def test_a_show_that_never_goes_is_no_evidence() -> None:
    short = Vehicle("T2", 90 * INCH, 40 * INCH, 96 * INCH)
    show = Show("gala", (short, TRUCK), (_case("A", 45, 45),))
    (verdict,) = next_purchase([show], [_case("N", 45, 30)], _rows_of_one_depth)
    assert [trial.vehicle for trial in verdict.trials] == ["T1"]


def test_candidates_are_fractions_of_the_width_near_the_wanted_floor() -> None:
    found = {
        (case.length_um / INCH, case.width_um / INCH)
        for case in candidates(_case("N", 44, 28), [TRUCK])
    }
    # halves, thirds and quarters of 90 in (common practice, no source), and the wish itself
    assert {(45, 30), (44, 28), (45, 22.5), (45, 45)} <= found
    assert (22.5, 22.5) not in found


def test_a_show_that_needs_both_vehicles_is_judged_in_both() -> None:
    short = [Vehicle(name, 90 * INCH, 60 * INCH, 96 * INCH) for name in ("T1", "T2")]
    show = Show("gala", tuple(short), tuple(_case(f"A{n}", 45, 45) for n in range(4)))

    def two_floors(asked: Show) -> int | None:
        return 90 * INCH if len(asked.vehicles) == 2 and len(asked.cases) == 4 else None

    (verdict,) = next_purchase([show], [_case("N", 45, 30)], two_floors)
    assert [(one.vehicle, one.after_um) for one in verdict.trials] == [("T1 + T2", None)]


def test_progress_is_told_and_what_was_stopped_is_no_verdict() -> None:
    show = Show("gala", (TRUCK,), (_case("A", 45, 30), _case("B", 45, 30)))
    tried = [_case("N", 45, 30), _case("N", 30, 45), _case("N", 45, 45)]
    heard: list[tuple[int, int, int]] = []

    def tell(done: int, of: int, best: tuple[Verdict, ...]) -> bool:
        heard.append((done, of, len(best)))
        return done < 3

    found = next_purchase([show], tried, _rows_of_one_depth, tell)
    assert heard == [(1, 3, 1), (2, 3, 2), (3, 3, 3)]
    assert [one.candidate for one in found] == tried[:2]


def test_a_base_that_was_planned_badly_is_no_gain_of_a_candidate() -> None:
    # measured 100 without and 90 with it: then 90 is what the show needs without it too
    floors = {1: 100, 2: 90}
    show = Show("gala", (TRUCK,), (_case("A", 45, 30),))
    (verdict,) = next_purchase([show], [_case("N", 45, 30)], lambda one: floors[len(one.cases)])
    assert verdict.mean_added_um == 0
