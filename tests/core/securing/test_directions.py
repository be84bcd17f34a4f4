"""Each stack in six directions: what holds it, what does not, and a judge that shares no code."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Final

import pytest

from server.core.base.units import to_g, to_um
from server.core.judge.restraint import OPEN_UM, WAYS, false_claims, nearest_um
from server.core.judge.scene import Scene
from server.core.securing.directions import DIRECTIONS, Hold, StackHold, stack_holds
from server.core.shop.case import Case
from server.core.shop.plan import Place, Row, VehiclePlan
from server.core.shop.show import Rules, Show
from server.core.shop.vehicle import Track, Vehicle
from server.files.plan_file import parse_plan
from server.files.show_file import parse_show

IN: Final = to_um(1, "in")
LAWFUL: Final = Path(__file__).resolve().parents[3] / "fixtures" / "shows" / "lawful"
ROOM: Final = Vehicle("T", 96 * IN, 200 * IN, 96 * IN)


def loaded(
    *boxes: tuple[int, int, int, int, int, int],
    room: Vehicle = ROOM,
    rules: Rules | None = None,
) -> tuple[StackHold, ...]:
    """Return what holds cases of 100 lb: row, x, depth into it, across, along, up in inches."""
    rows: dict[int, list[Place]] = {}
    start = {1: 0}
    for number in range(2, 10):
        depth = max((d + dy for n, _, d, _, dy, _ in boxes if n == number - 1), default=0)
        start[number] = start[number - 1] + depth
    for code, (n, x, d, dx, dy, dz) in zip("ABCDEFGH", boxes, strict=False):
        y = start[n] + d
        place = Place(code, x * IN, y * IN, 0, dx * IN, dy * IN, dz * IN)
        rows.setdefault(n, []).append(place)
    made = tuple(
        Row(n, start[n] * IN, (start[n + 1] - start[n]) * IN, 0, 1, tuple(rows[n])) for n in rows
    )
    cases = tuple(
        Case(p.code, p.dy, p.dx, p.dz, mass_g=to_g(100, "lb")) for row in made for p in row.places
    )
    plan = VehiclePlan("T", made, sum(row.depth for row in made), 0)
    return stack_holds(Show("S", (room,), cases, rules=rules or Rules()), plan)


def way(holds: tuple[StackHold, ...], code: str, direction: str) -> Hold:
    stack = next(one for one in holds if one.codes[0] == code)
    assert tuple(hold.direction for hold in stack.holds) == DIRECTIONS
    return next(hold for hold in stack.holds if hold.direction == direction)


def test_a_tight_row_is_held_by_bulkhead_line_wall_and_neighbour() -> None:
    holds = loaded((1, 0, 0, 48, 30, 40), (1, 48, 0, 48, 30, 40))
    assert not any(one.open for one in holds)
    # 49 CFR 393.102: 0.8 forward, 0.5 rearward and sideways of 100 lb
    assert way(holds, "A", "forward").force_g == round(0.8 * to_g(100, "lb"))
    assert way(holds, "A", "left").force_g == round(0.5 * to_g(100, "lb"))
    assert way(holds, "A", "right").by == "B beside it"
    assert way(holds, "B", "right").by == "the wall"
    assert way(holds, "A", "rearward").by == "strap line"
    assert way(holds, "A", "up").force_g == 0


def test_a_gap_of_more_than_fifteen_centimetres_holds_nothing() -> None:
    # CTU Code: 15 cm; 5 in are 12.7 cm, 6 in are 15.24 cm
    assert way(loaded((1, 5, 0, 91, 30, 20)), "A", "left").held
    far = way(loaded((1, 6, 0, 90, 30, 20)), "A", "left")
    assert not far.held
    assert "NOT held by this" in far.say


def test_what_stands_shallow_in_a_row_is_not_touched_by_its_line() -> None:
    holds = loaded((1, 0, 0, 48, 24, 20), (1, 48, 0, 48, 48, 20))
    assert not way(holds, "A", "rearward").held
    assert way(holds, "B", "rearward").by == "strap line"


def test_straps_behind_hold_nothing_forward_and_what_is_loose_ahead_neither() -> None:
    holds = loaded((1, 0, 0, 48, 24, 20), (1, 48, 0, 48, 48, 20), (2, 0, 0, 48, 30, 20),
                   (2, 48, 0, 48, 30, 20), (3, 0, 0, 96, 30, 20))  # fmt: skip
    assert not way(holds, "C", "forward").held  # 24 in open ahead of it
    assert way(holds, "D", "forward").held
    behind = way(holds, "E", "forward")  # tight against a row that is itself not held
    assert not behind.held
    assert "ahead is not held itself" in behind.say


def test_a_narrow_stack_tips_where_nothing_reaches_its_centre() -> None:
    # base 20 in over height 60: 10 < 0.5 x 30 sideways; the neighbour is 20 in high, centre at 30
    low = loaded((1, 0, 0, 20, 60, 60), (1, 20, 0, 76, 60, 20))
    assert "right" in way(low, "A", "tipping").say
    high = loaded((1, 0, 0, 20, 60, 60), (1, 20, 0, 76, 60, 31))
    assert way(high, "A", "tipping").held


@pytest.mark.parametrize(
    ("heights", "pitch", "held", "words"),
    [
        ((20, 40), 2, True, "slot 14 (2.33 ft from the bulkhead), track 1.67 ft up"),
        ((31,), 2, False, "every track is higher"),
        ((20,), 40, False, "no slot between"),
    ],
)
def test_the_line_says_slot_and_height_or_that_no_track_serves_it(
    heights: tuple[int, ...], pitch: int, held: bool, words: str
) -> None:
    track = Track(tuple(height * IN for height in heights), pitch * IN)
    room = replace(ROOM, track=track)
    holds = loaded((1, 0, 0, 96, 20, 30), (2, 0, 0, 96, 10, 30), room=room)
    found = way(holds, "B", "rearward")
    assert found.held is held
    assert words in found.say


@pytest.mark.parametrize("name", sorted(path.stem[:-5] for path in LAWFUL.glob("*-plan.json")))
def test_a_judge_from_places_alone_agrees_on_every_contact(name: str) -> None:
    show = parse_show(json.loads((LAWFUL / f"{name}-show.json").read_text()))
    plan = parse_plan(json.loads((LAWFUL / f"{name}-plan.json").read_text()), name)
    cases = {case.code: case for case in show.cases}
    seen = 0
    for one in plan.vehicles:
        scene = Scene(show, show.vehicle(one.vehicle), one, cases)
        if scene.vehicle.narrow:
            continue
        for stack in stack_holds(show, one):
            code = stack.codes[0]
            for hold in stack.holds[: len(WAYS)]:
                if hold.by in {"strap line", "open"}:
                    continue
                near = nearest_um(scene, scene.by_code[code], hold.direction) <= OPEN_UM
                assert near or not hold.held, (code, hold)
                assert hold.held or not near or "itself" in hold.say, (code, hold)
                seen += 1
        claims = {s.codes[0]: [(h.direction, h.by) for h in s.holds if h.held]
                  for s in stack_holds(show, one)}  # fmt: skip
        assert list(false_claims(scene, claims)) == []
        wrong = {code: [("forward", "strap line")] for code in claims}
        assert len(list(false_claims(scene, wrong))) == len(claims)
    assert seen or any(vehicle.narrow for vehicle in show.vehicles)
