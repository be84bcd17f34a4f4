"""Plan files: what is written is read back to the micrometre, in every unit."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.core.base.units import Units
from server.core.shop.plan import LeftOut, Place, Plan, Row, VehiclePlan
from server.files.plan_file import parse_plan, write_plan
from server.trouble import BadInput

LENGTH = st.integers(0, 20_000_000)


@st.composite
def plans(draw: st.DrawFn) -> Plan:
    places = tuple(
        Place(
            f"C{number}",
            **{side: draw(LENGTH) for side in ("x", "y", "z", "dx", "dy", "dz")},
            stance=draw(st.sampled_from(["upright", "on_end", "on_side"])),
            turned=draw(st.booleans()),
            on=draw(st.sampled_from([(), ("C0",), ("C0", "C1")])),
        )
        for number in range(draw(st.integers(0, 4)))
    )
    row = Row(1, draw(LENGTH), draw(LENGTH), draw(LENGTH), draw(st.integers(0, 5)), places)
    pounds = draw(st.integers(0, 90_000))
    vehicle = VehiclePlan("T1", (row,), draw(LENGTH), round(pounds * 453.59237))
    left = (LeftOut("C9", "payload"),) if draw(st.booleans()) else ()
    return Plan((vehicle,), draw(LENGTH), draw(LENGTH), draw(st.booleans()), 1.25, 3, left)


@given(plan=plans(), length=st.sampled_from(["in", "cm", "mm"]))
def test_a_plan_comes_back_as_it_went(plan: Plan, length: str) -> None:
    units = Units(length, "lb")  # type: ignore[arg-type]  # sampled_from widens the literal
    assert parse_plan(write_plan(plan, units)) == plan


def test_the_floor_is_null_one_lid_a_name_and_a_bridge_a_list() -> None:
    names = [(), ("A",), ("A", "B")]
    places = tuple(Place(f"C{n}", 0, 0, 0, 1, 1, 1, on=on) for n, on in enumerate(names))
    row = Row(1, 0, 1, 0, 1, places)
    document = write_plan(Plan((VehiclePlan("T", (row,), 1, 0),), 1, 1, proven=True), Units())
    written = [case["on"] for case in document["vehicles"][0]["rows"][0]["cases"]]
    assert written == [None, "A", ["A", "B"]]


def test_an_unknown_key_is_refused_by_name() -> None:
    plan = write_plan(Plan((), 0, 0, proven=True), Units())
    with pytest.raises(BadInput, match="best_guess: expected no key of this name"):
        parse_plan({**plan, "best_guess": 1}, "plan.json")
