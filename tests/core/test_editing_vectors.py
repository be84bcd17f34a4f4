"""Steps of the plan editor as vectors: the drawing in the browser does them the same way.

`fixtures/editing/steps.json` is read by `pwa/tests/local-edit.test.ts` too. After a change of
`server/core/editing/editing.py` write it anew: `python -m tests.core.test_editing_vectors`.
"""

from __future__ import annotations

import json
import random
from dataclasses import asdict
from typing import Any, Final

from server.core.editing.editing import CannotEdit, Step, edited
from server.core.planner.problem.answer import NoPlan
from server.core.planner.solve import solve
from server.core.shop.case import Case
from server.core.shop.plan import LeftOut, Place, Plan, Row, VehiclePlan
from server.core.shop.show import Show
from server.core.shop.vehicle import Narrow, Vehicle
from server.settings import ROOT

FILE: Final = ROOT / "fixtures" / "editing" / "steps.json"
IN: Final = 25_400
CHAINS: Final = 12
STEPS: Final = 5


def show() -> Show:
    """Return two vehicles, one with wheel boxes, and cases that stack, bridge and turn."""
    boxes = (Narrow(60 * IN, 110 * IN, 80 * IN, 12 * IN),)
    vehicles = (
        Vehicle("T1", 92 * IN, 260 * IN, 90 * IN, narrow=boxes),
        Vehicle("T2", 90 * IN, 200 * IN, 90 * IN),
    )
    sides = [(45, 30, 30), (45, 22, 30), (30, 30, 30), (60, 22, 24), (44, 12, 14), (22, 22, 30)]
    cases = []
    for number in range(20):
        length, width, height = sides[number % len(sides)]
        small = length * width < 600
        cases.append(
            Case(
                f"C{number:02}",
                length * IN,
                width * IN,
                height * IN,
                mass_g=20_000 if small else 90_000,
                stances=("upright", "on_end", "on_side") if number % 4 == 0 else ("upright",),
                lid_load_g=80_000,
                rides=small,
                lid_casters=number % 3 == 0,
                vehicle="T2" if number > 13 else "T1",
            )
        )
    return Show("vectors", vehicles, tuple(cases))


def _step(dice: random.Random, show: Show, plan: Plan) -> Step:
    vehicle = dice.choice(plan.vehicles)
    rows = len(vehicle.rows)
    case = dice.choice(show.cases)
    other = dice.choice([place.code for place in vehicle.places()])
    row = dice.randint(1, rows + 1)
    wide = dice.choice([one for one in vehicle.rows if len(one.places) > 1] or vehicle.rows)
    lids = tuple(place.code for place in sorted(wide.places, key=lambda one: one.x)[:2])
    return dice.choice(
        [
            Step("move", case.code, vehicle.vehicle, row=row, at=dice.randint(0, 3)),
            Step("move", case.code, vehicle.vehicle, row=row, fresh=True),
            Step("move", case.code, vehicle.vehicle, on=(other,)),
            Step("move", case.code, vehicle.vehicle, on=lids),
            Step("turn", case.code, stance=dice.choice(case.stances), turned=dice.random() < 0.5),
            Step("row", vehicle=vehicle.vehicle, row=min(row, rows),
                 to_vehicle=dice.choice(plan.vehicles).vehicle, at=dice.randint(1, rows)),
            Step("out", case.code),
        ]
    )  # fmt: skip


def _plain(plan: Plan) -> dict[str, Any]:
    """Return what is drawn of a plan: rows, and every place as a list."""
    return {
        "left_out": sorted(one.code for one in plan.left_out),
        "vehicles": [
            {
                "id": one.vehicle,
                "rows": [
                    [row.number, row.start, row.depth, row.slack, sorted(
                        [p.code, p.x, p.y, p.z, p.dx, p.dy, p.dz, p.stance, p.turned, list(p.on)]
                        for p in row.places
                    )]
                    for row in one.rows
                ],
            }
            for one in plan.vehicles
        ],
    }  # fmt: skip


def chains(show: Show, plan: Plan) -> list[list[dict[str, Any]]]:
    """Return chains of steps, each with what the plan is after it."""
    made = []
    for seed in range(CHAINS):
        dice, now = random.Random(seed), plan
        chain: list[dict[str, Any]] = []
        while len(chain) < STEPS:
            step = _step(dice, show, now)
            try:
                now = edited(show, now, [step])
            except CannotEdit:
                continue
            chain.append({"step": asdict(step), "after": _plain(now)})
        made.append(chain)
    return made


def document(plan: Plan) -> dict[str, Any]:
    """Return the whole file."""
    here = show()
    return {
        "vehicles": [asdict(one) for one in here.vehicles],
        "cases": [asdict(one) for one in here.cases],
        "start": _plain(plan),
        "chains": chains(here, plan),
    }


def _place(kept: list[Any]) -> Place:
    code, x, y, z, dx, dy, dz, stance, turned, on = kept
    return Place(code, x, y, z, dx, dy, dz, stance, turned, tuple(on))


def _read_plan(start: dict[str, Any]) -> Plan:
    """Return the plan with which the file begins; the planner may find another one by now."""
    vehicles = tuple(
        VehiclePlan(
            one["id"],
            tuple(
                Row(number, begin, depth, slack, 1,
                    tuple(_place(place) for place in places))
                for number, begin, depth, slack, places in one["rows"]
            ),
            sum(row[2] for row in one["rows"]),
            0,
            None,
            None,
        )
        for one in start["vehicles"]
    )  # fmt: skip
    left = tuple(LeftOut(code, "") for code in start["left_out"])
    return Plan(vehicles, sum(one.floor_length_um for one in vehicles), 0, False, left_out=left)


def test_the_vectors_are_what_the_editor_does() -> None:
    kept = json.loads(FILE.read_text(encoding="utf-8"))
    assert json.loads(json.dumps(document(_read_plan(kept["start"])))) == kept


def test_the_vectors_hold_every_kind_of_step() -> None:
    kept = json.loads(FILE.read_text(encoding="utf-8"))
    steps = [one["step"] for chain in kept["chains"] for one in chain]
    assert {one["do"] for one in steps} == {"move", "row", "turn", "out"}
    assert any(one["on"] for one in steps) and any(one["fresh"] for one in steps)
    after = [one["after"] for chain in kept["chains"] for one in chain]
    assert any(len(place[9]) == 2 for one in after for v in one["vehicles"] for row in v["rows"]
               for place in row[4]), "expected a rider that bridges two lids"  # fmt: skip


def write() -> None:
    """Plan the show anew and write the file."""
    found = solve(show(), seconds=3.0)
    plan = _read_plan(_plain(found.best if isinstance(found, NoPlan) else found))
    FILE.parent.mkdir(exist_ok=True)
    text = json.dumps(document(plan), ensure_ascii=False, separators=(",", ":"))
    FILE.write_text(text.replace('{"step"', '\n{"step"') + "\n", encoding="utf-8")


if __name__ == "__main__":
    write()
