"""Stacks of a row: what is open behind shallow ones, what tips, and what straps do not hold."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Final

import pytest

from server.core.base.units import to_g, to_um
from server.core.securing.rows import straps_for_vehicle
from server.core.securing.stacks import stacks_of, tips_forward
from server.core.securing.straps import EN
from server.core.shop.case import Case
from server.core.shop.plan import Place, Row, VehiclePlan
from server.core.shop.show import Rules, Show
from server.core.shop.vehicle import Straps, Vehicle
from server.files.show_file import parse_show

IN: Final = to_um(1, "in")
LB: Final = to_g(1, "lb")
SHOWS: Final = Path(__file__).resolve().parents[3] / "fixtures" / "shows"


def void_show() -> tuple[Show, VehiclePlan]:
    """One row of the void show: a box 48 in deep beside two stacks 24 in deep and 72 in high."""
    show = parse_show(json.loads((SHOWS / "void-behind-shallow-stacks.json").read_text()))
    places = (
        Place("D1", 0, 0, 0, 48 * IN, 48 * IN, 40 * IN),
        Place("D2", 48 * IN, 0, 0, 24 * IN, 24 * IN, 72 * IN),
        Place("D3", 72 * IN, 0, 0, 24 * IN, 24 * IN, 72 * IN),
    )
    row = Row(1, 0, 48 * IN, 0, 1, places)
    return show, VehiclePlan("T1", (row,), 48 * IN, 1500 * LB)


def test_what_is_open_behind_a_shallow_stack_is_named_and_filled() -> None:
    show, plan = void_show()
    (row,) = straps_for_vehicle(show, show.vehicle("T1"), plan).rows
    assert [(void.codes, void.behind_um) for void in row.voids] == [
        (("D2",), 24 * IN),
        (("D3",), 24 * IN),
    ]
    assert row.fill[0] == "a bar across and 24 in of pads or beams behind D2"
    assert row.needs_bar


def test_the_row_behind_a_void_is_not_blocked() -> None:
    show, plan = void_show()
    behind = Row(
        2, 48 * IN, 30 * IN, 0, 1, (Place("D4", 0, 48 * IN, 0, 90 * IN, 30 * IN, 30 * IN),)
    )
    more = (*show.cases, Case("D4", 90 * IN, 30 * IN, 30 * IN, mass_g=1800 * LB))
    tight = replace(show, cases=more)
    rows = straps_for_vehicle(
        tight, show.vehicle("T1"), replace(plan, rows=(*plan.rows, behind))
    ).rows
    assert rows[1].straps is not None
    assert "straps behind do not hold it forward" not in rows[1].straps.derivation  # D1 blocks it
    narrow = replace(behind, places=(replace(behind.places[0], x=50 * IN, dx=40 * IN),))
    rows = straps_for_vehicle(
        tight, show.vehicle("T1"), replace(plan, rows=(*plan.rows, narrow))
    ).rows
    assert rows[1].straps is not None
    assert "straps behind do not hold it forward" in rows[1].straps.derivation


@pytest.mark.parametrize(("rules", "count"), [("us-49cfr393", 2), (EN, 2)])
def test_tipping_is_taken_from_every_stack_and_by_both_rule_sets(rules: str, count: int) -> None:
    """1,000 lb 12 in deep and 90 in high: 0.5 g at 45 in against 6 in asks 244 lb at 67.5 in.

    The box beside it, 48 in deep, does not tip; by the deepest stack neither would.
    """
    cases = (
        Case("W", 48 * IN, 48 * IN, 20 * IN, mass_g=100 * LB),
        Case("N", 48 * IN, 12 * IN, 90 * IN, mass_g=4000 * LB),
    )
    places = (
        Place("W", 0, 0, 0, 48 * IN, 48 * IN, 20 * IN),
        Place("N", 48 * IN, 36 * IN, 0, 48 * IN, 12 * IN, 90 * IN),
    )
    vehicle = Vehicle("T1", 96 * IN, 312 * IN, 96 * IN, straps=Straps(9, to_g(2000, "lb", "down")))
    show = Show("tips", (vehicle,), cases, rules=Rules(securing="us-49cfr393"))
    if rules == EN:
        show = replace(show, rules=Rules(securing="en-12195"))
    plan = VehiclePlan("T1", (Row(1, 0, 48 * IN, 0, 1, places),), 48 * IN, 0)
    (row,) = straps_for_vehicle(show, vehicle, plan).rows
    assert row.straps is not None
    assert row.straps.detail("tipping") == 1  # 4,000 lb x (22.5 - 6) / 67.5 = 978 lb
    assert row.straps.whole() >= count


def test_a_stack_higher_than_what_stands_ahead_tips_forward() -> None:
    low = Row(1, 0, 30 * IN, 0, 1, (Place("A", 0, 0, 0, 90 * IN, 30 * IN, 20 * IN),))
    high = Row(2, 30 * IN, 24 * IN, 0, 1, (Place("B", 0, 30 * IN, 0, 90 * IN, 24 * IN, 80 * IN),))
    masses = {"A": 500 * LB, "B": 500 * LB}
    (ahead,), (stack,) = stacks_of(low, masses), stacks_of(high, masses)
    assert tips_forward(stack, (ahead,), 0.8)
    assert not tips_forward(ahead, (), 0.8)  # against the bulkhead
    wall = replace(ahead, height_um=41 * IN)
    assert not tips_forward(stack, (wall,), 0.8)


def test_a_case_without_a_mass_is_strapped_as_the_heaviest_of_its_size() -> None:
    show = parse_show(json.loads((SHOWS / "mass-unknown.json").read_text()))
    place = Place("N0", 0, 0, 0, 48 * IN, 32 * IN, 40 * IN)
    plan = VehiclePlan("T1", (Row(1, 0, 32 * IN, 0, 1, (place, replace(place, code="N1"))),), 1, 0)
    (row,) = straps_for_vehicle(show, show.vehicle("T1"), plan).rows
    # two of 1.007 m3 at 500 kg: 2,220 lb, half of it by straps of 1,000 lb
    assert row.needed == 2


def test_slack_without_a_limit_is_filled_above_what_the_code_leaves_open() -> None:
    show = parse_show(json.loads((SHOWS / "slack-without-limit.json").read_text()))
    place = Place("S0", 0, 0, 0, 30 * IN, 30 * IN, 40 * IN)
    plan = VehiclePlan("T1", (Row(1, 0, 30 * IN, 66 * IN, 1, (place,)),), 1, 0)
    (row,) = straps_for_vehicle(show, show.vehicle("T1"), plan).rows
    assert row.fill == ("a bar across and 66 in of pads, soft bags or plywood on edge",)
