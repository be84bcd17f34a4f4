"""What the planner moves about: cases as lid and rider, stacks, rows, loads; micrometres, grams."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from server.core.shop.case import Case, Stance
from server.core.shop.show import Rules, Show
from server.core.shop.vehicle import Vehicle


@dataclass(frozen=True, slots=True)
class Way:
    """One lawful way for a case to stand: across, along, up."""

    dx: int
    dy: int
    dz: int
    stance: Stance
    turned: bool


@dataclass(frozen=True, slots=True)
class Put:
    """A case inside a stack: its corner counted from the stack's corner, and what carries it."""

    case: Case
    way: Way
    x: int = 0
    y: int = 0
    z: int = 0
    on: tuple[str, ...] = ()

    @property
    def top(self) -> int:
        """Height of the upper edge above the floor."""
        return self.z + self.way.dz


@dataclass(frozen=True, slots=True)
class Footing:
    """One way to set a stack down: the floor it takes and where its cases then are."""

    width: int
    depth: int
    puts: tuple[Put, ...]


@dataclass(frozen=True)
class Stack:
    """A floor case (or neighbours bridged by a rider) with all that rides, in each lawful footing.

    A footing that another undercuts in width and depth is not kept.
    """

    footings: tuple[Footing, ...]

    @cached_property
    def cases(self) -> tuple[Case, ...]:
        """Every case of the stack."""
        return tuple(put.case for put in self.footings[0].puts)

    @cached_property
    def drops(self) -> tuple[int, int]:
        """Earliest and latest drop in the stack."""
        drops = [case.drop for case in self.cases]
        return min(drops), max(drops)

    @cached_property
    def mass_g(self) -> int:
        """Mass of the stack."""
        return sum(case.mass_g for case in self.cases)

    @cached_property
    def top(self) -> int:
        """Height of the highest edge over all footings."""
        return max(put.top for footing in self.footings for put in footing.puts)

    @cached_property
    def tallest(self) -> int:
        """Height of the tallest single case: what the door must let through."""
        return max(put.way.dz for footing in self.footings for put in footing.puts)

    @cached_property
    def near(self) -> str | None:
        """The end of the vehicle that one of the cases is wished at."""
        return next((case.near for case in self.cases if case.near), None)

    @cached_property
    def vehicle(self) -> str | None:
        """The vehicle that one of the cases is wished in."""
        return next((case.vehicle for case in self.cases if case.vehicle), None)

    @cached_property
    def together(self) -> str | None:
        """The word that keeps this stack near others."""
        return next((case.together for case in self.cases if case.together), None)

    @cached_property
    def outline(self) -> tuple[tuple[int, int], ...]:
        """Width and depth of each footing, the key by which rows know a stack."""
        return tuple(sorted((footing.width, footing.depth) for footing in self.footings))

    def fits(self, vehicle: Vehicle) -> bool:
        """Return whether the stack may go in this vehicle at all."""
        return (
            self.vehicle in (None, vehicle.id)
            and self.top <= vehicle.height_um
            and self.tallest <= vehicle.passing_height_um
            and any(
                footing.width <= vehicle.width_um and footing.depth <= vehicle.length_um
                for footing in self.footings
            )
        )

    def footing(self, width: int, depth: int) -> Footing:
        """Return the footing that takes this much floor."""
        return next(one for one in self.footings if (one.width, one.depth) == (width, depth))


@dataclass(frozen=True)
class Standing:
    """A stack in a row, in the footing chosen for it."""

    stack: Stack
    footing: Footing


@dataclass(frozen=True)
class Line:
    """A row before it has a place: stacks in their order from the left wall."""

    standings: tuple[Standing, ...]

    @cached_property
    def width(self) -> int:
        """Floor width that the stacks take."""
        return sum(one.footing.width for one in self.standings)

    @cached_property
    def depth(self) -> int:
        """Depth of the deepest stack."""
        return max(one.footing.depth for one in self.standings)

    @cached_property
    def drops(self) -> tuple[int, int]:
        """Earliest and latest drop in the row."""
        drops = [drop for one in self.standings for drop in one.stack.drops]
        return min(drops), max(drops)

    @cached_property
    def mass_g(self) -> int:
        """Mass of the row."""
        return sum(one.stack.mass_g for one in self.standings)

    @cached_property
    def near(self) -> frozenset[str]:
        """Ends of the vehicle at which this row is wished."""
        return frozenset(case.near for case in self.cases if case.near)

    @cached_property
    def words(self) -> frozenset[str]:
        """Words that tie this row to others."""
        return frozenset(case.together for case in self.cases if case.together)

    @cached_property
    def moment(self) -> int:
        """Twice the sum of mass times distance of each case's middle from the row's line."""
        return sum(
            put.case.mass_g * (2 * put.y + put.way.dy)
            for one in self.standings
            for put in one.footing.puts
        )

    @cached_property
    def cases(self) -> tuple[Case, ...]:
        """Every case of the row."""
        return tuple(case for one in self.standings for case in one.stack.cases)


