"""Lifts: the NIOSH equation's shape, teams by two references, hand heights, capable shares."""

from __future__ import annotations

from typing import cast

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.core.base.figure import Figure
from server.core.base.units import to_g, to_um
from server.core.handling.lm_mmh import EQUATIONS, capable_kg, mean_kg, measures, share_capable
from server.core.handling.niosh import Lift, band, lifting_index, multipliers, recommended_limit
from server.core.handling.niosh_frequency import duration_of, frequency_multiplier, rest_needed
from server.core.handling.population import bands
from server.core.handling.push import Hands
from server.core.handling.team import (
    CARRY_UM,
    LiftTask,
    hse_capacity,
    least_team,
    lift_figure,
    mil_capacity,
    tip_task,
)

reach = st.floats(1, 30)


def people_to_lift(mass_g: int, up_um: int = CARRY_UM) -> Figure:
    """Return the people to lift a case so high, hands close."""
    return lift_figure(LiftTask(mass_g, to_um=up_um, hands="men"))


height = st.floats(0, 75)


@given(reach, height, height, st.floats(0, 140), st.floats(0, 16))
def test_no_lift_is_rated_above_the_load_constant(
    h: float, v: float, d: float, angle: float, often: float
) -> None:
    lift = Lift(h, v, d, angle, often)
    assert 0 <= recommended_limit(lift) <= 51
    assert all(0 <= one <= 1 for one in multipliers(lift).each())


@given(st.floats(10, 25), st.floats(0, 3), height)
def test_farther_from_the_body_never_allows_more(h: float, more: float, v: float) -> None:
    assert recommended_limit(Lift(h + more, v, 20)) <= recommended_limit(Lift(h, v, 20))


@given(
    duration=st.sampled_from(["short", "moderate", "long"]),
    often=st.floats(0, 20),
    high=st.booleans(),
)
def test_lifting_more_often_or_longer_never_allows_more(
    duration: str, often: float, *, high: bool
) -> None:
    one = frequency_multiplier(often, duration, high=high)  # type: ignore[arg-type]
    assert frequency_multiplier(often + 0.5, duration, high=high) <= one + 1e-12  # type: ignore[arg-type]
    assert frequency_multiplier(often, "long", high=high) <= one + 1e-12


def test_metric_constants_are_their_own_set() -> None:
    # DHHS 94-110: 23 kg and 51 lb are not exact conversions; 15/25/63/175 cm limits
    assert recommended_limit(Lift(25, 75, 25, system="metric")) == 23
    assert recommended_limit(Lift(64, 75, 25, system="metric")) == 0
    assert recommended_limit(Lift(25, 176, 25, system="metric")) == 0
    assert recommended_limit(Lift(26, 30, 10)) == 0  # H over 25 in


def test_the_index_is_said_in_the_manuals_bands() -> None:
    assert band(1.0) == "within the design goal"
    assert band(1.1) == "raised risk for some people"
    assert band(3.1) == "raised risk for nearly all people"
    assert lifting_index(10, 0) == float("inf")


def test_rest_long_enough_starts_the_count_anew() -> None:
    # 94-110 1.3.5.2, p. 14: with 30 minutes of light work after 30 of lifting it stays short
    assert duration_of([(30, 30), (45, 0)]) == ("short", 45)
    assert duration_of([(120, 36), (60, 0)]) == ("moderate", 120)
    assert duration_of([(120, 35), (60, 0)]) == ("long", 180)
    assert duration_of([(481, 0)])[0] is None
    assert rest_needed(60) == 60
    assert rest_needed(300) is None


@pytest.mark.parametrize(
    ("pounds", "people"),
    [
        (55, 1),  # HSE L23: 25 kg for one
        (56, 2),
        (73, 2),  # two thirds of 2 x 25 kg
        (74, 3),
        (82, 3),  # half of 3 x 25 kg
        (83, 4),  # MIL-STD-1472F mixed crew (from memory), one at each corner by house rule
        (154, 4),  # 44 lb x (2 + 2 x 0.75)
        (155, None),  # above every reference: mechanical help
    ],
)
def test_people_to_lift(pounds: float, people: int | None) -> None:
    assert people_to_lift(to_g(pounds, "lb")).value == people


def test_a_lift_where_the_references_differ_shows_both() -> None:
    figure = people_to_lift(to_g(80, "lb"))
    assert figure.value == 3
    assert "MIL-STD-1472F for a mixed crew (from memory) says 2" in figure.derivation
    above = people_to_lift(to_g(100, "lb"))
    assert "HSE gives no figure above three people" in above.derivation


def test_no_team_lifts_above_five_feet() -> None:
    figure = people_to_lift(to_g(30, "lb"), to_um(61, "in"))
    assert figure.value is None
    assert "higher than 5 ft" in figure.derivation


