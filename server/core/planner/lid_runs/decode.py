"""Chosen runs turned into stacks of real cases: who stands in which run, who rides where."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import islice, pairwise, permutations, product

from server.core.planner.column_generation.decode import set_in_rows
from server.core.planner.column_generation.row_problem import Pattern
from server.core.planner.lid_runs.formulation import Lid, Pool, Run, RunDemand
from server.core.planner.problem.model import Footing, Line, Put, Stack, Task, Way
from server.core.planner.stacking.lid_rules import Box, Sides, flat, shares
from server.core.planner.stacking.placements import (
    Raised,
    Tower,
    footings,
    lids_hold,
    riders_allowed,
    tower_stands,
    towers_put,
    undercut,
    upright,
)
from server.core.planner.stacking.rectangle_packing import TooFine, packings
from server.core.shop.case import Case

MOST_PACKINGS = 60  # tried until lids bear one


@dataclass
class Seat:
    """A run being filled."""

    run: Run | None
    towers: list[Tower] = field(default_factory=list)
    riders: list[Case] = field(default_factory=list)
    free: dict[Sides, int] = field(default_factory=dict)

    def left(self) -> int:
        """Return what its lids still bear."""
        assert self.run is not None
        return self.run.spare - sum(case.mass_g for case in self.riders)


def seat_cases(
    task: Task, demand: RunDemand, rows: Sequence[Pattern], picked: Sequence[int]
) -> tuple[list[list[Line]], list[Case], set[int]]:
    """Return the rows of each vehicle, the cases without a place, the columns that broke a lid."""
    waiting = [list(twins.members) for twins in demand.twins]
    seats = [
        (number, Seat(demand.runs.get(number)))
        for number in picked
        if demand.benches[number].outline
    ]
    _stand_towers(demand, picked, seats, waiting)
    left = _seat_riders(demand, picked, [seat for _, seat in seats if seat.run], waiting)
    left += [case for group in waiting for case in group]
    floors = _floors(demand, rows)
    stacks: dict[int, list[Stack]] = defaultdict(list)
    broken: set[int] = set()
    for number, seat in seats:
        if not seat.towers:
            continue
        kind = demand.kind_of[number]
        floor = floors[kind][len(stacks[kind])]
        stack = _stack(task, seat, floor)
        while stack is None:
            broken.add(number)
            left.append(_give_up(seat))
            stack = _stack(task, seat, floor)
        stacks[kind].append(stack)
    return set_in_rows(demand, rows, stacks), left, broken


def _floors(demand: RunDemand, rows: Sequence[Pattern]) -> dict[int, list[tuple[int, int]]]:
    """Return the floor that each stack of a kind has in its row, row after row."""
    floors: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for pattern in rows:
        for kind, count in pattern.counts:
            slim = demand.problem.kinds[kind].slim(pattern.depth)
            assert slim is not None
            floors[kind] += [slim] * count
    return floors


def _give_up(seat: Seat) -> Case:
    """Take the heaviest rider off, or the highest case of the highest tower."""
    if seat.riders:
        heaviest = max(seat.riders, key=lambda case: (case.mass_g, case.code))
        seat.riders.remove(heaviest)
        return heaviest
    highest = max(range(len(seat.towers)), key=lambda i: len(seat.towers[i]))
    tower = seat.towers[highest]
    seat.towers[highest] = tower[:-1]
    return tower[-1]


def _stand_towers(
    demand: RunDemand,
    picked: Sequence[int],
    seats: Sequence[tuple[int, Seat]],
    waiting: list[list[Case]],
) -> None:
    """Give every bare tower and every lid its cases, the heaviest at the bottom."""
    built = _build_towers(demand, picked, waiting)
    given: dict[tuple[Pool, Lid], list[Tower]] = defaultdict(list)
    for number, towers in built.items():
        if number in demand.lids:
            given[demand.lids[number]] += towers
    for number, seat in seats:
        if seat.run is None:
            seat.towers = [built[number].pop()] if built[number] else []
            continue
        calls = [given[seat.run.pool, lid] for lid in seat.run.lids]
        seat.towers = [towers.pop() for towers in calls if towers]
        seat.free = {s: n for s, n in zip(seat.run.shapes, seat.run.load, strict=True) if n}


def _build_towers(
    demand: RunDemand, picked: Sequence[int], waiting: list[list[Case]]
) -> dict[int, list[Tower]]:
    """Return the towers of each column; one that no case is left for is not built."""
    bottoms: list[tuple[int, Case]] = []
    for number in picked:
        numbers = demand.benches[number].towers
        if numbers and waiting[numbers[0][0]]:
            bottoms.append((number, waiting[numbers[0][0]].pop(0)))

    def tight(one: tuple[int, Case]) -> int:
        """Return what the bottom's lid bears beside the lightest cases that may stand there."""
        number, bottom = one
        upper = demand.benches[number].towers[0][1:]
        return (bottom.lid_load_g or 0) - sum(demand.twins[i].light.mass_g for i in upper)

    built: dict[int, list[Tower]] = defaultdict(list)
    for number, bottom in sorted(bottoms, key=tight):
        upper = demand.benches[number].towers[0][1:]
        built[number].append((bottom, *(waiting[i].pop() for i in upper if waiting[i])))
    return built


