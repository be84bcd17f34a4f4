"""Balance front to rear: rows exchanged inside what the rules allow, until it is good enough.

Where the vehicle's axles are known, they are evened out; else the load's centre should stand in the
middle of the floor that it takes (common practice, no source). No row is changed, so the floor
length stays what it is. Equal rows stay together as long as that will do.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby, permutations, product
from math import factorial, prod

from server.core.planner.improvement.violation import broken
from server.core.planner.problem.model import Line, Load, length_of
from server.core.shop.vehicle import Axles

EVEN = 0.05  # of their limits by which two axles may differ
CENTRE = 0.02  # of the load's length by which its centre may be off the middle
MOST_ORDERS = 5_040  # gone through one by one where exchanges alone do not do
MOST_MOVES = 60


@dataclass(frozen=True)
class Aim:
    """Where the moment about the bulkhead should be, and how far off is good enough; doubled."""

    moment: float
    slop: float

    def miss(self, moment: float) -> float:
        """Return how far off a moment is."""
        return abs(moment - self.moment)


@dataclass(frozen=True)
class Unit:
    """Rows that stay together in their order."""

    lines: tuple[Line, ...]

    @property
    def mass_g(self) -> int:
        """Mass of the rows."""
        return sum(line.mass_g for line in self.lines)

    @property
    def depth(self) -> int:
        """Floor length of the rows."""
        return length_of(self.lines)


Block = list[Unit]  # units that may change places


def moment_of(lines: Sequence[Line]) -> int:
    """Return twice the moment of rows about the bulkhead, in gram micrometres."""
    start, moment = 0, 0
    for line in lines:
        moment += 2 * line.mass_g * start + line.moment
        start += line.depth
    return moment


def aim_of(load: Load) -> Aim | None:
    """Return where the load's moment should be; None for a load without mass."""
    mass, axles = load.mass_g, load.vehicle.axles
    if not mass:
        return None
    if axles is not None:
        found = _share_aim(axles, mass) or _limit_aim(axles, mass)
        if found is not None:
            return found
    return Aim(mass * load.length, 2 * mass * CENTRE * load.length)


def _share_aim(axles: Axles, mass: int) -> Aim | None:
    """The middle of the range for the front share of the gross mass, within a quarter of it."""
    low, high = axles.least_share, axles.most_share
    if low is None or high is None:
        return None
    gross = axles.empty_front_g + axles.empty_rear_g + mass
    rear = gross * (1 - (low + high) / 2) - axles.empty_rear_g
    return _aim(axles, mass, rear, gross * (high - low) / 4)


def _limit_aim(axles: Axles, mass: int) -> Aim | None:
    """Front and rear at the same share of their limits."""
    front_limit, rear_limit = axles.front_limit_g, axles.rear_limit_g
    if not front_limit or not rear_limit:
        return None
    both = front_limit + rear_limit
    rear = (rear_limit * (axles.empty_front_g + mass) - front_limit * axles.empty_rear_g) / both
    return _aim(axles, mass, rear, EVEN * front_limit * rear_limit / both)


def _aim(axles: Axles, mass: int, rear: float, slop: float) -> Aim:
    """Return the moment that puts so much of the load on the rear support."""
    span = axles.rear_at_um - axles.front_at_um
    return Aim(2 * (rear * span + mass * axles.front_at_um), 2 * slop * span)


def even_out(load: Load) -> Load:
    """Return the same rows in an order that balances the load, as near to theirs as will do."""
    aim = aim_of(load)
    if aim is None or len(load.lines) < 2 or aim.miss(moment_of(load.lines)) <= aim.slop:
        return load
    least = max(0.0, broken(load))
    grouped = _exchanged(load, blocks_of(load.lines, together=True), aim, least)
    if aim.miss(moment_of(grouped.lines)) <= aim.slop:
        return grouped
    single = blocks_of(grouped.lines, together=False)
    finer = _exchanged(load, single, aim, least)
    if aim.miss(moment_of(finer.lines)) > aim.slop:
        finer = _best_of_all(finer, single, aim, least)
    gain = aim.miss(moment_of(grouped.lines)) - aim.miss(moment_of(finer.lines))
    return finer if gain > aim.slop / 2 else grouped


def blocks_of(lines: Sequence[Line], *, together: bool) -> list[Block]:
    """Return rows as units, in blocks of the same drops inside which they may change places."""
    units: list[Unit] = []
    start = 0
    while start < len(lines):
        end = _end_of_words(lines, start)
        units.append(Unit(tuple(lines[start:end])))
        start = end
    found = []
    for key, block in groupby(enumerate(units), key=lambda one: _block_key(*one)):
        among = [unit for _, unit in block]
        found.append(_of_equals(among) if together and len(key) == 2 else among)
    return found


