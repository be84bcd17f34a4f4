"""Each stack in six directions: what holds it there, how far that is, and where nothing does.

A stack is held by what it touches (CTU Code: no more than 15 cm open) or by the strap line across
its back, which holds rearward only. Contact counts against tipping where it reaches the height of
the centre of gravity. Walls, bulkhead and door are taken as closed; their strength is the maker's.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Final, Literal

from server.core.base.figure import length_words, mass_words
from server.core.base.units import Units
from server.core.securing.rows import every_row_lined, straps_for_vehicle
from server.core.securing.slack import CTU_VOIDS_UM
from server.core.securing.stacks import HEIGHT_SHARE, Stack, stacks_of
from server.core.securing.straps import EN
from server.core.shop.plan import Row, VehiclePlan
from server.core.shop.show import Show
from server.core.shop.vehicle import Track, Vehicle
from server.core.weight.counted import counted_masses_g

Direction = Literal["forward", "rearward", "left", "right", "up", "tipping"]
DIRECTIONS: Final[tuple[Direction, ...]] = (
    "forward", "rearward", "left", "right", "up", "tipping",
)  # fmt: skip
# Shares of gravity. 49 CFR 393.102(a)(1): forward 0.8, rearward and lateral 0.5 at breaking
# strength; EN 12195-1 the same against sliding and 0.6 sideways against tipping. Up: neither asks
# for a share of its own in a closed body.
ALONG: Final[dict[Direction, float]] = {
    "forward": 0.8,
    "rearward": 0.5,
    "left": 0.5,
    "right": 0.5,
    "up": 0.0,
}
TIPPING_SIDE: Final[dict[str, float]] = {EN: 0.6}
TIPPING_SIDE_US: Final = 0.5
# A line pulls from a slot at least this far ahead of the back of the row; practice, no source.
BITE_UM: Final = 10_000


@dataclass(frozen=True, slots=True)
class Hold:
    """One direction of a stack: the force it asks, what holds it, how far that is, in words."""

    direction: Direction
    force_g: int
    by: str
    gap_um: int | None
    held: bool
    say: str


@dataclass(frozen=True, slots=True)
class StackHold:
    """A stack of a row and what holds it in each of the six directions."""

    row: int
    codes: tuple[str, ...]
    holds: tuple[Hold, ...]

    @property
    def open(self) -> tuple[Hold, ...]:
        """Return the directions in which nothing holds it."""
        return tuple(hold for hold in self.holds if not hold.held)


@dataclass(frozen=True, slots=True)
class _Contact:
    """What faces a stack on one side: its name, how far it is, how high it reaches."""

    name: str
    gap_um: int
    top_um: int
    row: int | None = None

    @property
    def touches(self) -> bool:
        return self.gap_um <= CTU_VOIDS_UM


@dataclass(frozen=True, slots=True)
class _Row:
    number: int
    row: Row
    stacks: tuple[Stack, ...]
    line: bool


def stack_holds(show: Show, loaded: VehiclePlan) -> tuple[StackHold, ...]:
    """Return every stack of a vehicle with what holds it in each direction."""
    vehicle = show.vehicle(loaded.vehicle)
    hold = straps_for_vehicle(show, vehicle, every_row_lined(loaded))
    masses = counted_masses_g(show.cases)
    rows = [
        _Row(row.number, row, stacks_of(row, masses), hold.row(row.number).straps is not None)
        for row in loaded.rows
    ]
    room = _Room(vehicle, rows, show.rules.securing, show.units)
    return tuple(
        StackHold(one.number, stack.codes, tuple(room.holds(one, stack)))
        for one in rows
        for stack in one.stacks
    )


@dataclass(frozen=True, slots=True)
class _Room:
    vehicle: Vehicle
    rows: Sequence[_Row]
    securing: str
    units: Units
    loose: set[int] = field(default_factory=set)  # rows of which a stack is not held forward

    def holds(self, row: _Row, stack: Stack) -> Iterator[Hold]:
        """Yield the six directions of one stack."""
        ahead, behind = self.ahead(stack), self.behind(row, stack)
        left, right = self.beside(row, stack, -1), self.beside(row, stack, 1)
        yield self.forward(row, stack, ahead)
        yield self.rearward(row, stack, behind)
        yield self.by_contact("left", stack, left, "fill what is open beside it")
        yield self.by_contact("right", stack, right, "fill what is open beside it")
        yield Hold(
            "up", 0, "closed body", None, held=True, say="closed body: no share asked upward"
        )
        yield self.tipping(row, stack, (ahead, behind, left, right))

    def forward(self, row: _Row, stack: Stack, ahead: _Contact) -> Hold:
        """Return what holds a stack forward; what is ahead holds only where it is held itself."""
        cure = "straps behind do not hold this: fill or block it"
        found = self.by_contact("forward", stack, ahead, cure)
        if found.held and ahead.row in self.loose:
            say = f"forward: NOT held by this: {ahead.name} ahead is not held itself; {cure}"
            found = replace(found, held=False, say=say)
        if not found.held:
            self.loose.add(row.number)
        return found

    def by_contact(self, way: Direction, stack: Stack, facing: _Contact, cure: str) -> Hold:
        force = round(ALONG[way] * stack.mass_g)
        gap = length_words(max(0, facing.gap_um), self.units)
        pull = mass_words(force, self.units)
        say = f"{way}: {pull} by {facing.name}, {gap} away"
        if not facing.touches:
            say = f"{way}: NOT held by this: {facing.name} is {gap} away; {cure}"
        return Hold(way, force, facing.name, facing.gap_um, held=facing.touches, say=say)

    def rearward(self, row: _Row, stack: Stack, behind: _Contact) -> Hold:
        """Return what holds a stack to the rear: the line that touches it, else what is behind."""
        force = round(ALONG["rearward"] * stack.mass_g)
        end = row.row.start + row.row.depth
        if row.line and end - stack.end <= CTU_VOIDS_UM:
            where, served = self.slot(row)
            say = f"rearward: {mass_words(force, self.units)} by the strap line, {where}"
            return Hold("rearward", force, "strap line", end - stack.end, held=served, say=say)
        if not behind.touches:
            gap = length_words(end - stack.end, self.units)
            say = f"rearward: NOT held by this: {gap} open behind it; fill it up to the line"
            return Hold("rearward", force, "open", end - stack.end, held=False, say=say)
        return self.by_contact("rearward", stack, behind, "")

    def slot(self, row: _Row) -> tuple[str, bool]:
        """Return which slot and height a line takes, and whether the track serves it."""
        track = self.vehicle.track
        if track is None:
            return "track not entered: slot and height are not known", True
        end, lowest = row.row.start + row.row.depth, min(s.height_um for s in row.stacks)
        number = (end - BITE_UM) // track.pitch_um
        height = line_height_um(track, lowest)
        if height is None:
            return "NOT held by this: every track is higher than a stack of the row", False
        if number * track.pitch_um < row.row.start:
            return "NOT held by this: no slot between front and back of the row", False
        at = length_words(number * track.pitch_um, self.units)
        up = length_words(height, self.units)
        return (
            f"slot {number} ({at} from the bulkhead), track {up} up",
            True,
        )

    def tipping(self, row: _Row, stack: Stack, facing: Sequence[_Contact]) -> Hold:
        side = TIPPING_SIDE.get(self.securing, TIPPING_SIDE_US)
        shares = (ALONG["forward"], ALONG["rearward"], side, side)
        bases = (stack.depth_um, stack.depth_um, stack.width_um, stack.width_um)
        loose = []
        for way, share, base, one in zip(DIRECTIONS[:4], shares, bases, facing, strict=True):
            if base / 2 >= share * stack.centre_um:
                continue
            lined = way == "rearward" and row.line and self._line_high(row, stack)
            if not lined and not (one.touches and one.top_um >= stack.centre_um):
                loose.append(way)
        force = round(max(stack.tipping_pull_g(share) for share in shares[:2]))
        if not loose:
            return Hold("tipping", force, "base or contact", None, held=True, say="tipping: held")
        ways = " and ".join(loose)
        say = f"tipping: NOT held by this {ways}: block it up to its centre of gravity, or lash it"
        return Hold("tipping", force, "nothing", None, held=False, say=say)

    def _line_high(self, row: _Row, stack: Stack) -> bool:
        """Return whether the line touches a stack above its centre of gravity."""
        if row.row.start + row.row.depth - stack.end > CTU_VOIDS_UM:
            return False
        track = self.vehicle.track
        if track is None:
            return True
        height = line_height_um(track, min(one.height_um for one in row.stacks))
        return height is not None and height >= stack.centre_um

    def ahead(self, stack: Stack) -> _Contact:
        found = _Contact("the bulkhead", stack.start, self.vehicle.height_um)
        for row in self.rows:
            for other in row.stacks:
                gap = stack.start - other.end
                if other is not stack and other.end <= stack.start and _across(stack, other):
                    found = min(found, _named(row, other, gap), key=_nearest)
        return found

    def behind(self, row: _Row, stack: Stack) -> _Contact:
        room = self.vehicle
        found = _Contact("the door", room.length_um - stack.end, room.height_um)
        for one in self.rows:
            for other in one.stacks:
                if one.number > row.number and _across(stack, other):
                    found = min(found, _named(one, other, other.start - stack.end), key=_nearest)
        return found

    def beside(self, row: _Row, stack: Stack, side: int) -> _Contact:
        room = self.vehicle
        gap = stack.x if side < 0 else room.width_um - stack.x - stack.width_um
        found = _Contact("the wall", gap - self._narrowed(stack), room.height_um)
        for other in row.stacks:
            if other is stack or not _along(stack, other):
                continue
            gap = stack.x - other.x - other.width_um
            gap = gap if side < 0 else other.x - stack.x - stack.width_um
            if gap >= 0:
                found = min(found, _Contact(f"{other.codes[0]} beside it", gap, other.height_um),
                            key=_nearest)  # fmt: skip
        return found

    def _narrowed(self, stack: Stack) -> int:
        """Return by how much a narrow stretch brings the side nearer to a stack in it."""
        return max(
            (
                (self.vehicle.width_um - one.width_um) // 2
                for one in self.vehicle.narrow
                if one.from_um < stack.end and one.to_um > stack.start
                and one.up_to_um >= stack.centre_um
            ),
            default=0,
        )  # fmt: skip


def line_height_um(track: Track, lowest_um: int) -> int | None:
    """Return the height of a line: next to 3/4 of the lowest stack and below its top."""
    usable = [height for height in track.heights_um if height < lowest_um]
    wished = HEIGHT_SHARE * lowest_um
    return min(usable, key=lambda height: (abs(height - wished), height), default=None)


def _named(row: _Row, other: Stack, gap: int) -> _Contact:
    return _Contact(f"row {row.number}", gap, other.height_um, row.number)


def _nearest(one: _Contact) -> tuple[int, int]:
    return one.gap_um, -one.top_um


def _across(one: Stack, other: Stack) -> bool:
    return min(one.x + one.width_um, other.x + other.width_um) > max(one.x, other.x)


def _along(one: Stack, other: Stack) -> bool:
    return min(one.end, other.end) > max(one.start, other.start)
