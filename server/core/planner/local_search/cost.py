"""What a sequence of rows costs: its length, and by how much it breaks the rules."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from server.core.base.units import within
from server.core.planner.local_search.pieces import Row, RowMaker
from server.core.planner.problem.support_limits import Window, window_of
from server.core.shop.vehicle import Vehicle

LEAST_FAULT = 0.2  # of a rule broken by ever so little
STEEP = 20.0  # faults for a load that is off by the length, or the mass, of a vehicle


@dataclass(frozen=True, slots=True)
class Cost:
    """Floor length in micrometres, and faults: zero is lawful."""

    length: int
    faults: float


def _over(by: float, of: float) -> float:
    return LEAST_FAULT + STEEP * by / max(1.0, of)


@dataclass
class Evaluation:
    """The cost of rows in each vehicle of a task."""

    maker: RowMaker
    rooms: Sequence[Vehicle] = field(init=False)
    windows: dict[tuple[int, int, int], Window | None] = field(default_factory=dict)
    stood: dict[tuple[int, int, int], Row | None] = field(default_factory=dict)
    kept: list[Row] = field(default_factory=list)  # so that no number of a row is used twice

    def __post_init__(self) -> None:
        """Take the vehicles of the task."""
        self.rooms = self.maker.task.vehicles

    def window(self, index: int, mass_g: int, parts: int) -> Window | None:
        """Return the lawful moments of a load of this mass in a vehicle; None: there are none."""
        key = index, mass_g, parts
        if key not in self.windows:
            self.windows[key] = window_of(self.rooms[index], mass_g, parts)
        return self.windows[key]

    def standing(self, index: int, row: Row, start: int) -> Row | None:
        """Return the row as it stands from `start` on; None: a narrow stretch is in its way."""
        room = self.rooms[index]
        end = start + row.depth
        if not any(start < one.to_um and end > one.from_um for one in room.narrow):
            return row
        key = index, id(row), start
        if key not in self.stood:
            if len(self.stood) > 50_000:
                self.stood.clear()
                self.kept.clear()
            self.kept.append(row)
            self.stood[key] = self.maker.standing_at(room, row, start)
        return self.stood[key]

    def of(self, index: int, rows: Sequence[Row]) -> Cost:
        """Return the cost of the rows of one vehicle, in their order."""
        if not rows:
            return Cost(0, 0.0)
        room = self.rooms[index]
        start = moment = mass = parts = 0
        faults = 0.0
        before = rows[0].hi
        narrow = bool(room.narrow)
        for number, one in enumerate(rows):
            row = one
            if narrow:
                stands = self.standing(index, one, start)
                if stands is None:
                    faults += _over(one.width, room.width_um) / 4
                else:
                    row = stands
            if row.hi > before:
                faults += row.hi - before
            before = min(row.lo, before)
            faults += row.faults
            if row.bulkhead and number:
                faults += row.bulkhead
            if row.door and number != len(rows) - 1:
                faults += row.door
            moment += 2 * row.mass_g * start + row.moment
            start += row.depth
            mass += row.mass_g
            parts += row.parts
        faults += _torn(rows)
        if start > room.length_um:
            faults += _over(start - room.length_um, room.length_um)
        if not within(mass, room.payload_g, parts):
            faults += _over(mass - (room.payload_g or 0), mass)
        if room.axles is not None:
            faults += self._axles(index, (moment, mass, parts), start)
        return Cost(start, faults)

    def _axles(self, index: int, load: tuple[int, int, int], length: int) -> float:
        moment, mass, parts = load
        window = self.window(index, mass, parts)
        if window is None:
            return 2.0 + STEEP * mass / max(1, mass + (self.rooms[index].payload_g or mass))
        miss = off(window, moment)
        return _over(abs(miss) / (2 * max(1, mass)), length) if miss else 0.0


def off(window: Window, moment: int) -> int:
    """Return by how much a moment is below (negative) or above its range."""
    if window.low is not None and moment < window.low:
        return moment - window.low
    if window.high is not None and moment > window.high:
        return moment - window.high
    return 0


def _torn(rows: Sequence[Row]) -> int:
    """Return how many rows stand between the cases of a word that are not of it."""
    found: dict[str, list[int]] = {}
    for number, row in enumerate(rows):
        for word in row.words:
            found.setdefault(word, []).append(number)
    return sum(numbers[-1] - numbers[0] + 1 - len(numbers) for numbers in found.values())


def parted(rooms: Sequence[Sequence[Row]]) -> int:
    """Return how often a word is parted between vehicles."""
    if len(rooms) == 1:
        return 0
    found: dict[str, set[int]] = {}
    for index, rows in enumerate(rooms):
        for row in rows:
            for word in row.words:
                found.setdefault(word, set()).add(index)
    return sum(len(among) - 1 for among in found.values())
