"""What the advisor is asked, in types that load no solver: who serves need not wait for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Final

from server.core.advisor.load_time import Timed
from server.core.advisor.money import Prices, VehiclePrice
from server.core.shop.case import Case
from server.core.shop.show import Rules, Show
from server.core.shop.vehicle import Vehicle

WALL: Final = 12_700  # 1/2 in of wall and lining on each side, until measured (common practice)
Footprint = tuple[int, int]
SECONDS: Final = 2.0  # for the planner to find a plan for one set


@dataclass(frozen=True, slots=True)
class Need:
    """So many new cases, and what each must hold.

    `inside_um`: least inside length, width and height, the first two either way round unless
    `deep_first`; `volume_um3`: least inside volume. `front_um` and `behind_um` are room for cable
    and doors before and behind a rack, `panel_um` for a connection panel: all along its length.
    `height_um` is the outer height with casters, `under_um` what casters and base take of it.
    """

    count: int
    height_um: int
    name: str = ""
    inside_um: tuple[int, int, int] = (1, 1, 1)
    volume_um3: int = 0
    wall_um: int = WALL
    front_um: int = 0
    behind_um: int = 0
    panel_um: int = 0
    under_um: int = 0
    mass_g: int = 0
    turn: bool = True

    def __post_init__(self) -> None:
        """Refuse what no case can be."""
        if self.count < 1:
            raise ValueError(f"need {self.name}: expected a count of 1 or more, got {self.count}")
        lengths = (self.front_um, self.behind_um, self.panel_um, self.under_um, self.wall_um)
        if min(self.inside_um) < 1 or min(*lengths, self.volume_um3, self.mass_g) < 0:
            raise ValueError(
                f"need {self.name}: expected sides above zero and room of zero or more"
            )
        if self.high_um < self.inside_um[2]:
            raise ValueError(
                f"need {self.name}: expected a height of at least the inside height, the walls and "
                "what is under the case"
            )

    @property
    def high_um(self) -> int:
        """Height inside."""
        return self.height_um - self.under_um - 2 * self.wall_um

    @property
    def least(self) -> tuple[int, int]:
        """Least outer length and width by the inside sides."""
        more = self.front_um + self.behind_um + self.panel_um + 2 * self.wall_um
        return self.inside_um[0] + more, self.inside_um[1] + 2 * self.wall_um

    def inside(self, footprint: Footprint) -> int:
        """Return the volume inside one footprint, less cable and panel room; 0: it does not hold.

        Of both ways round the roomier one counts.
        """
        least_long, least_wide = self.least
        best = 0
        for long, wide in (footprint, footprint[::-1]):
            if long >= least_long and wide >= least_wide:
                room = long - 2 * self.wall_um - self.front_um - self.behind_um - self.panel_um
                best = max(best, room * (wide - 2 * self.wall_um) * self.high_um)
        return best if best >= self.volume_um3 else 0

    def wide_enough(self, side: int) -> int:
        """Return the least other side with which `side` holds what must fit in; 0: none does."""
        found = []
        more = self.front_um + self.behind_um + self.panel_um
        for first, second, along, across in (
            (self.least[0], self.least[1], more, 0),
            (self.least[1], self.least[0], 0, more),
        ):
            if side < first:
                continue
            area = -(-self.volume_um3 // max(1, self.high_um))
            room = side - 2 * self.wall_um - along
            if room <= 0:
                continue
            found.append(max(second, -(-area // room) + 2 * self.wall_um + across))
        return min(found, default=0)


@dataclass(frozen=True, slots=True)
class Night:
    """A show, or a typical one, so many times a year, in these vehicles (each alone)."""

    name: str
    cases: tuple[Case, ...]
    vehicles: tuple[Vehicle, ...]
    times: int = 1


@dataclass(frozen=True, slots=True)
class Change:
    """What becomes of the fleet: cases replaced or sold (None) by code, cases bought.

    What is bought goes on the nights named, or on all of them.
    """

    name: str
    instead: Mapping[str, Case | None] = field(default_factory=dict)
    bought: tuple[Case, ...] = ()
    nights: frozenset[str] = frozenset()
    cost: int | None = None  # of the change itself, once

    def of(self, night: Night) -> tuple[Case, ...]:
        """Return the cases of a night after the change."""
        kept = [self.instead.get(case.code, case) for case in night.cases]
        more = self.bought if not self.nights or night.name in self.nights else ()
        return (*(case for case in kept if case is not None), *more)


@dataclass(frozen=True, slots=True)
class Offer:
    """A vehicle that can be had: how many of it, trips each at most, what it costs.

    `licence`: the class that its driver needs. A trailer of `empty_g` behind a vehicle that may
    tow `tow_limit_g` carries no more than the difference, whatever its own plate allows.
    """

    vehicle: Vehicle
    count: int = 1
    trips: int = 1
    licence: str = ""
    price: VehiclePrice = field(default_factory=VehiclePrice)
    empty_g: int | None = None
    tow_limit_g: int | None = None

    @property
    def room(self) -> Vehicle:
        """Return the vehicle with the payload that towing leaves it."""
        if self.tow_limit_g is None or self.empty_g is None:
            return self.vehicle
        left = max(1, self.tow_limit_g - self.empty_g)
        payload = self.vehicle.payload_g
        return replace(self.vehicle, payload_g=left if payload is None else min(payload, left))


@dataclass(frozen=True, slots=True)
class Drive:
    """How far and how long: `distance` and `hours` one way, as the owner counts them.

    `hours_limit`: driving that one driver may do in a day (11 h by 49 CFR 395.3(a)(3), 9 h by
    Regulation (EC) No 561/2006 Article 6(1)); None: not checked. `licences`: classes held; None:
    not checked.
    """

    days: int = 1
    distance: float = 0.0
    hours: float = 0.0
    drivers: int = 1
    hours_limit: float | None = None
    driver_hour: int | None = None
    licences: frozenset[str] | None = None


@dataclass(frozen=True, slots=True)
class AskBuy:
    """New cases to be bought together, judged by these nights."""

    needs: tuple[Need, ...]
    nights: tuple[Night, ...]
    most: int = 1


@dataclass(frozen=True, slots=True)
class AskHire:
    """A show to be carried by some of these offers; `booked`: ids of vehicles there are already."""

    show: Show
    offers: tuple[Offer, ...]
    drive: Drive = field(default_factory=Drive)
    booked: tuple[str, ...] = ()
    seconds: float = SECONDS


@dataclass(frozen=True, slots=True)
class Asked:
    """The fleet, its vehicles and nights; what is wanted of changes, buying and hiring."""

    cases: tuple[Case, ...]
    vehicles: tuple[Vehicle, ...]
    rules: Rules = field(default_factory=Rules)
    nights: tuple[Night, ...] = ()
    changes: tuple[Change, ...] = ()
    prices: Prices = field(default_factory=Prices)
    buy: AskBuy | None = None
    hire: AskHire | None = None
    timed: tuple[Timed, ...] = ()