# HSE L23 filter, kg of one person close to the body: the zone of the hands decides
@pytest.mark.parametrize(
    ("inches", "men_kg", "women_kg"), [(6, 10, 7), (20, 20, 13), (36, 25, 16), (50, 20, 13)]
)
def test_one_person_lifts_what_the_zone_of_the_hands_gives(
    inches: int, men_kg: int, women_kg: int
) -> None:
    at = to_um(inches, "in")
    for hands, each in (("men", men_kg), ("mixed", women_kg)):
        crew = cast("Hands", hands)
        assert lift_figure(LiftTask(each * 1000, at, at, crew)).value == 1
        assert lift_figure(LiftTask(each * 1000 + 1, at, at, crew)).whole() > 1


def test_a_lift_through_zones_counts_the_smallest_and_the_reach_at_its_end() -> None:
    floor, waist = 0, to_um(36, "in")
    assert lift_figure(LiftTask(20_000, waist, waist, "men")).value == 1
    assert lift_figure(LiftTask(20_000, floor, waist, "men")).value == 4  # 10 kg each: above three
    # 33 kg: two people from 0 to 60 in once; two thirds of 2 x 25 kg holds at the waist alone
    assert lift_figure(LiftTask(33_000, waist, waist, "men")).value == 2
    assert lift_figure(LiftTask(33_000, floor, waist, "men")).value == 4
    assert lift_figure(LiftTask(33_000, waist, to_um(55, "in"), "men")).value == 4
    assert lift_figure(LiftTask(15_000, waist, waist, "men", "arms_out")).value == 1
    assert lift_figure(LiftTask(15_001, waist, waist, "men", "arms_out")).value == 2


def test_a_case_without_a_mass_has_no_team() -> None:
    figure = lift_figure(LiftTask(0))
    assert figure.value is None
    assert "weigh it" in figure.derivation


def test_tipping_lifts_half_of_the_mass_from_the_floor() -> None:
    """215 lb onto its side: 107.5 lb at the free edge, more than three by HSE, four corners."""
    task = tip_task(to_g(215, "lb"), to_um(45, "in"), "men")
    assert task.mass_g == -(-to_g(215, "lb") // 2)
    assert lift_figure(task).value == 4
    assert lift_figure(tip_task(20_000, 900_000, "men")).value == 1  # 10 kg near the floor
    assert lift_figure(tip_task(20_001, 900_000, "men")).value == 2


@given(st.integers(1, 200_000), st.integers(0, 200_000), st.integers(0, 2_000_000))
def test_more_mass_never_needs_fewer_lifters(mass: int, more: int, up: int) -> None:
    light, heavy = people_to_lift(mass, up), people_to_lift(mass + more, up)
    if light.value is None:
        assert heavy.value is None
    elif heavy.value is not None:
        assert light.whole() <= heavy.whole()


def test_hse_gives_no_share_above_three() -> None:
    assert hse_capacity(4, 25) is None
    assert least_team(37.5, 25) == 3
    assert least_team(37.6, 25) is None
    assert mil_capacity(4, 44) == 154  # from memory, beside the seen 174 lb for two of 87 lb


def test_bands_between_inches_take_the_lower_neighbour_and_end_at_the_table() -> None:
    at_36 = bands("push_two_hands", 36)
    between = bands("push_two_hands", 36.5)
    assert at_36 is not None
    assert between == at_36
    assert bands("push_two_hands", 31.9) is None
    assert bands("pull_one_hand", 48.1) is None
    assert at_36.share(52) == "80 % or more"
    assert at_36.share(52.5) == "50 to 80 %"
    assert at_36.share(64) == "under 50 %"


@pytest.mark.parametrize("key", EQUATIONS, ids=str)
def test_more_people_are_capable_of_less(key: tuple[object, object]) -> None:
    equation = EQUATIONS[key]  # type: ignore[index]
    assert capable_kg(30, equation.cv, 0.9) < capable_kg(30, equation.cv, 0.75) < 30
    assert share_capable(30, 30, equation.cv) == pytest.approx(0.5)
    assert share_capable(30, 0, equation.cv) == 0.0


def test_a_carry_falls_with_the_way_and_the_number() -> None:
    near = {"hands_m": 0.8, "distance_m": 2.0, "per_minute": 0.2}
    assert measures("carry", "male") == ("hands_m", "distance_m", "per_minute")
    for sex in ("female", "male"):
        base = mean_kg("carry", sex, near)
        far = mean_kg("carry", sex, near | {"distance_m": 8.0})
        often = mean_kg("carry", sex, near | {"per_minute": 2.0})
        assert max(far, often) < base
