"""Sequence: plan of one vehicle and its figures → the steps both ways, and the sheet crews hold.

The sheet is what a phone needs of one vehicle, under the names of the bundle; `as_json` (night
state) turns it into `rowcall-bundle-1`. Straps and people are asked of functions handed in, so
that this module knows no rule set.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Final, Literal

from server.core.base.figure import Figure
from server.core.base.units import Units, from_um
from server.core.shop.case import Case, Stance
from server.core.shop.plan import Place, Row, VehiclePlan
from server.core.shop.vehicle import Axles, LiftGate, Ramp, Straps, Vehicle

Side = Literal["driver", "middle", "kerb", "full"]
FULL_SHARE: Final = 0.6  # of the width; common practice, no source


@dataclass(frozen=True, slots=True)
class Card:
    """One figure under the key by which the phone words it."""

    key: str
    figure: Figure


@dataclass(frozen=True, slots=True)
class HandCheck:
    """What a hand reads before touching a case: who, and where it is refused why and what else.

    `people` None: no number of people will do; the crew is those and the spotters. `ways` and
    `slope` are worded by the phone. `asks`: what is to be read or weighed first.
    """

    people: int | None
    spotters: int
    may_go: bool
    slope: bool
    reasons: tuple[str, ...]
    ways: tuple[str, ...]
    asks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Brief:
    """What everybody hears before the first case of a vehicle; hazards by name and how many."""

    heaviest: str | None
    hands_needed: int
    slope: str
    refused: tuple[str, ...]
    lifts: tuple[str, ...]
    hazards: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Hands:
    """People up the ramp with the spotter, people to lift or tip it (0: none), and the figures."""

    push: int
    lift: int
    cards: tuple[Card, ...] = ()
    check: HandCheck | None = None
    lift_limits: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class PlaceStep:
    """One case where it stands, and who it takes; `lift_limits`: grams for one person, two, ..."""

    code: str
    x: int
    y: int
    z: int
    dx: int
    dy: int
    dz: int
    stance: Stance
    turned: bool
    on: tuple[str, ...]
    side: Side
    push: int
    lift: int
    cards: tuple[Card, ...]
    check: HandCheck | None = None
    lift_limits: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class RowStep:
    """One row: straps with the reason, and what fills its slack where that is too wide."""

    number: int
    start_um: int
    depth_um: int
    slack_um: int
    straps: int
    why: Figure
    fill: Figure | None
    places: tuple[PlaceStep, ...]
    void_um: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One vehicle as the crew works it; `mark` picks one of our eight colours and shapes."""

    id: str
    name: str
    mark: int
    width_um: int
    length_um: int
    height_um: int
    payload_g: int | None
    driver_side: Literal["left", "right"]
    straps: Straps | None
    bars: int
    floor_length_um: int
    mass_g: int
    axles: Axles | None
    ramp: Ramp | None
    rows: tuple[RowStep, ...]
    load: tuple[str, ...]
    unload: tuple[str, ...]
    briefing: tuple[Card, ...] = ()
    brief: Brief | None = None
    lift_gate: LiftGate | None = None


@dataclass(frozen=True, slots=True)
class HeldBy:
    """What holds a row: its straps, what is open behind shallow stacks, and what fills it all."""

    straps: Figure
    void_um: int = 0
    fill: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Asked:
    """The rules a sheet asks: what holds a row, people for a case in its place."""

    hold: Callable[[Row], HeldBy]
    hands: Callable[[Place, Case], Hands]
    slack_limit_um: int | None = None
    briefing: tuple[Card, ...] = ()
    brief: Brief | None = None
    units: Units = field(default_factory=Units)


def load_order(vehicle: Vehicle, rows: Iterable[Row]) -> tuple[str, ...]:
    """Return codes as they go on: bulkhead row first; floor from the driver side, then riders."""
    return tuple(
        place.code
        for row in sorted(rows, key=lambda row: row.number)
        for place in sorted(row.places, key=lambda place: _going_on(vehicle, place))
    )


def _going_on(vehicle: Vehicle, place: Place) -> tuple[int, int, int, str]:
    return place.z, from_driver_um(vehicle, place), place.y, place.code


