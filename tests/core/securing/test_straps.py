"""Straps of one row: by the US rule, by EN 12195-1, on casters and off, house minimum."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.core.base.figure import Figure
from server.core.base.units import Units, to_g, to_um
from server.core.securing.straps import EN, US, row_straps

masses = st.integers(0, 5_000_000)
limits = st.integers(100_000, 3_000_000)
depths = st.integers(300_000, 4_000_000)
heights = st.integers(300_000, 2_600_000)


def straps(securing: str, pounds: float, *, blocked: bool, **more: object) -> Figure:
    known: dict[str, object] = {
        "row_mass_g": to_g(pounds, "lb"),
        "row_depth_um": to_um(30, "in"),
        "row_height_um": to_um(60, "in"),
        "wll_g": to_g(1000, "lb", "down"),
    }
    return row_straps(securing, blocked=blocked, **(known | more))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("pounds", "blocked", "count"),
    [
        (600, False, 1),  # 393.110(b)(1): 2.5 ft and light
        (1100, False, 1),  # the limit itself, rounded up to the gram on the way
        (1101, False, 2),  # 393.110(b)(1): over 1,100 lb
        (1800, False, 2),  # row of 30 in cases, heavy, nothing ahead
        (1800, True, 1),  # 393.110(c): blocked, one for each 10 ft
        (2000, True, 1),  # 393.106: half of 2,000 lb is one strap of 1,000 lb
        (2001, True, 2),  # and of 2,001 lb is more
        (5000, True, 3),  # 2,500 lb by straps of 1,000 lb
    ],
)
def test_a_row_by_49_cfr_393(pounds: float, *, blocked: bool, count: int) -> None:
    assert straps(US, pounds, blocked=blocked).value == count


@pytest.mark.parametrize(
    ("pounds", "blocked", "count"),
    [
        (1800, True, 1),  # 0.5 g to the rear is 900 lb
        (2001, True, 2),  # 1,000.5 lb
        # nothing ahead: straps behind do not hold forward, so 0.8 g asks straps across the front
        (1000, False, 2),  # 500 lb behind, 800 lb in front
        (1300, False, 3),  # 650 lb behind, 1,040 lb in front
        (2600, False, 5),  # 1,300 lb behind, 2,080 lb in front
    ],
)
def test_a_row_by_en_12195(pounds: float, *, blocked: bool, count: int) -> None:
    assert straps(EN, pounds, blocked=blocked).value == count


def test_the_derivation_says_why_in_the_words_of_the_crew() -> None:
    why = straps(US, 1800, blocked=False).derivation
    assert why.startswith(
        "2 because the row weighs 1,800 lb and is 2.5 ft long and nothing ahead blocks it"
    )


@pytest.mark.parametrize("securing", [US, EN])
def test_a_row_on_casters_says_that_friction_was_not_counted(securing: str) -> None:
    on = straps(securing, 1800, blocked=True)
    off = straps(securing, 1800, blocked=True, on_casters=False)
    assert "friction not counted, only blocking and direct restraint" in on.derivation
    assert "locked or off the floor" in off.derivation


def test_casters_off_the_floor_let_friction_help_by_en_12195() -> None:
    # 0.5 g less 0.75 x 0.20 of the CTU table leaves 0.35 g: 2,001 lb need 700 lb, one strap.
    assert straps(EN, 2001, blocked=True, on_casters=False).value == 1


def test_a_tall_narrow_row_is_strapped_against_tipping_by_en_12195() -> None:
    # 20 in deep, 100 in high, 2,000 lb: 2,000 x (0.5 x 50 - 10) / 75 in is 400 lb: one line holds.
    light = straps(
        EN, 2000, blocked=True, row_depth_um=to_um(20, "in"), row_height_um=to_um(100, "in")
    )
    assert light.detail("tipping") == 1
    flat = straps(
        EN, 2000, blocked=True, row_depth_um=to_um(60, "in"), row_height_um=to_um(40, "in")
    )
    assert flat.detail("tipping") == 0


def test_the_house_may_ask_for_more_and_never_for_less() -> None:
    assert straps(US, 300, blocked=True, straps_min=2).value == 2
    assert "house" in straps(US, 300, blocked=True, straps_min=2).derivation
    assert straps(US, 5000, blocked=True, straps_min=2).value == 3


@pytest.mark.parametrize("securing", [US, EN])
def test_an_unknown_limit_counts_as_the_smallest_usual_and_is_asked_for(securing: str) -> None:
    found = straps(securing, 5000, blocked=True, wll_g=None)
    assert found.value == 5  # half of 5,000 lb by straps of 500 lb
    assert "limit of a strap not known, counted at 500 lb: read the label" in found.derivation
    assert straps(securing, 20_000, blocked=True, wll_g=None).value == 20


def test_a_metric_owner_reads_metres_and_kilograms() -> None:
    why = straps(US, 1800, blocked=False, units=Units("cm", "kg")).derivation
    assert "816.5 kg" in why
    assert "0.76 m" in why


@pytest.mark.parametrize("securing", [US, EN])
@given(mass=masses, more=masses, wll=limits, depth=depths, height=heights, blocked=st.booleans())
def test_more_mass_never_needs_fewer_straps(
    *, securing: str, mass: int, more: int, wll: int, depth: int, height: int, blocked: bool
) -> None:
    def count(grams: int) -> int:
        return row_straps(
            securing,
            row_mass_g=grams,
            row_depth_um=depth,
            row_height_um=height,
            blocked=blocked,
            wll_g=wll,
        ).whole()

    assert count(mass) <= count(mass + more)


@pytest.mark.parametrize("securing", [US, EN])
@given(mass=masses, wll=limits, depth=depths, height=heights)
def test_blocking_and_stronger_straps_never_ask_for_more(
    securing: str, mass: int, wll: int, depth: int, height: int
) -> None:
    def count(*, blocked: bool, limit: int) -> int:
        return row_straps(
            securing,
            row_mass_g=mass,
            row_depth_um=depth,
            row_height_um=height,
            blocked=blocked,
            wll_g=limit,
        ).whole()

    assert count(blocked=True, limit=wll) <= count(blocked=False, limit=wll)
    assert count(blocked=True, limit=2 * wll) <= count(blocked=True, limit=wll)


@given(mass=masses, wll=limits, depth=depths)
def test_the_straps_of_a_row_always_add_up_to_half_its_mass(
    mass: int, wll: int, depth: int
) -> None:
    # 49 CFR 393.106(d), but for the gram a case and a strap that rounding may take
    count = row_straps(
        US, row_mass_g=mass, row_depth_um=depth, row_height_um=1_000_000, blocked=True, wll_g=wll
    ).whole()
    assert 2 * count * (wll + 1) + 50 >= mass
