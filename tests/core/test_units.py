"""Units are exact where the trade needs them exact."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.core.base.units import from_g, from_um, to_g, to_um, within


@pytest.mark.parametrize(
    ("value", "unit", "um"),
    [
        (1, "in", 25_400),  # international yard and pound agreement 1959: 1 in = 25.4 mm exactly
        (22.5, "in", 571_500),  # follows
        (1, "ft", 304_800),  # follows: 12 in
        (60, "cm", 600_000),  # SI prefix
        (587, "mm", 587_000),  # SI prefix
    ],
)
def test_lengths_follow_the_international_inch(value: float, unit: str, um: int) -> None:
    assert to_um(value, unit) == um


@pytest.mark.parametrize(
    ("value", "unit", "grams"),
    [
        (1, "lb", 454),  # same agreement: 0.45359237 kg exactly, to the gram
        (1_000, "lb", 453_592),  # same
        (51, "lb", 23_133),  # same; the load constant of DHHS (NIOSH) 94-110 in pounds
        (0.5, "kg", 500),  # SI prefix
    ],
)
def test_masses_follow_the_international_pound(value: float, unit: str, grams: int) -> None:
    assert to_g(value, unit) == grams


@pytest.mark.parametrize(
    ("count", "side", "width", "unit", "fits"),
    [
        (4, 24, 96, "in", True),  # common practice, no source
        (3, 32, 96, "in", True),  # common practice, no source
        (3, 30, 90, "in", True),  # common practice, no source
        (2, 45, 90, "in", True),  # common practice, no source
        (4, 22.5, 90, "in", True),  # common practice, no source
        (4, 60, 240, "cm", True),  # common practice, no source
        (3, 30, 88, "in", False),  # common practice, no source
        (2, 45, 88, "in", False),  # common practice, no source
        (4, 22.5, 88, "in", False),  # common practice, no source
        (3, 100 / 3, 100, "in", True),  # equal parts of a width, whatever the float says
        (7, 92 / 7, 92, "in", True),  # the same in sevenths
    ],
)
def test_width_arithmetic_never_lies(
    *, count: int, side: float, width: float, unit: str, fits: bool
) -> None:
    assert (count * to_um(side, unit, "down") <= to_um(width, unit)) is fits


@given(um=st.integers(1, 50_000_000), unit=st.sampled_from(["in", "cm", "mm"]))
def test_a_length_comes_back_as_it_went(um: int, unit: str) -> None:
    assert to_um(from_um(um, unit), unit) == um


@given(pounds=st.integers(0, 50_000))
def test_whole_pounds_come_back_as_they_went(pounds: int) -> None:
    assert from_g(to_g(pounds, "lb"), "lb") == pounds


@given(count=st.integers(1, 400), tenths=st.integers(1, 20_000))
def test_equal_masses_fill_a_payload_of_their_sum(count: int, tenths: int) -> None:
    one = to_g(tenths / 10, "lb")
    limit = to_g(count * tenths / 10, "lb")
    assert within(count * one, limit, count)


@given(count=st.integers(1, 400), pounds=st.integers(1, 2_000))
def test_one_pound_over_is_over(count: int, pounds: int) -> None:
    over = count * to_g(pounds, "lb") + 454
    assert not within(over, to_g(count * pounds, "lb"), count) or count > 453


def test_no_limit_holds_anything() -> None:
    assert within(10**12, None, 1)