def unload_order(
    vehicle: Vehicle, rows: Iterable[Row], drops: Mapping[str, int]
) -> tuple[str, ...]:
    """Return codes as they come off: door row first, lids cleared first, then by drop.

    The plan stands drop 1 nearest the door, so this is drop order wherever a hand can reach.
    """
    order: list[str] = []
    for row in sorted(rows, key=lambda row: -row.number):
        left = {place.code: place for place in row.places}
        while left:
            under = {code for place in left.values() for code in place.on}
            free = [place for place in left.values() if place.code not in under]
            first = min(free, key=lambda place: _coming_off(vehicle, place, drops))
            order.append(first.code)
            del left[first.code]
    return tuple(order)


def _coming_off(
    vehicle: Vehicle, place: Place, drops: Mapping[str, int]
) -> tuple[int, int, int, str]:
    return drops.get(place.code, 1), -place.z, -from_driver_um(vehicle, place), place.code


def from_driver_um(vehicle: Vehicle, place: Place) -> int:
    """Return how far a case stands from the driver's wall."""
    if vehicle.driver_side == "left":
        return place.x
    return vehicle.width_um - place.x - place.dx


def side_of(vehicle: Vehicle, place: Place) -> Side:
    """Return the side as the crew says it, by the middle of the case in thirds of the width."""
    twice = 2 * from_driver_um(vehicle, place) + place.dx
    if 3 * twice < 2 * vehicle.width_um:
        return "driver"
    if 3 * twice > 4 * vehicle.width_um:
        return "kerb"
    return "full" if place.dx >= FULL_SHARE * vehicle.width_um else "middle"


def build_sheet(
    vehicle: Vehicle, plan: VehiclePlan, cases: Mapping[str, Case], asked: Asked, *, mark: int
) -> Sheet:
    """Return the sheet of one vehicle; `cases` holds every case of the plan by code."""
    drops = {code: case.drop for code, case in cases.items()}
    return Sheet(
        id=vehicle.id,
        name=vehicle.name or vehicle.id,
        mark=mark,
        width_um=vehicle.width_um,
        length_um=vehicle.length_um,
        height_um=vehicle.height_um,
        payload_g=vehicle.payload_g,
        driver_side=vehicle.driver_side,
        straps=vehicle.straps,
        bars=vehicle.bars,
        floor_length_um=plan.floor_length_um,
        mass_g=plan.mass_g,
        axles=vehicle.axles,
        ramp=vehicle.ramp,
        rows=tuple(_row(vehicle, row, cases, asked) for row in plan.rows),
        load=load_order(vehicle, plan.rows),
        unload=unload_order(vehicle, plan.rows, drops),
        briefing=asked.briefing,
        brief=asked.brief,
        lift_gate=vehicle.lift_gate,
    )


def _row(vehicle: Vehicle, row: Row, cases: Mapping[str, Case], asked: Asked) -> RowStep:
    hold = asked.hold(row)
    why = hold.straps
    return RowStep(
        number=row.number,
        start_um=row.start,
        depth_um=row.depth,
        slack_um=row.slack,
        straps=why.whole(),
        why=why,
        void_um=hold.void_um,
        fill=_fill(row, hold, asked),
        places=tuple(
            _place(vehicle, place, asked.hands(place, cases[place.code]))
            for place in sorted(row.places, key=lambda place: _going_on(vehicle, place))
        ),
    )


def _place(vehicle: Vehicle, place: Place, hands: Hands) -> PlaceStep:
    return PlaceStep(
        code=place.code,
        x=place.x,
        y=place.y,
        z=place.z,
        dx=place.dx,
        dy=place.dy,
        dz=place.dz,
        stance=place.stance,
        turned=place.turned,
        on=place.on,
        side=side_of(vehicle, place),
        push=hands.push,
        lift=hands.lift,
        cards=hands.cards,
        check=hands.check,
        lift_limits=hands.lift_limits,
    )


def _fill(row: Row, hold: HeldBy, asked: Asked) -> Figure | None:
    """Return what has to be filled: slack over the limit, and voids behind shallow stacks."""
    limit_um, unit = asked.slack_limit_um, asked.units.length
    wide = limit_um is not None and row.slack > limit_um
    if not wide and not hold.void_um:
        return None
    said = []
    if wide and limit_um is not None:
        said.append(
            f"fill {from_um(row.slack, unit):g} {unit} of slack because the owner's limit is "
            f"{from_um(limit_um, unit):g} {unit}"
        )
    if hold.void_um:
        said.append(f"fill {from_um(hold.void_um, unit):g} {unit} behind the shallow stacks")
    source = "house rule (common practice, no source); CTU Code on voids"
    return Figure(max(row.slack, hold.void_um), "um", source, "; ".join(said), "straps")
