"""People at a case: HSE figures and house rule, slopes, wet ramps, too few hands."""

from __future__ import annotations

from math import atan, sin
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from server.core.base.figure import Figure
from server.core.base.units import to_g, to_um
from server.core.handling.cards import Site
from server.core.handling.push import (
    HSE_LIMITS,
    PushTask,
    needs_machine,
    people_by_hse,
    push_figure,
)
from server.core.handling.ramp import Crossing, judge_crossing, ramp_load, verdict_figure
from server.core.handling.slope import FLAT, Slope
from server.core.handling.team import CARRY_UM, LiftTask, lift_figure
from server.core.shop.show import Rules
from server.files.show_schema import RulesModel

masses = st.integers(1_000, 700_000)
rises = st.integers(100_000, 1_500_000)


def people_to_push(mass_g: int, slope: Slope = FLAT, **how: Any) -> Figure:
    """Return the people to push a case of this mass on this slope, and why."""
    return push_figure(PushTask(mass_g, slope, **{"hands": "men", **how}))


def percent(grade: float) -> Slope:
    return Slope(sin(atan(grade / 100)), 1.0)


DOCK, ONE_IN_12, P14, P19 = percent(5), Slope.one_in(12), percent(14), percent(19)
P26, P30, DEG30 = Slope(36, 144), Slope(48, 168), Slope(1, 2)


@pytest.mark.parametrize(
    ("pounds", "slope", "start", "keep"),
    # TRADE 5.3 [D]: 2 % rolling, 20 kgf to start and 10 kgf to keep going each (HSE, men)
    [
        (100, DOCK, 1, 1),
        (100, P26, 1, 2),
        (100, DEG30, 2, 3),
        (200, ONE_IN_12, 1, 1),
        (200, P14, 1, 2),
        (200, P30, 2, 3),
        (300, ONE_IN_12, 1, 2),
        (300, P19, 2, 3),
        (300, P26, 2, 4),
        (400, DOCK, 1, 2),
        (400, P19, 2, 4),
        (400, P26, 3, 5),
        (400, DEG30, 5, 10),
        (600, ONE_IN_12, 2, 3),
        (600, P14, 3, 5),
        (600, P26, 4, 8),
        (900, ONE_IN_12, 3, 5),
        (900, P19, 5, 9),
        (900, P30, 7, 13),
        (900, DEG30, 11, 22),
    ],
)
def test_people_to_start_and_to_keep_going(
    pounds: float, slope: Slope, start: int, keep: int
) -> None:
    assert people_by_hse(PushTask(to_g(pounds, "lb"), slope), "men") == (start, keep)


@pytest.mark.parametrize(
    ("pounds", "slope", "people"),
    # house rule, common practice, no source: by mass, one more above 1 in 12, two above 1 in 4
    [
        (100, FLAT, 1),
        (101, FLAT, 2),
        (250, FLAT, 2),
        (450, FLAT, 3),
        (650, FLAT, 4),
        (700, FLAT, 4),
        (100, ONE_IN_12, 1),
        (100, Slope.one_in(11.9), 2),
        (100, Slope.one_in(4), 2),
        (100, Slope.one_in(3.9), 3),
    ],
)
def test_the_house_rule(pounds: float, slope: Slope, people: int) -> None:
    assert push_figure(PushTask(to_g(pounds, "lb"), slope)).detail("house") == people


def test_the_larger_of_the_two_is_taken_and_the_figure_says_which() -> None:
    house = people_to_push(to_g(450, "lb"))
    hse = people_to_push(to_g(600, "lb"), P26)
    assert house.value == 3
    assert "house rule is taken" in house.derivation
    assert hse.value == 8
    assert "HSE figure is taken" in hse.derivation
    assert "INDG143" in hse.source


def test_a_mixed_crew_is_given_the_lower_figures_of_hse() -> None:
    # HSE: 15 kgf to start and 7 to keep going; 48.7 kgf asks 7 people instead of 5
    men = people_to_push(to_g(420, "lb"), Slope(34, 144))
    mixed = people_to_push(to_g(420, "lb"), Slope(34, 144), hands="mixed")
    assert (men.value, mixed.value) == (5, 7)
    assert "with women pushing (15 and 7 kgf) HSE asks 7" in men.derivation
    assert HSE_LIMITS["mixed"].start_kgf == 15


def test_a_crew_of_which_nothing_is_said_counts_by_the_lower_figures() -> None:
    # HSE: what is assumed of people is the lower pair, 15 and 7 kgf; the lift filter 16 kg
    assumed = push_figure(PushTask(to_g(420, "lb"), Slope(34, 144)))
    assert assumed.value == 7
    assert "15 kgf each to start" in assumed.derivation
    assert lift_figure(LiftTask(16_001, CARRY_UM, CARRY_UM)).value == 2
    assert Rules().hands == Site("shop_load").hands == "mixed"
    assert RulesModel.model_validate({}).hands == "mixed"