def length_of(lines: Iterable[Line]) -> int:
    """Return the floor length of rows."""
    return sum(line.depth for line in lines)


@dataclass(frozen=True)
class Load:
    """The rows of one vehicle, from the bulkhead."""

    vehicle: Vehicle
    lines: tuple[Line, ...]

    @cached_property
    def length(self) -> int:
        """Floor length taken."""
        return length_of(self.lines)

    @cached_property
    def mass_g(self) -> int:
        """Mass on board."""
        return sum(line.mass_g for line in self.lines)

    @cached_property
    def parts(self) -> int:
        """Number of cases on board."""
        return sum(len(line.cases) for line in self.lines)


def as_loads(vehicles: Sequence[Vehicle], rooms: Sequence[Sequence[Line]]) -> list[Load]:
    """Return rows as loads of their vehicles."""
    return [Load(vehicle, tuple(lines)) for vehicle, lines in zip(vehicles, rooms, strict=True)]


@dataclass(frozen=True)
class Task:
    """What is to be planned: cases for some vehicles under the house rules."""

    rules: Rules
    vehicles: tuple[Vehicle, ...]
    cases: tuple[Case, ...]
    tied: frozenset[str] = field(default_factory=frozenset)  # codes that must not ride or carry

    @classmethod
    def of(cls, show: Show, vehicles: Sequence[Vehicle] | None = None) -> Task:
        """Return the whole show as one task, or the part for some of its vehicles."""
        return cls(show.rules, tuple(vehicles or show.vehicles), show.cases)

    def only(self, cases: Iterable[Case]) -> Task:
        """Return the same task with other cases."""
        return replace(self, cases=tuple(cases))

    @cached_property
    def named(self) -> frozenset[str]:
        """Codes that rules of other cases name."""
        return frozenset(code for case in self.cases for code in case.named)

    @cached_property
    def height(self) -> int:
        """Room height that every vehicle of the task has."""
        return min(vehicle.height_um for vehicle in self.vehicles)

    @cached_property
    def width(self) -> int:
        """Widest floor of the task."""
        return max(vehicle.width_um for vehicle in self.vehicles)

    @cached_property
    def longest(self) -> int:
        """Longest floor of the task."""
        return max(vehicle.length_um for vehicle in self.vehicles)

    @cached_property
    def _known_ways(self) -> dict[str, tuple[Way, ...]]:
        return {}

    def ways(self, case: Case) -> tuple[Way, ...]:
        """Return each lawful way in which a case may stand in at least one vehicle."""
        if case.code not in self._known_ways:
            self._known_ways[case.code] = self._ways(case)
        return self._known_ways[case.code]

    def _ways(self, case: Case) -> tuple[Way, ...]:
        found: dict[tuple[int, int, int], Way] = {}
        rooms = [v for v in self.vehicles if case.vehicle in (None, v.id)]
        for stance in case.stances:
            for turned in (False, True) if case.turn else (False,):
                way = Way(*case.standing(stance, turned), stance, turned)
                if any(way_fits(way, room) for room in rooms):
                    found.setdefault((way.dx, way.dy, way.dz), way)
        return tuple(found.values())


def way_fits(way: Way, room: Vehicle) -> bool:
    """Return whether a case that stands this way passes the door and fits on the empty floor."""
    return way.dz <= room.passing_height_um and way.dx <= room.width_um and way.dy <= room.length_um


def floor_width(vehicle: Vehicle, start: int, depth: int) -> int:
    """Return the floor width that a row has from `start` on: the narrowest stretch it touches."""
    return min(
        [
            vehicle.width_um,
            *(
                stretch.width_um
                for stretch in vehicle.narrow
                if start < stretch.to_um and start + depth > stretch.from_um
            ),
        ]
    )