def _seat_riders(
    demand: RunDemand, picked: Sequence[int], seats: Sequence[Seat], waiting: list[list[Case]]
) -> list[Case]:
    """Seat riders from the heaviest on, each where lids bear most for every place still free."""
    called = []
    for number in picked:
        if number in demand.riding:
            twins = demand.benches[number].riders[0]
            if waiting[twins]:
                called.append((waiting[twins].pop(), *demand.riding[number]))
    left = []
    for case, pool, top, shape in sorted(called, key=lambda one: (-one[0].mass_g, one[0].code)):
        able = [
            seat
            for seat in seats
            if seat.run is not None
            and seat.run.pool == pool
            and seat.run.lids[0].top == top
            and seat.free.get(shape)
            and seat.left() >= case.mass_g
            and all(case.drop <= tower[-1].drop for tower in seat.towers)
        ]
        if not able:
            left.append(case)
            continue
        best = max(able, key=lambda seat: seat.left() / sum(seat.free.values()))
        best.free[shape] -= 1
        best.riders.append(case)
    return left


def _stack(task: Task, seat: Seat, floor: tuple[int, int]) -> Stack | None:
    """Return the stack on the floor that it has, or None."""
    found = run_footings(task, seat.towers, seat.riders, floor)
    return Stack(found) if found else None


def run_footings(
    task: Task, towers: Sequence[Tower], riders: Sequence[Case], floor: tuple[int, int]
) -> tuple[Footing, ...]:
    """Return footings of towers with riders of which one needs no more than a floor, or none."""
    ranked = sorted(riders, key=lambda case: (-case.length_um * case.width_um, case.code))
    found = footings(task, towers, ranked) if len(towers) <= 2 else ()
    if any(one.width <= floor[0] and one.depth <= floor[1] for one in found):
        return found
    if not all(tower_stands(task, tower) for tower in towers):
        return ()
    if not riders_allowed(task, towers, riders):
        return ()
    for raised in _orders(task, towers):
        wide, deep = sum(ways[0].dx for _, ways in raised), max(ways[0].dy for _, ways in raised)
        if wide <= floor[0] and deep <= floor[1]:
            footing = _set_down(task, raised, ranked, (wide, deep))
            if footing is not None:
                return undercut([*found, footing])
    return ()


def _orders(task: Task, towers: Sequence[Tower]) -> Iterator[tuple[Raised, ...]]:
    seen = set()
    for order in permutations(towers):
        for ways in product(*(upright(task, tower) for tower in order)):
            key = tuple((way[0].dx, way[0].dy) for way in ways)
            if sum(dx for dx, _ in key) <= task.width and key not in seen:
                seen.add(key)
                yield tuple(zip(order, ways, strict=True))


def _set_down(
    task: Task, raised: Sequence[Raised], riders: Sequence[Case], floor: tuple[int, int]
) -> Footing | None:
    """Return the footing of the first packing that the lids bear, heavy riders changing places."""
    tops = {sum(way.dz for way in ways) for _, ways in raised}
    if len(tops) > 1:
        return None
    top = max(tops)
    ceiling = min(task.height, task.rules.lift_top_um or task.height)
    groups: dict[Sides, list[tuple[Case, list[Way]]]] = defaultdict(list)
    for rider in riders:
        ways = [way for way in task.ways(rider) if top + way.dz <= ceiling]
        if not ways:
            return None
        groups[flat(ways)].append((rider, ways))
    lids: Sides = tuple((ways[0].dx, ways[0].dy) for _, ways in raised)
    asked = [(shape, len(group)) for shape, group in groups.items()]
    ordered = [one for group in groups.values() for one in group]
    try:
        for starts in ((), _shared_out(raised, riders, lids)):
            for boxes in islice(packings(lids, asked, starts), MOST_PACKINGS):
                for among in _mixed(ordered, boxes, lids):
                    if lids_hold(raised, [case for case, _ in among], boxes):
                        return _footing(raised, among, boxes, floor, top)
    except TooFine:
        return None
    return None


def _shared_out(raised: Sequence[Raised], riders: Sequence[Case], lids: Sides) -> list[int]:
    """Return where a rider over two lids presses evenly, or as hard as one of them bears."""
    found, edge = set(), 0
    for (one, other), (wide, _) in zip(pairwise(raised), lids, strict=False):
        edge += wide
        for rider in riders:
            first, second = (lid[0][-1].lid_load_g or 0 for lid in (one, other))
            parts = (0.5, first / rider.mass_g, 1 - second / rider.mass_g) if rider.mass_g else ()
            for share in parts:
                if 0 < share < 1:
                    sides = {rider.length_um, rider.width_um}
                    found |= {edge - round(side * share) for side in sides}
    return sorted(found)


def _mixed(
    ordered: Sequence[tuple[Case, list[Way]]], boxes: Sequence[Box], lids: Sides
) -> Iterator[list[tuple[Case, list[Way]]]]:
    """Yield the riders in their order, and with the heavy ones of a shape set on other lids."""
    yield [*ordered]
    for swapped in (1, 2):
        mixed = [*ordered]
        for at in range(len(mixed) - swapped):
            one, other = mixed[at], mixed[at + swapped]
            if flat(one[1]) == flat(other[1]) and shares(boxes[at], lids) != shares(
                boxes[at + swapped], lids
            ):
                mixed[at], mixed[at + swapped] = other, one
                yield [*mixed]


def _footing(
    raised: Sequence[Raised],
    among: Sequence[tuple[Case, list[Way]]],
    boxes: Sequence[Box],
    floor: tuple[int, int],
    top: int,
) -> Footing:
    lids: Sides = tuple((ways[0].dx, ways[0].dy) for _, ways in raised)
    puts = towers_put(raised)
    for (rider, ways), box in zip(among, boxes, strict=True):
        way = min((w for w in ways if (w.dx, w.dy) == box[2:]), key=lambda w: w.dz)
        on = tuple(raised[lid][0][-1].code for lid, _ in shares(box, lids))
        puts.append(Put(rider, way, box[0], box[1], top, on))
    return Footing(*floor, tuple(puts))
