"""One try at a plan from a plan: rows kept, cases set into them, the last rows planned anew."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from server.core.planner.construction.insertion import insert_cases
from server.core.planner.construction.vehicle_sets import greedy_loads
from server.core.planner.problem.model import Line, Load, Task, length_of
from server.core.planner.problem.plan_writer import make_plan
from server.core.planner.problem.straps import straps_for
from server.core.planner.replanning.behind_loaded import NO_ROOM
from server.core.planner.replanning.deepen import deepen_one
from server.core.planner.replanning.from_plan import lines_of
from server.core.planner.replanning.loaded_rows import (
    Loaded,
    leading,
    moved_to,
    reduced,
    strapped,
)
from server.core.planner.replanning.regroup import regroup
from server.core.shop.case import Case
from server.core.shop.plan import LeftOut, Plan, Row
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle


class Repair:
    """One try: rows kept, the last `freed` rows of each vehicle planned anew."""

    def __init__(self, show: Show, before: Plan, loaded: Loaded, freed: int) -> None:
        self.show, self.before, self.loaded, self.freed = show, before, loaded, freed
        self.cases = {case.code: case for case in show.cases}
        self.used: set[str] = set()
        self.verbatim: list[tuple[Line, Row]] = []  # lines that nobody changed, as they stood
        self.held: list[Line] = []  # of those, the ones that stand loaded

    def plan(self, *, leave: bool = False) -> Plan | None:
        """Return a plan, or None when this try does not come to one; the judge is for later.

        `leave`: cases without a place are left out.
        """
        kept, loose = self._keep()
        loads = []
        for vehicle in self.show.vehicles:
            lines, loose = self._insert(vehicle, kept.get(vehicle.id, []), loose)
            loads.append((vehicle, lines))
        done = []
        for vehicle, lines in loads:
            ready, loose = self._add_rows(vehicle, lines, loose)
            if ready is None:
                return None
            done.append(Load(vehicle, tuple(ready)))
        return None if loose and not leave else self._written(done, loose)

    def bare(self) -> Plan:
        """Return the loaded rows alone, everything else left out."""
        kept, loose = self._keep()
        lines = {
            vehicle: [line for line in some if any(line is one for one in self.held)]
            for vehicle, some in kept.items()
        }
        there = {case.code for some in lines.values() for line in some for case in line.cases}
        loose = [case for case in self.show.cases if case.code not in there]
        loads = [Load(one, tuple(lines.get(one.id, ()))) for one in self.show.vehicles]
        return self._written(loads, loose)

    def _written(self, loads: Sequence[Load], loose: Sequence[Case]) -> Plan:
        """Return the plan of loads; rows that nobody changed stand as they stood."""
        out = [LeftOut(case.code, NO_ROOM) for case in loose]
        plan = make_plan(loads, 0, left_out=out)
        lines = {load.vehicle.id: load.lines for load in loads}
        vehicles = []
        for one in plan.vehicles:
            vehicle = self.show.vehicle(one.vehicle)
            rows = tuple(
                self._as_it_stood(vehicle, line, row)
                for line, row in zip(lines[one.vehicle], one.rows, strict=True)
            )
            vehicles.append(replace(one, rows=rows))
        return strapped(self.show, replace(plan, vehicles=tuple(vehicles)), straps_for(self.show))

    def _as_it_stood(self, vehicle: Vehicle, line: Line, made: Row) -> Row:
        for kept, row in self.verbatim:
            if kept is line:
                return moved_to(row, vehicle, made.number, made.start)
        return made

    def _locked(self, lines: Sequence[Line]) -> set[int]:
        """Return the places in `lines` of rows that stand loaded."""
        return {i for i, line in enumerate(lines) if any(line is one for one in self.held)}

    def _leading(self, vehicle: Vehicle, lines: Sequence[Line]) -> int:
        """Return how many of the lines are loaded from the bulkhead on."""
        locked = {index + 1 for index in self._locked(lines)}
        return leading(locked) if self.loaded.get(vehicle.id) else 0

    def _exchanged(self) -> dict[str, str]:
        """Return for each vehicle that is not booked any more the one booked in its place."""
        booked = [vehicle.id for vehicle in self.show.vehicles]
        planned = [one.vehicle for one in self.before.vehicles]
        gone = [name for name in planned if name not in booked]
        return dict(zip(gone, (name for name in booked if name not in planned), strict=False))

    def _keep(self) -> tuple[dict[str, list[Line]], list[Case]]:
        """Return the rows that stay in each vehicle, and the cases that have no row."""
        kept: dict[str, list[Line]] = {}
        booked = {vehicle.id for vehicle in self.show.vehicles}
        exchanged = self._exchanged()
        for one in self.before.vehicles:
            name = exchanged.get(one.vehicle, one.vehicle)
            if name in booked:
                lines = [
                    self._line(name, row)
                    for index, row in enumerate(one.rows)
                    if self._is_loaded(name, row) or index < len(one.rows) - self.freed
                ]
                kept[name] = [line for line in lines if line is not None]
        placed = {case.code for some in kept.values() for line in some for case in line.cases}
        loose = [case for case in self.show.cases if case.code not in placed]
        return kept, sorted(loose, key=lambda c: (-c.length_um * c.width_um, c.code))

    def _is_loaded(self, vehicle: str, row: Row) -> bool:
        return row.number in self.loaded.get(vehicle, ())

    def _line(self, vehicle: str, row: Row) -> Line | None:
        """Return a row as it is now; an empty one is filled with new cases or given up."""
        line, loaded = lines_of(row, self.cases), self._is_loaded(vehicle, row)
        if line is None:
            return None if loaded else self._refill(vehicle, row)
        now = reduced(row, self.cases)
        if loaded or len(now.places) == len(row.places):
            self.verbatim.append((line, now))
        if loaded:
            self.held.append(line)
        return line

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
        self, vehicle: Vehicle, lines: list[Line], loose: list[Case]
    ) -> tuple[list[Line], list[Case]]:
        """Put loose cases on lids and into slack of rows that are not loaded yet."""
        task = Task(self.show.rules, (vehicle,), self.show.cases)
        mine = [case for case in loose if case.vehicle in (None, vehicle.id)]
        width = min([vehicle.width_um, *(narrow.width_um for narrow in vehicle.narrow)])
        free, unplaced = insert_cases(task, lines, mine, width, locked=self._locked(lines))
        return free, [case for case in loose if case not in mine or case in unplaced]

    def _add_rows(
        self, vehicle: Vehicle, lines: list[Line], loose: list[Case]
    ) -> tuple[list[Line] | None, list[Case]]:
        """Make rows of what is still loose and stand them where their drop belongs."""
        mine = [case for case in loose if case.vehicle in (None, vehicle.id)]
        if len(mine) == 1:
            lines, mine = self._stand_in_one(vehicle, lines, mine[0])
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
            rows.insert(self._place(rows, line, self._leading(vehicle, rows)), line)
        placed = {case.code for line in rows for case in line.cases}
        rest = [case for case in loose if case.code not in placed]
        return self._in_order(vehicle, rows), rest

    def _stand_in_one(
        self, vehicle: Vehicle, lines: list[Line], case: Case
    ) -> tuple[list[Line], list[Case]]:
        """Make a row deeper for a lone case, unless a row of its own at the door would do."""
        if not lines or lines[-1].drops[0] >= case.drop:
            return lines, [case]
        task = Task(self.show.rules, (vehicle,), self.show.cases)
        width = min([vehicle.width_um, *(narrow.width_um for narrow in vehicle.narrow)])
        room = vehicle.length_um - length_of(lines)
        locked = self._locked(lines)
        deeper = deepen_one(task, lines, case, width, locked=locked, room=room)
        if deeper is None:
            deeper = regroup(task, lines, case, width, locked=locked, room=room)
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