def _end_of_words(lines: Sequence[Line], start: int) -> int:
    """Return where the rows end that words tie to the row at `start`."""
    end = start + 1
    index = start
    while index < end:
        for other in range(len(lines) - 1, end - 1, -1):
            if lines[index].words & lines[other].words:
                end = other + 1
                break
        index += 1
    return end


def _block_key(number: int, unit: Unit) -> tuple[int, ...]:
    """Return the drops of a unit; one that must stay where it is has a key of its own."""
    drops = {line.drops for line in unit.lines}
    fixed = len(drops) > 1 or any(line.near for line in unit.lines)
    return (number,) if fixed else unit.lines[0].drops


def _of_equals(block: Block) -> Block:
    """Return units of equal rows joined, each where its first row stood."""
    groups: dict[object, list[Line]] = {}
    for number, unit in enumerate(block):
        tied = any(line.words for line in unit.lines)
        groups.setdefault(number if tied else look(unit.lines[0]), []).extend(unit.lines)
    return [Unit(tuple(lines)) for lines in groups.values()]


def look(line: Line) -> tuple[object, ...]:
    """Return what makes two rows the same to a reader: the names and sides of their cases."""
    return tuple(sorted((c.name, c.length_um, c.width_um, c.height_um) for c in line.cases))


def _put_together(load: Load, blocks: Sequence[Block]) -> Load:
    lines = tuple(line for block in blocks for unit in block for line in unit.lines)
    return replace(load, lines=lines)


def _exchanged(load: Load, blocks: list[Block], aim: Aim, least: float) -> Load:
    """Move one unit after the other to where it helps most, over as few rows as will do."""
    now = _put_together(load, blocks)
    moment = moment_of(now.lines)
    if broken(now) > least:
        return load
    heavy_last = moment < aim.moment
    far = _put_together(load, [_by_mass(block, heavy_last=heavy_last) for block in blocks])
    furthest = moment_of(far.lines)
    beyond = (furthest < aim.moment) == heavy_last and aim.miss(furthest) > aim.slop
    if beyond and broken(far) <= least:
        return far  # no order reaches it: this one, from light to heavy or back, comes nearest
    for _ in range(MOST_MOVES):
        miss = aim.miss(moment)
        if miss <= aim.slop:
            break
        moves = [one for one in _moves(blocks, moment, aim) if one[0] < miss * (1 - 1e-9)]
        for _, _, b, i, j, gain in sorted(moves):
            blocks[b].insert(j, blocks[b].pop(i))
            tried = _put_together(load, blocks)
            if broken(tried) <= least:
                now, moment = tried, moment + gain
                break
            blocks[b].insert(i, blocks[b].pop(j))
        else:
            break
    return now


def _by_mass(block: Block, *, heavy_last: bool) -> Block:
    """Return the order of a block whose moment is the largest, or the least, of all its orders."""
    return sorted(block, key=lambda unit: unit.mass_g / unit.depth, reverse=not heavy_last)


def _moves(
    blocks: Sequence[Block], moment: int, aim: Aim
) -> Iterator[tuple[float, int, int, int, int, int]]:
    """Yield each move of a unit inside its block: miss, rows passed, block, from, to, gain."""
    for b, block in enumerate(blocks):
        masses, depths = [u.mass_g for u in block], [u.depth for u in block]
        rows = [len(unit.lines) for unit in block]
        for i in range(len(block)):
            for step in (1, -1):
                mass = depth = passed = 0
                for j in range(i + step, len(block) if step > 0 else -1, step):
                    mass, depth, passed = mass + masses[j], depth + depths[j], passed + rows[j]
                    gain = 2 * step * (masses[i] * depth - mass * depths[i])
                    miss = max(aim.slop, aim.miss(moment + gain))
                    yield miss, passed * rows[i], b, i, j, gain


def _best_of_all(load: Load, blocks: Sequence[Block], aim: Aim, least: float) -> Load:
    """Return the best of every order, where there are few."""
    if prod(factorial(min(len(block), 9)) for block in blocks) > MOST_ORDERS:
        return load
    best = load
    for orders in product(*(permutations(block) for block in blocks)):
        tried = _put_together(load, [list(order) for order in orders])
        better = aim.miss(moment_of(tried.lines)) < aim.miss(moment_of(best.lines)) * (1 - 1e-9)
        if better and broken(tried) <= least:
            best = tried
    return best
