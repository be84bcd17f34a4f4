"""A plan as a table that a person reads at a terminal."""

from __future__ import annotations

from server.commands.plan_cautions import cautions
from server.core.base.units import from_g, from_um
from server.core.judge.at_worst import lids_at_worst
from server.core.planner.problem.answer import NoPlan, WayOut
from server.core.shop.case_mass import load_of, unweighed
from server.core.shop.plan import Place, Plan, Row, VehiclePlan
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle


def plan_table(show: Show, plan: Plan, refusal: NoPlan | None) -> str:
    """Return the plan in words: vehicles, rows, what stays and why."""
    lines = [*_refused(show, refusal)] if refusal else []
    for one in plan.vehicles:
        lines += _vehicle(show, one)
    lines += [f"  note: {fault}" for fault in lids_at_worst(show, plan)]
    lines.append(_summary(show, plan))
    lines += [f"  stays: {left.code}: {left.reason}" for left in plan.left_out]
    return "\n".join(lines)


def _length(show: Show, um: int) -> str:
    return f"{round(from_um(um, show.units.length), 2):g} {show.units.length}"


def _mass(show: Show, grams: int) -> str:
    return f"{round(from_g(grams, show.units.mass)):,} {show.units.mass}"


def _summary(show: Show, plan: Plan) -> str:
    bound = "proven shortest" if plan.proven else f"bound {_length(show, plan.lower_bound_um)}"
    return f"floor {_length(show, plan.floor_length_um)}, {bound}, {plan.seconds:.2f} s"


def _vehicle(show: Show, one: VehiclePlan) -> list[str]:
    room = show.vehicle(one.vehicle)
    worst = _worst_g(show, one)
    mass = _mass(show, one.mass_g)
    if worst > one.mass_g:
        mass += f" stated, up to {_mass(show, worst)}"
    payload = f" of {_mass(show, room.payload_g)} payload" if room.payload_g is not None else ""
    floor = f"{_length(show, one.floor_length_um)} of {_length(show, room.length_um)}"
    lines = [f"{room.id} {room.name}: {len(one.rows)} rows, {floor}, {mass}{payload}"]
    lines += [f"  {_first_out(show, one, room)}"]
    if one.front_g is not None and one.rear_g is not None:
        lines.append(f"  axles: front {_mass(show, one.front_g)}, rear {_mass(show, one.rear_g)}")
    lines.append("  row     from    depth    slack  straps  from driver side to kerb side")
    for row in one.rows:
        lines.append(_row(show, row, room))
    lines += [f"  note: {caution}" for caution in cautions(show, one)]
    return lines


def _worst_g(show: Show, one: VehiclePlan) -> int:
    """Return what the vehicle carries at worst, with every case of unknown mass."""
    codes = [place.code for place in one.places()]
    without = unweighed(show.case(code) for code in codes)
    return one.mass_g + (load_of(show.case(code) for code in without).high or 0)


def _first_out(show: Show, one: VehiclePlan, room: Vehicle) -> str:
    """Say which runs out first, weight or floor, and how much of each is left."""
    floor = one.floor_length_um / room.length_um
    left = f"{_length(show, room.length_um - one.floor_length_um)} of floor left"
    if not room.payload_g:
        return f"{floor:.0%} of the floor used, {left}"
    worst = _worst_g(show, one)
    mass = worst / room.payload_g
    first = "weight" if mass > floor else "floor"
    free = room.payload_g - worst
    kept = f"{_mass(show, abs(free))} {'of payload left' if free >= 0 else 'over it at worst'}"
    return f"{floor:.0%} of floor, {mass:.0%} of payload: {first} bites first; {left}, {kept}"


def _row(show: Show, row: Row, room: Vehicle) -> str:
    floor = sorted((place for place in row.places if not place.on), key=lambda place: place.x)
    if room.driver_side == "right":
        floor.reverse()
    cells = " | ".join(_stack(place, row.places) for place in floor)
    start, depth, slack = (_length(show, um) for um in (row.start, row.depth, row.slack))
    return f"  {row.number:3d} {start:>8} {depth:>8} {slack:>8} {row.straps:7d}  {cells}"


def _stack(place: Place, places: tuple[Place, ...]) -> str:
    text = place.code + (" turned" if place.turned else "")
    if place.stance != "upright":
        text += f" {place.stance.replace('_', ' ')}"
    riders = [f"{one.code}" for one in places if place.code in one.on]
    return text + (f" ^ {', '.join(riders)}" if riders else "")


def _refused(show: Show, refusal: NoPlan) -> list[str]:
    lines = [f"{refusal.headline()}."]
    lines += [f"  because: {reason}" for reason in refusal.reasons]
    if refusal.short_um:
        lines.append(f"  floor short by {_length(show, refusal.short_um)}")
    if refusal.over_g:
        lines.append(f"  over the payload by {_mass(show, refusal.over_g)}")
    lines += [_way_out(show, way) for way in refusal.ways_out]
    if refusal.second is not None:
        codes = ", ".join(place.code for one in refusal.second.vehicles for place in one.places())
        floor = _length(show, refusal.second.floor_length_um)
        lines.append(f"  a second vehicle would carry: {codes} ({floor} of floor)")
    return lines


def _way_out(show: Show, way: WayOut) -> str:
    if not way.codes:
        return f"  way out: {way.by} ({_mass(show, way.mass_g)} of cases change their drop)"
    return f"  leave, {way.by}: {', '.join(way.codes)} ({_mass(show, way.mass_g)}; {way.sure()})"
