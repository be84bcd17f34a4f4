"""Which vehicles carry a show at least cost: sets of vehicles and trips, cheapest first.

A set is refused only by proof (payload, floor area, rows, or the planner's own), taken only with a
plan that the judge passes. Driving of a vehicle with k trips: out and back k times on the way in
less the last way back, the same on the way out, so 2 (2 k - 1) ways in all.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import product
from typing import Final, Literal

from server.core.advisor.floor import floor_of
from server.core.advisor.money import loading_metres
from server.core.advisor.questions import SECONDS, Drive, Offer
from server.core.base.units import from_g, from_um, within
from server.core.planner.problem.answer import NoPlan
from server.core.planner.solve import solve
from server.core.shop.plan import Plan
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle

MOST_LOADS: Final = 6  # vehicles times trips of one set
MOST_SETS: Final = 4_000  # beyond it nothing is called proven

Stop = Callable[[], bool]
Tell = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Part:
    """So many vehicles of one offer, with so many loads in all."""

    offer: int
    vehicles: int
    loads: int

    @property
    def ways(self) -> int:
        """Return how often these vehicles drive the way, there or back, in all."""
        return 2 * (2 * self.loads - self.vehicles)

    @property
    def longest(self) -> int:
        """Return how often one of them drives the way on the day of the load-in."""
        return 2 * -(-self.loads // self.vehicles) - 1


Set = tuple[Part, ...]
State = Literal["goes", "refused", "undecided"]


@dataclass(frozen=True, slots=True)
class Tried:
    """One set of vehicles: its cost (None: a price is missing), and whether the show goes in it."""

    parts: Set
    cost: int | None
    state: State
    why: str = ""
    plan: Plan | None = None


@dataclass(frozen=True, slots=True)
class Hired:
    """The cheapest set that carries the show; `proven`: every cheaper one is refused by proof."""

    best: Tried | None
    cheaper: tuple[Tried, ...]
    proven: bool
    stopped: bool = False
    by_money: bool = True
    illegal: tuple[str, ...] = ()


@dataclass
class Hiring:
    """One search over sets of offers; what is found of a set is kept."""

    show: Show
    offers: Sequence[Offer]
    drive: Drive
    seconds: float = SECONDS
    stop: Stop | None = None
    known: dict[tuple[tuple[int, int], ...], Tried] = field(default_factory=dict)
    cut: bool = field(default=False, init=False)  # not every set was looked at

    def cheapest(
        self, allowed: Callable[[Set], bool] | None = None, tell: Tell | None = None
    ) -> Hired:
        """Return the cheapest set among those allowed that carries the show."""
        legal, illegal = self.legal()
        sets = [one for one in self._sets(legal) if allowed is None or allowed(one)]
        by_money = all(self.cost(one) is not None for one in sets)
        sets.sort(key=lambda one: self._rank(one, by_money=by_money))
        cheaper: list[Tried] = []
        for number, parts in enumerate(sets):
            if tell is not None:
                tell(number, len(sets))
            if self.stop is not None and self.stop():
                return Hired(None, tuple(cheaper), False, True, by_money, illegal)
            tried = self.tried(parts)
            if tried.state == "goes":
                proven = not self.cut and all(one.state == "refused" for one in cheaper)
                return Hired(tried, tuple(cheaper), proven, False, by_money, illegal)
            cheaper.append(tried)
        proven = not self.cut and all(one.state == "refused" for one in cheaper)
        return Hired(None, tuple(cheaper), proven, False, by_money, illegal)

    def legal(self) -> tuple[list[int], tuple[str, ...]]:
        """Return the offers that somebody may drive, and why the others are left out."""
        held = self.drive.licences
        good, bad = [], []
        for number, offer in enumerate(self.offers):
            if held is not None and offer.licence and offer.licence not in held:
                bad.append(f"{offer.vehicle.id}: needs licence {offer.licence}, which nobody holds")
            elif self._hours(1) > self._most_hours():
                bad.append(
                    f"{offer.vehicle.id}: {self._hours(1):g} h of driving in a day is over the "
                    f"limit of {self._most_hours():g} h"
                )
            else:
                good.append(number)
        return good, tuple(bad)

    def _hours(self, ways: int) -> float:
        return ways * self.drive.hours

    def _most_hours(self) -> float:
        limit = self.drive.hours_limit
        return float("inf") if limit is None else limit * self.drive.drivers

    def _sets(self, legal: Iterable[int]) -> Iterator[Set]:
        choices: list[list[Part | None]] = []
        for number in legal:
            offer = self.offers[number]
            parts: list[Part | None] = [None]
            for vehicles in range(1, min(offer.count, MOST_LOADS) + 1):
                for loads in range(vehicles, min(vehicles * offer.trips, MOST_LOADS) + 1):
                    part = Part(number, vehicles, loads)
                    if self._hours(part.longest) <= self._most_hours():
                        parts.append(part)
            choices.append(parts)
        count = 0
        for chosen in product(*choices):
            parts_of = tuple(part for part in chosen if part is not None)
            if parts_of and sum(part.loads for part in parts_of) <= MOST_LOADS:
                yield parts_of
                count += 1
                if count >= MOST_SETS:
                    self.cut = True
                    return

    def cost(self, parts: Set, floors: Sequence[int] | None = None) -> int | None:
        """Return what a set costs in hundredths; None where a price that it needs is missing.

        `floors`: floor length used of each load, for offers that are priced by loading metres;
        without it the whole floor is counted.
        """
        total = 0.0
        at = 0
        for part in parts:
            offer = self.offers[part.offer]
            price = offer.price
            used = (
                floors[at : at + part.loads] if floors else [offer.vehicle.length_um] * part.loads
            )
            at += part.loads
            if price.loading_metre is not None:
                metres = sum(loading_metres(one, offer.vehicle.width_um) for one in used)
                total += metres * price.loading_metre
            elif price.day is None:
                return None
            else:
                total += part.vehicles * price.day * self.drive.days
            if self.drive.distance and price.distance is None and price.loading_metre is None:
                return None
            total += part.ways * self.drive.distance * (price.distance or 0)
            total += part.ways / 2 * price.tolls
            total += part.ways * self.drive.hours * (self.drive.driver_hour or 0)
        return round(total)

    def _rank(self, parts: Set, *, by_money: bool) -> tuple[float, ...]:
        rooms = [self.offers[part.offer].room for part in parts]
        area = sum(
            room.width_um * room.length_um * part.loads
            for room, part in zip(rooms, parts, strict=True)
        )
        loads = sum(part.loads for part in parts)
        payload = sum(
            (room.payload_g or 0) * part.loads for room, part in zip(rooms, parts, strict=True)
        )
        drivers = sum(part.vehicles for part in parts)
        cost = self.cost(parts) if by_money else None
        return (float(cost or 0), loads, drivers, area, payload)

    def tried(self, parts: Set) -> Tried:
        """Return whether the show goes in a set of vehicles."""
        key = tuple((part.offer, part.loads) for part in parts)
        if key not in self.known:
            self.known[key] = self._try(parts)
        return replace(self.known[key], parts=parts, cost=self.cost(parts))

    def _try(self, parts: Set) -> Tried:
        cost = self.cost(parts)
        rooms = self.rooms(parts)
        why = self._refused(parts, rooms)
        if why:
            return Tried(parts, cost, "refused", why)
        found: list[Plan] = []

        def enough() -> bool:
            return bool(found) or (self.stop is not None and self.stop())

        cases = tuple(replace(case, vehicle=None) for case in self.show.cases)
        show = replace(self.show, vehicles=rooms, cases=cases)
        answer = solve(show, self.seconds, 0, found.append, enough)
        if not isinstance(answer, NoPlan):
            return Tried(parts, cost, "goes", "", answer)
        state: State = "refused" if answer.proven else "undecided"
        return Tried(parts, cost, state, "; ".join(answer.reasons) or answer.headline())

    def rooms(self, parts: Set) -> tuple[Vehicle, ...]:
        """Return each load of a set as a vehicle of its own."""
        return tuple(
            replace(
                self.offers[part.offer].room,
                id=self.offers[part.offer].vehicle.id
                if number == 0
                else f"{self.offers[part.offer].vehicle.id} load {number + 1}",
            )
            for part in parts
            for number in range(part.loads)
        )

    def _refused(self, parts: Set, rooms: Sequence[Vehicle]) -> str:
        """Return the proof, by mass or floor, that the show does not go; empty: none so far."""
        units = self.show.units
        mass = sum(case.mass_g for case in self.show.cases)
        payloads = [room.payload_g for room in rooms]
        known = [one for one in payloads if one is not None]
        if len(known) == len(payloads) and not within(mass, sum(known), len(self.show.cases)):
            over = from_g(mass - sum(known), units.mass)
            return f"{over:g} {units.mass} over the payload"
        if len(parts) == 1:
            floor = floor_of(self.show.cases, rooms[0], self.show.rules)
            if floor is None:
                return f"a case does not fit {rooms[0].id}"
            room = sum(one.length_um for one in rooms)
            if floor.low_um > room:
                short = from_um(floor.low_um - room, units.length)
                return f"at least {short:g} {units.length} of floor short"
        return ""
