"""Limits at the unfavourable end of masses that nobody stated: asked for, never passed over."""

from __future__ import annotations

from dataclasses import replace

import pytest

from server.core.base.units import Units, to_g, to_um
from server.core.shop.case import Case
from server.core.shop.case_mass import worst_g
from server.core.shop.plan import Place
from server.core.shop.vehicle import Axles, LiftGate, Ramp, Straps, Vehicle
from server.core.weight.asks import asks

IN = to_um(1, "in")
UNITS = Units()
KNOWN = Case("A-1", 40 * IN, 40 * IN, 40 * IN, mass_g=to_g(500, "lb"))
OPEN = Case("A-2", 40 * IN, 40 * IN, 40 * IN)
AXLES = Axles(
    "truck", -40 * IN, 160 * IN, to_g(3000, "lb"), to_g(3000, "lb"),
    to_g(4000, "lb"), to_g(5000, "lb"), to_g(10000, "lb"),
)  # fmt: skip
FULL = Vehicle(
    "T1", 96 * IN, 300 * IN, 96 * IN, payload_g=to_g(5000, "lb"), axles=AXLES,
    straps=Straps(9, to_g(1000, "lb")), ramp=Ramp(144 * IN, 34 * IN, to_g(1500, "lb")),
)  # fmt: skip


def said(vehicle: Vehicle, *at: tuple[Case, int]) -> list[str]:
    places = [
        Place(case.code, 0, y * IN, 0, case.width_um, case.length_um, case.height_um)
        for case, y in at
    ]
    return list(asks(vehicle, places, {case.code: case for case, _ in at}, UNITS))


def test_nothing_is_asked_where_all_is_known_or_nothing_stands() -> None:
    assert said(FULL, (KNOWN, 0)) == []
    assert said(replace(FULL, payload_g=None)) == []


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"payload_g": None, "axles": None}, "payload not known"),
        ({"axles": None}, "axles not known"),
        ({"straps": None}, "limit of a strap not known"),
        ({"straps": Straps(9)}, "limit of a strap not known"),
        ({"ramp": Ramp(144 * IN, 34 * IN)}, "rating of the ramp not known"),
        ({"lift_gate": LiftGate(40 * IN, 60 * IN)}, "rating of the lift gate not known"),
    ],
)
def test_each_plate_that_nobody_entered_is_named(changed: dict[str, object], words: str) -> None:
    found = said(replace(FULL, **changed), (KNOWN, 0))  # type: ignore[arg-type]
    assert any(line.startswith(words) for line in found), found


def test_a_gross_limit_bounds_the_load_where_no_payload_is_stated() -> None:
    assert said(replace(FULL, payload_g=None), (KNOWN, 0)) == []


def test_a_payload_that_holds_for_the_stated_masses_only_is_said_at_worst() -> None:
    room = replace(FULL, payload_g=KNOWN.mass_g + worst_g(OPEN) - 1, axles=None)
    assert any(
        line.startswith("payload: with 1 case") for line in said(room, (KNOWN, 0), (OPEN, 40))
    )
    room = replace(room, payload_g=KNOWN.mass_g + worst_g(OPEN))
    assert not any("over" in line for line in said(room, (KNOWN, 0), (OPEN, 40)))


def test_an_open_mass_behind_the_rear_axle_may_lift_the_front_or_take_its_share() -> None:
    light = replace(AXLES, empty_front_g=to_g(100, "lb"), front_limit_g=None)
    unread, line = said(replace(FULL, axles=light), (OPEN, 260))
    assert unread == "limit of the front axle not known: read the plate"
    assert line.startswith("front axle: with 1 case without a mass it may be lifted")
    share = replace(AXLES, share_min=0.48)
    [line] = said(replace(FULL, axles=share), (OPEN, 260))
    assert "less than 48%" in line


def test_an_open_mass_counts_on_the_support_that_it_loads() -> None:
    tight = replace(AXLES, front_limit_g=to_g(3000, "lb") + 1000, rear_limit_g=None)
    unread, line = said(replace(FULL, axles=tight), (OPEN, 0))
    assert unread == "limit of the rear axle not known: read the plate"
    assert line.startswith("front axle: with 1 case without a mass up to")
    gross = replace(AXLES, gross_limit_g=to_g(6000, "lb") + 1000)
    [line] = said(replace(FULL, axles=gross), (OPEN, 100))
    assert line.startswith("gross: ")
