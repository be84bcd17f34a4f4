"""What is due on which vehicle in each move: planned, what rode in, what comes back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from server.core.crew.bundle import Bundle, Move
from server.core.night.facts import Facts, MoveFacts
from server.core.night.house_state import AddedCase


@dataclass(frozen=True, slots=True)
class Due:
    """Both map a code to a vehicle; an excused case is accounted for where it was due."""

    due: Mapping[str, str]
    excused: Mapping[str, str]


def due_by_move(bundle: Bundle, facts: Facts, added: Mapping[str, AddedCase]) -> dict[Move, Due]:
    """Return what each move has to bring on, or off, from the move before it."""
    known = frozenset(vehicle.id for vehicle in bundle.vehicles)
    planned = _planned(bundle)
    _add_to(planned, bundle, added, ("shop_load",))
    shop_load = _excuse(planned, facts["shop_load"], known)
    load_in = _excuse(_came_on(shop_load, facts["shop_load"], known), facts["load_in"], known)
    back = _rode_in(load_in, facts["load_in"], known)
    _add_to(back, bundle, added, ("load_in", "load_out"))
    for code, one in added.items():
        if not one.travels:
            back.pop(code, None)
    load_out = _excuse(back, facts["load_out"], known)
    put_away = _excuse(_came_on(load_out, facts["load_out"], known), facts["put_away"], known)
    return {
        "shop_load": shop_load,
        "load_in": load_in,
        "load_out": load_out,
        "put_away": put_away,
    }


def _planned(bundle: Bundle) -> dict[str, str]:
    due: dict[str, str] = {}
    for vehicle in bundle.vehicles:
        for row in vehicle.rows:
            for place in row.places:
                due.setdefault(place.code, vehicle.id)
        for code in vehicle.load:
            due.setdefault(code, vehicle.id)
    return due


def _add_to(
    due: dict[str, str], bundle: Bundle, added: Mapping[str, AddedCase], moves: Iterable[Move]
) -> None:
    """Travelling added cases are due where they were added; without a vehicle, on the first."""
    ids = [vehicle.id for vehicle in bundle.vehicles]
    for code in sorted(added):
        one = added[code]
        if one.travels and one.move in moves and ids:
            due[code] = one.vehicle if one.vehicle in ids and one.vehicle else ids[0]


def _came_on(before: Due, facts: MoveFacts, known: frozenset[str]) -> dict[str, str]:
    """After a loading move: what stands on each vehicle; untracked ones hold what was due."""
    due = {code: held for code, held in before.due.items() if held not in facts.tracked}
    for code in sorted(facts.stands):
        vehicle = facts.stands[code].vehicle
        if vehicle is not None and vehicle in known:
            due[code] = vehicle
    return due


def _rode_in(load_in: Due, facts: MoveFacts, known: frozenset[str]) -> dict[str, str]:
    """What has to go back: all that rode in, by where it came off, and what stayed on board."""
    due = dict(load_in.due)
    for code, vehicle in load_in.excused.items():
        held = facts.excuses.get(code)
        if held is not None and held.why == "left_on_purpose":
            due[code] = vehicle
    for code in sorted(facts.latest):
        mark = facts.latest[code]
        if mark.did == "off" and mark.vehicle is not None and mark.vehicle in known:
            due[code] = mark.vehicle
    return due


def _excuse(base: Mapping[str, str], facts: MoveFacts, known: frozenset[str]) -> Due:
    """Take out what the chief accounts for; put in the spare, or the other vehicle."""
    due = dict(base)
    excused: dict[str, str] = {}
    for code, vehicle in base.items():
        seen: set[str] = set()
        name: str | None = code
        while name is not None and name not in seen:
            seen.add(name)
            held = facts.excuses.get(name)
            if held is None:
                due.setdefault(name, vehicle)
                break
            to = held.to_vehicle if held.why == "other_vehicle" else None
            if to == vehicle:
                break
            due.pop(name, None)
            excused[name] = vehicle
            if to is not None and to in known:
                due[name] = to
            name = held.for_code if held.why == "swapped" else None
    return Due(due, excused)
