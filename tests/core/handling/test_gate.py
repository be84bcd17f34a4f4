"""The lift gate's rating and platform against a load; ratings as on plates of our own making."""

from __future__ import annotations

import pytest

from server.core.base.figure import CAUTIONS
from server.core.base.units import Units, to_g, to_um
from server.core.handling.gate import gate_figure, stands_on
from server.core.shop.case import Case
from server.core.shop.vehicle import LiftGate

IN = to_um(1, "in")
GATE = LiftGate(deep_um=48 * IN, wide_um=80 * IN, rating_g=to_g(1300, "lb"))


def case(code: str, length: int, width: int, pounds: int) -> Case:
    return Case(code, length * IN, width * IN, 30 * IN, mass_g=to_g(pounds, "lb"))


def test_a_case_over_the_rating_is_named_with_what_to_read() -> None:
    load = [case("AU-001", 45, 45, 1114), case("AU-002", 45, 45, 1112)]
    told = gate_figure(GATE, load)
    assert told.value == 1
    assert told.derivation.startswith("1 over the rating of 1,300 lb (AU-001: 1,114 lb); ")
    assert "read the plate" in told.derivation and "nobody rides" in told.derivation
    assert "maker's ratings" in CAUTIONS[told.caution]


def test_the_rating_in_kilograms_is_said_in_kilograms() -> None:
    told = gate_figure(GATE, [case("AU-001", 45, 45, 1500)], Units("cm", "kg"))
    assert "589.7 kg" in told.derivation


# sides in inches → stands on a platform of 48 by 80 in
@pytest.mark.parametrize(
    ("length", "width", "stands"),
    [
        (45, 30, True),
        (80, 48, True),  # to the edge, turned
        (48, 80, True),
        (81, 30, False),  # longer than the platform is wide
        (60, 49, False),  # neither way round
    ],
)
def test_a_case_stands_wholly_on_the_platform_or_is_named(
    length: int, width: int, stands: bool
) -> None:
    one = case("AU-001", length, width, 100)
    assert stands_on(GATE, one) is stands
    assert ("larger than its platform" in gate_figure(GATE, [one]).derivation) is not stands


def test_what_is_not_known_is_never_called_within() -> None:
    unweighed = gate_figure(GATE, [case("AU-001", 45, 30, 0)])
    assert unweighed.value == 1 and "never weighed: not known" in unweighed.derivation
    no_rating = gate_figure(LiftGate(48 * IN, 80 * IN), [case("AU-001", 45, 30, 100)])
    assert no_rating.value is None and "no rating is known" in no_rating.derivation


def test_a_long_list_is_cut_and_counted() -> None:
    load = [case(f"AU-{number:03}", 45, 30, 2000) for number in range(9)]
    told = gate_figure(GATE, load)
    assert told.value == 9 and "and 3 more" in told.derivation


def test_a_platform_without_room_is_refused() -> None:
    with pytest.raises(ValueError, match="lift gate"):
        LiftGate(0, 80 * IN)
