"""Plan again from here: what is loaded stays, the rest changes as little as it can."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from server.core.judge import judge
from server.core.planner.construction.insertion import insert_cases
from server.core.planner.construction.vehicle_sets import greedy_loads
from server.core.planner.problem.answer import NoPlan
from server.core.planner.problem.model import Line, Load, Task, length_of
from server.core.planner.problem.plan_writer import make_plan
from server.core.planner.problem.straps import straps_for
from server.core.planner.replanning.deepen import deepen_one
from server.core.planner.replanning.diff import Move, find_moves
from server.core.planner.replanning.from_plan import lines_of
from server.core.planner.replanning.regroup import regroup
from server.core.planner.solve import solve
from server.core.shop.case import Case
from server.core.shop.plan import LeftOut, Plan, Row
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle


@dataclass(frozen=True, slots=True)
class Replan:
    """The new plan and what the crew does differently; `refusal` when not everything can go."""

    plan: Plan
    moves: tuple[Move, ...]
    refusal: NoPlan | None = None


def replan(
    show: Show,
    before: Plan,
    loaded: Mapping[str, int],
    *,
    seconds: float = 1.0,
) -> Replan:
    """Plan the show as it is now, from `before` on.

    `loaded`: how many rows, from the bulkhead, stand loaded in each vehicle; they stay exactly as
    they are, but for cases that the show no longer calls.
    """
    for freed in (0, 1, 2, 4, 8, 10_000):
        plan = _Repair(show, before, loaded, freed).plan()
        if plan is not None:
            return Replan(plan, find_moves(before, plan))
    if not any(loaded.values()):
        answer = solve(show, seconds=seconds)
        refusal = answer if isinstance(answer, NoPlan) else None
        plan = answer.best if isinstance(answer, NoPlan) else answer
        plan = replace(plan, revision=before.revision + 1)
        return Replan(plan, find_moves(before, plan), refusal)
    plan = _Repair(show, before, loaded, 0).plan(leave=True)
    assert plan is not None
    reasons = tuple(dict.fromkeys(one.reason for one in plan.left_out))
    return Replan(plan, find_moves(before, plan), NoPlan(reasons, 0, 0, (), plan))


_NO_LINE = Line(())


class _Repair:
    """One try: rows kept, the last `freed` rows of each vehicle planned anew."""

    def __init__(self, show: Show, before: Plan, loaded: Mapping[str, int], freed: int) -> None:
        self.show, self.before, self.loaded, self.freed = show, before, loaded, freed
        self.cases = {case.code: case for case in show.cases}
        self.used: set[str] = set()

    def plan(self, *, leave: bool = False) -> Plan | None:
        """Return a lawful plan, or None when this try does not come to one."""
        kept, loose = self._keep()
        loads = []
        for vehicle in self.show.vehicles:
            frozen = self.loaded.get(vehicle.id, 0)
            lines = kept.get(vehicle.id, [])
            lines, loose = self._insert(vehicle, lines, frozen, loose)
            loads.append((vehicle, lines, frozen))
        done = []
        for vehicle, lines, frozen in loads:
            ready, loose = self._add_rows(vehicle, lines, frozen, loose)
            if ready is None:
                return None
            done.append(Load(vehicle, tuple(ready)))
        if loose and not leave:
            return None
        out = [LeftOut(case.code, "no room behind the loaded rows") for case in loose]
        plan = make_plan(
            done,
            0,
            left_out=out,
            straps_of=straps_for(self.show),
            revision=self.before.revision + 1,
        )
        return None if judge(self.show, plan) else plan

    def _keep(self) -> tuple[dict[str, list[Line]], list[Case]]:
        """Return the rows that stay in each vehicle, and the cases that have no row."""
        kept: dict[str, list[Line]] = {}
        placed: set[str] = set()
        vehicles = {vehicle.id for vehicle in self.show.vehicles}
        for one in self.before.vehicles:
            if one.vehicle not in vehicles:
                continue
            frozen = self.loaded.get(one.vehicle, 0)
            end = max(frozen, len(one.rows) - self.freed)
            lines = [lines_of(row, self.cases) for row in one.rows[:end]]
            placed |= {case.code for line in lines if line is not None for case in line.cases}
            for index, row in enumerate(one.rows[:end]):
                if lines[index] is None and index >= frozen:
                    lines[index] = self._refill(one.vehicle, row)
                    placed |= {case.code for case in (lines[index] or _NO_LINE).cases}
            kept[one.vehicle] = [line for line in lines if line is not None]
        loose = [case for case in self.show.cases if case.code not in placed]
        return kept, sorted(loose, key=lambda c: (-c.length_um * c.width_um, c.code))

    def _refill(self, vehicle_id: str, row: Row) -> Line | None:
        """Return a row of new cases in the place of one that is empty now, so that none shifts."""
        vehicle = replace(
            self.show.vehicle(vehicle_id),
            length_um=row.depth,
            axles=None,
            narrow=(),
            payload_g=None,
        )
        known = {place.code for one in self.before.vehicles for place in one.places()}
        fresh = [
            case
            for case in self.show.cases
            if case.code not in known | self.used and case.vehicle in (None, vehicle_id)
        ]
        on_floor = frozenset(case.code for case in fresh)
        task = Task(self.show.rules, (vehicle,), tuple(fresh), on_floor)
        loads, _ = greedy_loads(task, (vehicle,))
        if not loads[0].lines or 2 * loads[0].lines[0].width < vehicle.width_um:
            return None
        self.used |= {case.code for case in loads[0].lines[0].cases}
        return loads[0].lines[0]

    def _insert(
        self, vehicle: Vehicle, lines: list[Line], frozen: int, loose: list[Case]
    ) -> tuple[list[Line], list[Case]]:
        """Put loose cases on lids and into slack of rows that are not loaded yet."""
        task = Task(self.show.rules, (vehicle,), self.show.cases)
        mine = [case for case in loose if case.vehicle in (None, vehicle.id)]
        width = min([vehicle.width_um, *(narrow.width_um for narrow in vehicle.narrow)])
        free, unplaced = insert_cases(task, lines, mine, width, first=frozen)
        return free, [case for case in loose if case not in mine or case in unplaced]

    def _add_rows(
        self, vehicle: Vehicle, lines: list[Line], frozen: int, loose: list[Case]
    ) -> tuple[list[Line] | None, list[Case]]:
        """Make rows of what is still loose and stand them where their drop belongs."""
        mine = [case for case in loose if case.vehicle in (None, vehicle.id)]
        if len(mine) == 1:
            lines, mine = self._stand_in_one(vehicle, lines, frozen, mine[0])
        room = vehicle.length_um - length_of(lines)
        if not mine or room <= 0:
            placed = {case.code for line in lines for case in line.cases}
            rest = [case for case in loose if case.code not in placed]
            return self._in_order(vehicle, lines), rest
        mass = sum(line.mass_g for line in lines)
        payload = None if vehicle.payload_g is None else max(0, vehicle.payload_g - mass)
        shorter = replace(vehicle, length_um=room, payload_g=payload, axles=None, narrow=())
        part = Task(self.show.rules, (shorter,), tuple(mine))
        added, _ = greedy_loads(part, (shorter,))
        rows = list(lines)
        for line in added[0].lines:
            rows.insert(self._place(rows, line, frozen), line)
        placed = {case.code for line in rows for case in line.cases}
        rest = [case for case in loose if case.code not in placed]
        return self._in_order(vehicle, rows), rest

    def _stand_in_one(
        self, vehicle: Vehicle, lines: list[Line], frozen: int, case: Case
    ) -> tuple[list[Line], list[Case]]:
        """Make a row deeper for a lone case, unless a row of its own at the door would do."""
        if not lines or lines[-1].drops[0] >= case.drop:
            return lines, [case]
        task = Task(self.show.rules, (vehicle,), self.show.cases)
        width = min([vehicle.width_um, *(narrow.width_um for narrow in vehicle.narrow)])
        room = vehicle.length_um - length_of(lines)
        deeper = deepen_one(task, lines, case, width, first=frozen, room=room)
        if deeper is None:
            deeper = regroup(task, lines, case, width, first=frozen, room=room)
        return (lines, [case]) if deeper is None else (deeper, [])

    def _place(self, rows: Sequence[Line], line: Line, frozen: int) -> int:
        """Return the place nearest the door at which a row's drops may stand."""
        for index in range(len(rows), frozen, -1):
            if rows[index - 1].drops[0] >= line.drops[1]:
                return index
        return frozen

    def _in_order(self, vehicle: Vehicle, lines: list[Line]) -> list[Line] | None:
        """Return the rows if the vehicle is long enough for them; the judge sees to the rest."""
        return lines if length_of(lines) <= vehicle.length_um else None
