"""A year's nights as the judge: what each kind costs, and what a change of the fleet changes.

Every night is put into rows of each of its vehicles alone. Differences are intervals: what is
proven of the floor after a change against what is proven of the floor before it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final, Literal

from server.core.advisor.floor import Floor, FoundRow, floor_of, vehicles_needed
from server.core.advisor.money import Prices, loading_metres
from server.core.advisor.questions import Change, Night
from server.core.shop.case import Case
from server.core.shop.show import Rules
from server.core.shop.vehicle import Vehicle

BUDGET: Final = 40.0  # seconds in all to narrow intervals that riders leave open
MOST_SECONDS: Final = 5.0  # for one load
LEAST_SECONDS: Final = 0.5  # less is of no use

Tell = Callable[[int, int], bool]
"""Hears how many nights of how many are done; False: stop."""


@dataclass(frozen=True, slots=True)
class Span:
    """An interval of whole numbers, from what is proven to what was found."""

    low: int = 0
    high: int = 0

    def __add__(self, other: Span) -> Span:
        """Add two intervals."""
        return Span(self.low + other.low, self.high + other.high)

    def __sub__(self, other: Span) -> Span:
        """Return what the difference is at least and at most."""
        return Span(self.low - other.high, self.high - other.low)

    def __mul__(self, times: int) -> Span:
        """Return the interval so many times."""
        return Span(self.low * times, self.high * times)

    @property
    def verdict(self) -> Literal["less", "more", "tie", "open"]:
        """Return what a difference proves: less, more, none at all, or nothing."""
        if self.low == self.high == 0:
            return "tie"
        if self.high < 0:
            return "less"
        return "more" if self.low > 0 else "open"


@dataclass(frozen=True, slots=True)
class Load:
    """One night in one vehicle: floor, vehicles of this kind, lifts onto lids, rows, money."""

    vehicle: str
    floor: Span
    vehicles: Span
    lifts: int
    rows: int
    money: Span | None
    found: tuple[FoundRow, ...] = field(default=(), compare=False)


@dataclass(frozen=True, slots=True)
class Drawn:
    """The rows of one night before and after a change: where it matters most."""

    night: str
    vehicle: Vehicle
    before: tuple[FoundRow, ...]
    after: tuple[FoundRow, ...]


@dataclass(frozen=True, slots=True)
class NightLoad:
    """One night in each of its vehicles; `misfits` names vehicles that some case does not fit."""

    night: str
    times: int
    loads: tuple[Load, ...]
    misfits: tuple[str, ...] = ()

    def load(self, vehicle: str) -> Load | None:
        """Return the night in one vehicle."""
        return next((one for one in self.loads if one.vehicle == vehicle), None)


@dataclass(frozen=True, slots=True)
class Compared:
    """What a change does over the year, in the first vehicle of each night that takes both.

    `lifts` is that of the rows found, before and after; no bound is known for it. `left_out`:
    nights that cannot be compared, with the reason.
    """

    name: str
    floor: Span
    vehicles: Span
    lifts: int
    money: Span | None
    nights: tuple[tuple[str, str, Span], ...]  # night, vehicle, difference of floor each time
    left_out: tuple[str, ...]
    cost: int | None = None
    drawn: Drawn | None = None


@dataclass(frozen=True, slots=True)
class Year:
    """Every night as it is, what each kind costs, and every change; `whole`: nothing was cut."""

    nights: tuple[NightLoad, ...]
    costs: Mapping[str, float]  # floor a year by code, in the first vehicle of each night
    changes: tuple[Compared, ...]
    whole: bool = True


@dataclass(frozen=True, slots=True)
class _Work:
    """What is the same for every load; `planned`: seconds for each that rows leave open."""

    rules: Rules
    prices: Prices
    planned: float


def year(
    nights: Sequence[Night],
    changes: Sequence[Change],
    rules: Rules,
    prices: Prices,
    tell: Tell | None = None,
) -> Year:
    """Put every night into rows, before and after every change."""
    before: list[NightLoad] = []
    after: list[list[NightLoad]] = [[] for _ in changes]
    costs: dict[str, float] = defaultdict(float)
    loads = sum(len(night.vehicles) for night in nights) * (1 + len(changes))
    share = min(MOST_SECONDS, BUDGET / max(1, loads))
    work = _Work(rules, prices, share if share >= LEAST_SECONDS else 0.0)
    whole = True
    for number, night in enumerate(nights):
        if tell is not None and not tell(number, len(nights)):
            whole = False
            break
        before.append(_night_load(night, night.cases, work, costs))
        for change, found in zip(changes, after, strict=True):
            found.append(_night_load(night, change.of(night), work, None))
    garage = {vehicle.id: vehicle for night in nights for vehicle in night.vehicles}
    compared = tuple(
        _compare(change, before, found, garage)
        for change, found in zip(changes, after, strict=True)
    )
    return Year(tuple(before), dict(costs), compared, whole)


def _night_load(
    night: Night,
    cases: tuple[Case, ...],
    work: _Work,
    costs: dict[str, float] | None,
) -> NightLoad:
    loads: list[Load] = []
    misfits: list[str] = []
    for vehicle in night.vehicles:
        floor = floor_of(cases, vehicle, work.rules, work.planned)
        if floor is None:
            misfits.append(vehicle.id)
            continue
        if costs is not None and not loads:
            for code, worth in floor.worth:
                costs[code] += worth * night.times
        loads.append(_load(vehicle, floor, cases, work.prices))
    return NightLoad(night.name, night.times, tuple(loads), tuple(misfits))


def _load(vehicle: Vehicle, floor: Floor, cases: Sequence[Case], prices: Prices) -> Load:
    count = Span(*vehicles_needed(floor, vehicle, sum(case.mass_g for case in cases)))
    return Load(
        vehicle=vehicle.id,
        floor=Span(floor.low_um, floor.high_um),
        vehicles=count,
        lifts=sum(row.lifts for row in floor.rows),
        rows=len(floor.rows),
        money=_money(vehicle, floor, count, prices),
        found=floor.rows,
    )


def _money(vehicle: Vehicle, floor: Floor, count: Span, prices: Prices) -> Span | None:
    """Return what a day of these vehicles costs; None without a price."""
    price = prices.vehicles.get(vehicle.id)
    if price is None:
        return None
    if price.loading_metre is not None:
        metres = (loading_metres(um, vehicle.width_um) for um in (floor.low_um, floor.high_um))
        low, high = (round(metre * price.loading_metre) for metre in metres)
        return Span(low, high)
    return None if price.day is None else count * price.day


def _compare(
    change: Change,
    before: Sequence[NightLoad],
    after: Sequence[NightLoad],
    vehicles_of: Mapping[str, Vehicle],
) -> Compared:
    floor, vehicles, lifts = Span(), Span(), 0
    money: Span | None = Span()
    nights, left_out = [], []
    most: tuple[int, Drawn] | None = None
    for old, new in zip(before, after, strict=True):
        both = next(((a, b) for a in old.loads if (b := new.load(a.vehicle)) is not None), None)
        if both is None:
            which = ", ".join(new.misfits or old.misfits) or "no vehicle"
            left_out.append(f"{old.night}: a case does not fit {which}")
            continue
        one, other = both
        same = one == other
        difference = Span() if same else other.floor - one.floor
        nights.append((old.night, one.vehicle, difference))
        if same:
            continue
        size = abs(difference.low + difference.high)
        if most is None or size > most[0]:
            most = size, Drawn(old.night, vehicles_of[one.vehicle], one.found, other.found)
        floor += difference * old.times
        vehicles += (other.vehicles - one.vehicles) * old.times
        lifts += (other.lifts - one.lifts) * old.times
        if money is not None and one.money is not None and other.money is not None:
            money += (other.money - one.money) * old.times
        else:
            money = None
    if not any(load.money for one in before for load in one.loads):
        money = None
    ranked = tuple(sorted(nights, key=lambda one: (-abs(one[2].low + one[2].high), one[0])))
    return Compared(
        name=change.name,
        floor=floor,
        vehicles=vehicles,
        lifts=lifts,
        money=money,
        nights=ranked,
        left_out=tuple(left_out),
        cost=change.cost,
        drawn=None if most is None else most[1],
    )
