"""Editing: a plan after a person moved a case, a stack or a row; lengths and sums made right again.

Nothing is judged here: whatever stands where it must not is named by the judge afterwards. Rows
that nobody touched keep every micrometre across; they only slide along when a row ahead of them
grows or shrinks. A touched row is pushed together from the left wall, seen from the door.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Final, Literal

from server.core.securing.slack import row_slack_um
from server.core.shop.case import Stance
from server.core.shop.plan import LeftOut, Place, Plan, Row, VehiclePlan
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle
from server.core.weight.balance import weigh

Do = Literal["move", "row", "turn", "out"]
TAKEN_OFF: Final = "taken out of the plan by hand"
LID_GONE: Final = "the case under it was moved away"


class CannotEdit(ValueError):
    """A step that names something that is not there; the message says what was expected."""


@dataclass(frozen=True, slots=True)
class Step:
    """One thing a person did.

    `move`: the case `code`, with all that stands on it, into `vehicle` and `row`: onto the lids of
    `on`, or on the floor as number `at` from the left wall; `fresh` makes a new row before `row`.
    `row`: row `row` of `vehicle` becomes row `at` of `to_vehicle`. `turn`: the case stands as said.
    `out`: the case leaves the plan.
    """

    do: Do
    code: str = ""
    vehicle: str = ""
    row: int = 0
    at: int = 0
    on: tuple[str, ...] = ()
    fresh: bool = False
    to_vehicle: str = ""
    stance: Stance = "upright"
    turned: bool = False


@dataclass
class _Row:
    places: list[Place]
    start: int = 0
    depth: int = 0
    slack: int = 0
    straps: int = 0
    touched: bool = False


@dataclass
class Draft:
    """A plan taken apart, so that it can be changed step by step."""

    show: Show
    plan: Plan
    rows: dict[str, list[_Row]] = field(init=False)
    left: dict[str, str] = field(init=False)

    def __post_init__(self) -> None:
        """Take the plan apart; every vehicle of the show is there, empty ones too."""
        self.rows = {vehicle.id: [] for vehicle in self.show.vehicles}
        for one in self.plan.vehicles:
            self.rows[one.vehicle] = [
                _Row(list(row.places), row.start, row.depth, row.slack, row.straps)
                for row in one.rows
            ]
        self.left = {one.code: one.reason for one in self.plan.left_out}

    def do(self, step: Step) -> None:
        """Do one step; CannotEdit where it names what is not there."""
        {"move": self._move, "row": self._row, "turn": self._turn, "out": self._out}[step.do](step)
        for vehicle, rows in self.rows.items():
            self.rows[vehicle] = [row for row in rows if row.places]

    def _move(self, step: Step) -> None:
        target = self._vehicle(step.vehicle)
        if step.code in step.on:
            raise CannotEdit(f"{step.code}: expected other cases to stand on")
        lids = [self._place(code) for code in step.on]
        row = self._target(target, step, lids)
        taken = self._take(step.code)
        if any(place.code in step.on for place in taken):
            raise CannotEdit(f"{step.code}: expected lids that do not stand on it")
        base, above = taken[0], taken[1:]
        if step.on:
            x, y, z = self._spot(row, lids)
            base = replace(base, x=x, y=y, z=z, on=step.on)
        else:
            base = replace(base, x=self._before(row, step.at), y=row.start, z=0, on=())
        shift = (base.x - taken[0].x, base.y - taken[0].y, base.z - taken[0].z)
        row.places += [base, *(_shifted(place, shift) for place in above)]
        row.touched = True

    def _target(self, vehicle: str, step: Step, lids: list[Place]) -> _Row:
        rows = self.rows[vehicle]
        if lids:
            for row in rows:
                if lids[0] in row.places:
                    return row
            raise CannotEdit(f"{lids[0].code}: expected a case of {vehicle}")
        if step.fresh or step.row == len(rows) + 1:
            row = _Row([], touched=True)
            rows.insert(max(0, min(step.row - 1, len(rows))), row)
            return row
        if not 1 <= step.row <= len(rows):
            raise CannotEdit(f"expected a row from 1 to {len(rows) + 1} of {vehicle}")
        return rows[step.row - 1]

    def _before(self, row: _Row, at: int) -> int:
        """Return an x that sorts a case as number `at` among the floor cases of a row."""
        floor = sorted(place.x for place in row.places if not place.on)
        if at <= 0 or not floor:
            return min(floor, default=0) - 1
        return floor[at] - 1 if at < len(floor) else floor[-1] + 1

    def _spot(self, row: _Row, lids: list[Place]) -> tuple[int, int, int]:
        """Return where a case on these lids begins: beside what rides there already, if any."""
        left = min(lid.x for lid in lids)
        names = {lid.code for lid in lids}
        there = [place for place in row.places if names & set(place.on)]
        right = max([left, *(place.x + place.dx for place in there)])
        room = max(lid.x + lid.dx for lid in lids)
        x = right if right < room else left
        return x, min(lid.y for lid in lids), max(lid.z + lid.dz for lid in lids)

    def _row(self, step: Step) -> None:
        rows = self.rows[self._vehicle(step.vehicle)]
        target = self.rows[self._vehicle(step.to_vehicle or step.vehicle)]
        if not 1 <= step.row <= len(rows):
            raise CannotEdit(f"expected a row from 1 to {len(rows)} of {step.vehicle}")
        row = rows.pop(step.row - 1)
        row.touched = row.touched or target is not rows
        target.insert(max(0, min(step.at - 1, len(target))), row)

    def _turn(self, step: Step) -> None:
        place = self._place(step.code)
        across, along, up = self.show.case(step.code).standing(step.stance, step.turned)
        row = self._row_of(step.code)
        row.places[row.places.index(place)] = replace(
            place, dx=across, dy=along, dz=up, stance=step.stance, turned=step.turned
        )
        row.touched = True

    def _out(self, step: Step) -> None:
        for place in self._take(step.code):
            self.left[place.code] = TAKEN_OFF

    def _take(self, code: str) -> list[Place]:
        """Take a case out with all that stands on it alone; what bridged away from it is left."""
        if code in self.left:
            del self.left[code]
            case = self.show.case(code)
            across, along, up = case.standing(case.stances[0], turned=False)
            return [Place(code, 0, 0, 0, across, along, up, case.stances[0])]
        base, row = self._place(code), self._row_of(code)
        taken, names = [base], {code}
        for place in sorted(row.places, key=lambda one: one.z):
            if place.on and place is not base and names & set(place.on):
                if set(place.on) <= names:
                    taken.append(place)
                    names.add(place.code)
                else:
                    self._fall(row, place)
        row.places = [place for place in row.places if place not in taken]
        row.touched = True
        return taken

    def _fall(self, row: _Row, place: Place) -> None:
        """Take a bridging rider, and what stands on it, out of the plan."""
        row.places.remove(place)
        self.left[place.code] = LID_GONE
        for above in [one for one in row.places if place.code in one.on]:
            self._fall(row, above)

    def _vehicle(self, vehicle: str) -> str:
        if vehicle not in self.rows:
            raise CannotEdit(f"expected a vehicle of {', '.join(self.rows)}, got {vehicle}")
        return vehicle

    def _row_of(self, code: str) -> _Row:
        for rows in self.rows.values():
            for row in rows:
                if any(place.code == code for place in row.places):
                    return row
        raise CannotEdit(f"{code}: expected a case that stands in the plan")

    def _place(self, code: str) -> Place:
        row = self._row_of(code)
        return next(place for place in row.places if place.code == code)

    def finished(self) -> Plan:
        """Return the plan with places, rows, lengths, masses and bound made right."""
        made = tuple(self._finished(one) for one in self.show.vehicles if self.rows[one.id])
        total = sum(one.floor_length_um for one in made)
        bound = min(self.plan.lower_bound_um, total)
        left = tuple(LeftOut(code, reason) for code, reason in self.left.items())
        return Plan(
            vehicles=made,
            floor_length_um=total,
            lower_bound_um=bound,
            proven=self.plan.proven and bound == total and not left,
            revision=self.plan.revision,
            left_out=left,
        )

    def _finished(self, vehicle: Vehicle) -> VehiclePlan:
        rows: list[Row] = []
        start = 0
        for number, row in enumerate(self.rows[vehicle.id], start=1):
            places = _settled(vehicle, row, start)
            floor = [place for place in places if not place.on]
            depth = max((place.dy for place in floor), default=0)
            slack = row_slack_um(vehicle, start, depth, floor)
            rows.append(Row(number, start, depth, slack, row.straps, places))
            start += depth
        masses = {case.code: case.mass_g for case in self.show.cases}
        balance = weigh(vehicle, (place for row in rows for place in row.places), masses)
        return VehiclePlan(
            vehicle.id, tuple(rows), start, balance.load_g, balance.front_g, balance.rear_g
        )


def _settled(vehicle: Vehicle, row: _Row, start: int) -> tuple[Place, ...]:
    """Return the places of a row that begins at `start`; a touched row is pushed together."""
    if not row.touched:
        return tuple(replace(place, y=place.y + start - row.start) for place in row.places)
    floor = sorted((place for place in row.places if not place.on), key=lambda one: one.x)
    depth = max((place.dy for place in floor), default=0)
    x = (vehicle.width_um - free_width(vehicle, start, depth)) // 2
    moved: dict[str, Place] = {}
    before = {place.code: place for place in row.places}
    for place in floor:
        moved[place.code] = replace(place, x=x, y=start, z=0)
        x += place.dx
    for place in sorted((one for one in row.places if one.on), key=lambda one: one.z):
        known = [code for code in place.on if code in moved]
        if not known:
            moved[place.code] = place
            continue
        first = min(known, key=lambda code: moved[code].x)
        shift_x = moved[first].x - before[first].x
        shift_y = moved[first].y - before[first].y
        top = max(moved[code].z + moved[code].dz for code in known)
        moved[place.code] = replace(place, x=place.x + shift_x, y=place.y + shift_y, z=top)
    return tuple(moved.values())


def _shifted(place: Place, by: tuple[int, int, int]) -> Place:
    return replace(place, x=place.x + by[0], y=place.y + by[1], z=place.z + by[2])


def free_width(vehicle: Vehicle, start: int, depth: int) -> int:
    """Return the floor width of a row: the narrowest stretch that it touches."""
    touched = (
        stretch.width_um
        for stretch in vehicle.narrow
        if start < stretch.to_um and start + depth > stretch.from_um
    )
    return min([vehicle.width_um, *touched])


def edited(show: Show, plan: Plan, steps: Iterable[Step]) -> Plan:
    """Return the plan after these steps, one after the other."""
    draft = Draft(show, plan)
    for step in steps:
        draft.do(step)
    return draft.finished()
