"""Rows kept wherever they stand: their cases stay together to the micrometre across.

The first rows of a vehicle stay exactly where they are (pinned.py). Any other kept row goes to the
planner as one case as wide as the vehicle, on which nothing stands, and is opened again in what
comes back; then it is moved towards its old number as far as the judge finds nothing wrong.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from typing import Final

from server.core.editing.editing import Step, edited, free_width
from server.core.editing.pinned_rows import PlanRest, with_pinned
from server.core.judge import judge
from server.core.securing.slack import row_slack_um
from server.core.shop.case import Case
from server.core.shop.plan import LeftOut, Plan, Row
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle

NO_ROOM: Final = "its kept row finds no place any more"


@dataclass(frozen=True, slots=True)
class Block:
    """A kept row of a vehicle as the one case that stands for it."""

    vehicle: str
    row: Row
    case: Case

    @property
    def codes(self) -> frozenset[str]:
        return frozenset(place.code for place in self.row.places)


def with_kept(
    show: Show, plan: Plan, kept: Mapping[str, Collection[int]], plan_rest: PlanRest
) -> tuple[Plan, tuple[str, ...]]:
    """Return a plan that keeps these rows by number, and in words which of them moved."""
    rows = {one.vehicle: {row.number: row for row in one.rows} for one in plan.vehicles}
    chosen = {vehicle: {n for n in numbers if n in rows.get(vehicle, {})}
              for vehicle, numbers in kept.items()}  # fmt: skip
    first = {vehicle: _leading(numbers) for vehicle, numbers in chosen.items()}
    loose = [(vehicle, rows[vehicle][number]) for vehicle, numbers in sorted(chosen.items())
             for number in sorted(numbers) if number > first[vehicle]]  # fmt: skip
    if not loose:
        return with_pinned(show, plan, first, plan_rest), ()

    def rest(part: Show) -> Plan:
        shift, blocks = _blocks(part, loose)
        inside = {code for block in blocks for code in block.codes}
        cases = [replace(one, drop=shift(one.drop)) for one in part.cases if one.code not in inside]
        found = plan_rest(replace(part, cases=(*cases, *(block.case for block in blocks))))
        return _opened(part, found, blocks)

    whole = with_pinned(show, plan, first, rest)
    whole = _as_near_as_may_be(show, whole, loose)
    return whole, tuple(_moved(whole, loose))


def _leading(numbers: Collection[int]) -> int:
    """Return how many rows from the bulkhead on are kept without a gap."""
    count = 0
    while count + 1 in numbers:
        count += 1
    return count


class _Shift:
    """Makes room between two drops that a kept row mixes, so that no other row mixes them too."""

    def __init__(self, mixed: Collection[tuple[int, int]]) -> None:
        self._highest = sorted({high for _, high in mixed})

    def __call__(self, drop: int) -> int:
        return drop + sum(high <= drop for high in self._highest)


def _blocks(show: Show, loose: list[tuple[str, Row]]) -> tuple[_Shift, list[Block]]:
    cases = {case.code: case for case in show.cases}
    inside = [[cases[place.code] for place in row.places] for _, row in loose]
    drops = [sorted({case.drop for case in members}) for members in inside]
    shift = _Shift({(one[0], one[-1]) for one in drops if len(one) > 1})
    blocks = []
    for (vehicle_id, row), members, mixed in zip(loose, inside, drops, strict=True):
        vehicle = show.vehicle(vehicle_id)
        drop = shift(mixed[-1]) - (len(mixed) > 1)
        words = {case.together for case in members if case.together}
        ends = [case.near for case in members if case.near]
        block = Case(
            code=f"row {row.number} of {vehicle_id}",
            length_um=row.depth,
            width_um=_width(vehicle, row),
            height_um=_height(vehicle, row),
            mass_g=sum(case.mass_g for case in members),
            drop=drop,
            turn=False,
            vehicle=vehicle_id,
            near=ends[0] if ends else None,
            together=words.pop() if len(words) == 1 else None,
        )
        blocks.append(Block(vehicle_id, row, block))
    return shift, blocks


def _width(vehicle: Vehicle, row: Row) -> int:
    """Return the width that a row takes up: all that it had, so that nothing comes beside it."""
    return max(
        free_width(vehicle, row.start, row.depth),
        sum(place.dx for place in row.places if not place.on),
    )


def _height(vehicle: Vehicle, row: Row) -> int:
    """Return the height of a row; a stack may be higher than a door that its cases pass singly."""
    return min(max(place.z + place.dz for place in row.places), vehicle.passing_height_um)


def _opened(show: Show, plan: Plan, blocks: list[Block]) -> Plan:
    """Return the plan with the cases of each kept row in the place of its block."""
    by_code = {block.case.code: block for block in blocks}
    left = [
        LeftOut(code, NO_ROOM if one.code in by_code else one.reason)
        for one in plan.left_out
        for code in (sorted(by_code[one.code].codes) if one.code in by_code else (one.code,))
    ]
    vehicles = tuple(
        replace(one, rows=tuple(_row(show.vehicle(one.vehicle), row, by_code) for row in one.rows))
        for one in plan.vehicles
    )
    return replace(plan, vehicles=vehicles, left_out=tuple(left))


def _row(vehicle: Vehicle, row: Row, blocks: Mapping[str, Block]) -> Row:
    places = []
    for place in row.places:
        block = blocks.get(place.code)
        if block is None:
            places.append(place)
            continue
        was = (vehicle.width_um - block.case.width_um) // 2
        by_x, by_y = place.x - max(0, was), place.y - block.row.start
        places += [replace(one, x=one.x + by_x, y=one.y + by_y) for one in block.row.places]
    slack = row_slack_um(vehicle, row.start, row.depth, places)
    return replace(row, places=tuple(places), slack=slack)


def _as_near_as_may_be(show: Show, plan: Plan, loose: list[tuple[str, Row]]) -> Plan:
    """Move each kept row towards its old number, as far as no rule is broken by it."""
    for vehicle, row in loose:
        now = _number(plan, vehicle, row)
        if now is None:
            continue
        rows = len(next(one for one in plan.vehicles if one.vehicle == vehicle).rows)
        faults = len(judge(show, plan))
        for target in sorted(range(1, rows + 1), key=lambda n: (abs(n - row.number), n)):
            if target == now and not faults:
                break
            step = Step("row", vehicle=vehicle, row=now, to_vehicle=vehicle, at=target)
            tried = edited(show, plan, [step])
            found = len(judge(show, tried))
            if found < faults or not found:
                plan, faults = tried, found
                now = target
            if not faults:
                break
    return plan


def _number(plan: Plan, vehicle: str, row: Row) -> int | None:
    """Return the number under which a kept row stands now."""
    code = row.places[0].code
    for one in plan.vehicles:
        for there in one.rows:
            if one.vehicle == vehicle and any(place.code == code for place in there.places):
                return there.number
    return None


def _moved(plan: Plan, loose: list[tuple[str, Row]]) -> list[str]:
    words = []
    for vehicle, row in loose:
        now = _number(plan, vehicle, row)
        if now is None:
            words.append(f"row {row.number} of {vehicle} finds no place any more")
        elif now != row.number:
            words.append(
                f"row {row.number} of {vehicle} is kept whole as row {now}: drops, axles, wishes "
                "or the number of rows ahead leave it no place nearer"
            )
    return words