def test_one_person_keeps_500_kg_moving_on_a_good_floor() -> None:
    # HSE: 10 kgf at 2 % of the load
    assert people_by_hse(PushTask(500_000), "men") == (1, 1)
    assert people_by_hse(PushTask(500_100), "men") == (1, 2)


@given(masses, masses, rises, st.integers(10, 100))
def test_more_mass_never_needs_fewer_people(mass: int, more: int, rise: int, factor: int) -> None:
    slope = Slope(rise, rise * factor / 9)
    for wet in (False, True):
        light = people_to_push(mass, slope, wet=wet)
        heavy = people_to_push(mass + more, slope, wet=wet)
        if light.value is None:
            assert heavy.value is None
        elif heavy.value is not None:
            assert light.whole() <= heavy.whole()


@given(
    mass=masses,
    rise=rises,
    length=st.integers(1, 4_000_000),
    longer=st.integers(1, 4_000_000),
    wet=st.booleans(),
)
def test_a_longer_ramp_never_needs_more_people(
    mass: int, rise: int, length: int, longer: int, *, wet: bool
) -> None:
    short, long = Slope(rise, rise + length), Slope(rise, rise + length + longer)
    assert long.force(mass) <= short.force(mass) * (1 + 1e-12) or short.angle_deg > 88
    assume(short.angle_deg < 80)
    before, after = people_to_push(mass, short, wet=wet), people_to_push(mass, long, wet=wet)
    if before.value is not None:
        assert after.whole() <= before.whole()


def test_a_ramp_shorter_than_its_deck_is_refused() -> None:
    with pytest.raises(ValueError, match="expected a length above the rise"):
        Slope(2.0, 1.0)


def test_wet_feet_hold_less_and_on_a_steep_ramp_nothing() -> None:
    # 0.4 x cos t - sin t: the least friction that NIOSH takes for shoes (DHHS 94-110, 1.2)
    steep = Slope(48, 120)  # 23.6 degrees: tan is above 0.4
    assert people_to_push(to_g(100, "lb"), steep, wet=True).value is None
    assert people_to_push(to_g(100, "lb"), steep).value == 3
    gentle = Slope(34, 144)
    wet, dry = (people_to_push(to_g(420, "lb"), gentle, wet=w) for w in (True, False))
    assert wet.whole() >= dry.whole()


def test_a_wet_ramp_with_too_few_hands_says_no_and_why_and_offers_ways() -> None:
    task = PushTask(to_g(420, "lb"), Slope(34, 144), wet=True, hands="men")
    verdict = judge_crossing(Crossing(task, hands_there=4))
    assert not verdict.may_go
    assert verdict.reasons == ("it asks 5 people and a spotter and 4 are there",)
    assert verdict.ways[0] == "dry_it"
    assert {"wait_for_hands", "lift_gate", "split_the_case", "winch"} <= set(verdict.ways)
    assert judge_crossing(Crossing(task, hands_there=6)).may_go


def test_more_people_than_find_room_at_a_case_is_a_no() -> None:
    verdict = judge_crossing(Crossing(PushTask(to_g(600, "lb"), P26), hands_there=20))
    assert not verdict.may_go
    assert "find room at one case" in verdict.reasons[0]
    assert "wait_for_hands" not in verdict.ways


def test_above_the_last_step_of_the_house_rule_a_slope_wants_a_machine() -> None:
    assert needs_machine(PushTask(to_g(700, "lb"), percent(3)))
    assert not needs_machine(PushTask(to_g(700, "lb")))
    verdict = judge_crossing(Crossing(PushTask(to_g(700, "lb"), percent(3)), hands_there=20))
    assert not verdict.may_go
    assert "forklift" in verdict.ways


def test_the_ramp_carries_the_case_and_the_people_on_it() -> None:
    rating = to_g(1000, "lb")
    assert ramp_load(to_g(420, "lb"), 3, rating).value is True
    assert ramp_load(to_g(420, "lb"), 4, rating).value is False
    assert ramp_load(to_g(420, "lb"), 4, None).value is None
    verdict = judge_crossing(
        Crossing(
            PushTask(to_g(420, "lb"), Slope(34, 144), hands="men"), hands_there=9, rating_g=rating
        )
    )
    assert "over the rating" in verdict.reasons[0]


def test_the_crews_words_for_a_slope() -> None:
    assert Slope(36, 144).words() == "1 in 3.9 (14.5 degrees)"
    assert FLAT.words() == "flat floor"
    assert Slope(float(to_um(30, "in")), float(to_um(120, "in"))).percent == pytest.approx(
        25.8, abs=0.05
    )


def test_a_refused_crossing_is_a_figure_without_a_value_that_says_the_ways_out() -> None:
    task = PushTask(to_g(420, "lb"), Slope(34, 144), hands="men")
    refused = verdict_figure(judge_crossing(Crossing(task, hands_there=2)))
    assert refused.value is None
    assert refused.detail("people") == 5
    assert "Ways out: wait for more hands" in refused.derivation
    assert (
        verdict_figure(judge_crossing(Crossing(task, hands_there=6))).value == 6
    )  # with the spotter
