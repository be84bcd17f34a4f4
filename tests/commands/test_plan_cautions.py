"""What a planned vehicle asks of its driver: licence by gross limit, crew in the payload."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import pytest

from server.commands.plan_cautions import on_the_road
from server.core.base.units import Units, to_g, to_um
from server.core.shop.case import Case
from server.core.shop.plan import Place, Row, VehiclePlan
from server.core.shop.show import Rules, Show
from server.core.shop.vehicle import AxleKind, Axles, Vehicle

IN: Final = to_um(1, "in")
CASE: Final = Case("A", 30 * IN, 30 * IN, 30 * IN, mass_g=to_g(500, "lb"))
PLACE: Final = Place("A", 0, 0, 0, 30 * IN, 30 * IN, 30 * IN)
PLAN: Final = VehiclePlan("T", (Row(1, 0, 30 * IN, 0, 1, (PLACE,)),), 30 * IN, CASE.mass_g)


def said(
    gross_lb: float | None, payload_lb: float = 9_000, kind: AxleKind = "truck",
    rules: bool = False, units: Units | None = None,
) -> list[str]:  # fmt: skip
    limit = None if gross_lb is None else to_g(gross_lb, "lb")
    axles = Axles(kind, -40 * IN, 160 * IN, 3_000_000, 3_000_000, gross_limit_g=limit)
    room = Vehicle("T", 96 * IN, 300 * IN, 96 * IN, payload_g=to_g(payload_lb, "lb"), axles=axles)
    show = Show("S", (room,), (CASE,), units=units or Units())
    if rules:
        show = replace(show, rules=Rules(securing="en-12195"))
    return list(on_the_road(show, PLAN))


@pytest.mark.parametrize(
    ("pounds", "words"),
    [
        (10_000, "no commercial vehicle, licence group none"),
        (10_001, "a commercial vehicle, licence group none"),
        (26_000, "a commercial vehicle, licence group none"),
        (26_001, "a commercial vehicle, licence group B"),
    ],
)
def test_the_gross_limit_says_which_licence(pounds: float, words: str) -> None:
    [line] = said(pounds)
    assert words in line
    assert "49 CFR" in line


def test_in_europe_the_category_is_that_of_the_maximum_mass() -> None:
    for kilograms, category in ((3_500, "B"), (7_490, "C1"), (7_501, "C")):
        [line] = said(kilograms / 0.45359237, rules=True, units=Units("cm", "kg"))
        assert f"licence category {category} " in line


def test_a_trailer_needs_the_vehicle_that_tows_it() -> None:
    [line] = said(7_000, kind="ball")
    assert "towing vehicle, which is not stated" in line


def test_the_crew_counts_in_the_payload() -> None:
    # 500 lb on board; two people of 85 kg are 374.8 lb
    assert said(None, 875) == []
    [line] = said(None, 874)
    assert line.startswith("374 lb of the payload left")
