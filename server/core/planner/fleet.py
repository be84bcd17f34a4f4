"""The fewest vehicles that carry everything, each set of them searched by column generation."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from server.core.planner.construction.vehicle_sets import (
    Attempt,
    all_are_tried,
    greedy_loads,
    sets_of_vehicles,
    too_small,
)
from server.core.planner.construction.wishes import with_wishes
from server.core.planner.improvement.neighbours import with_agreeing_neighbours
from server.core.planner.improvement.reading_order import reading_order
from server.core.planner.improvement.row_order import order_rows
from server.core.planner.problem.deadline import Clock
from server.core.planner.problem.incumbent import Best
from server.core.planner.problem.model import Line, Load, Task, as_loads, length_of
from server.core.planner.problem.zones import zones_of
from server.core.planner.search import FleetSearch

# Seconds: a longer search begins as a shorter one does, so that more time is not worse.
FIRST_PHASE = 1.0
ALONE = 2.5  # times the first phase: a search no longer than that is one phase
RESERVED = 0.2  # of the time is kept to say what to leave, while no plan is in hand

Announce = Callable[[Sequence[Load], int], bool]


@dataclass
class Fleet:
    """Searches sets of vehicles; `announce` is given better loads and says if they are lawful."""

    announce: Announce
    clock: Clock
    first: Sequence[Load] = ()  # a lawful plan in hand

    def fewest(self, task: Task) -> Attempt:
        """Return the best attempt with the fewest vehicles."""
        tried: list[Attempt] = []
        sets = list(sets_of_vehicles(task))
        for count in sorted({len(chosen) for chosen in sets}):
            same = [chosen for chosen in sets if len(chosen) == count]
            share = 0.97 / len(same) if count == len(task.vehicles) else 0.6 / len(same)
            now: list[Attempt] = []
            for chosen in same:
                if tried and self.clock.over():
                    break
                now.append(self.attempt(replace(task, vehicles=chosen), share))
                tried.append(now[-1])
            done = [one for one in now if one.loads is not None]
            if done:
                # A smaller set that failed without proof might still do, and with less floor.
                bound = min(one.bound for one in tried if not one.impossible)
                fewer = tried[: -len(now)]
                return replace(
                    min(done, key=lambda one: one.length),
                    bound=bound,
                    fewer_open=not (
                        all_are_tried(task, count) and all(f.impossible for f in fewer)
                    ),
                )
            if len(now) < len(same):  # no time for the others
                return Attempt(None, 0)
        whole = bool(tried) and count == len(task.vehicles) and tried[-1].impossible
        return Attempt(None, 0, impossible=whole or not sets)

    def attempt(self, task: Task, share: float) -> Attempt:
        """Search the shortest rows for one set of vehicles."""
        if too_small(task):
            return Attempt(None, 0, impossible=True)
        part = self.clock.part(share)
        reserve = RESERVED * part.left()
        search = FleetSearch(
            task,
            part,
            lambda rooms: ordered(rooms, task, part.over),
            lambda best: self._hear(best, task),
        )

        def remaining() -> float:
            return part.left() - (reserve if search.best.rooms is None else 0.0)

        search.clock = Clock(_bounded(FIRST_PHASE, part, remaining))
        loads, left = greedy_loads(task, task.vehicles)
        search.take_first(None if left else [list(load.lines) for load in loads])
        self._begin(search)
        for budget in phases(part.left()):
            search.clock = Clock(_bounded(budget, part, remaining))
            search.run()
            if search.is_closed() or remaining() <= 0:
                break
            for rooms in zone_rows(task, search.clock):
                search.take_first(rooms)
        if search.best.rooms is None:
            longest = sum(vehicle.length_um for vehicle in task.vehicles)
            impossible = search.best.impossible or search.best.bound > longest
            return Attempt(None, search.best.bound, impossible=impossible)
        return Attempt(as_loads(task.vehicles, search.best.rooms), search.best.bound)

    def _begin(self, search: FleetSearch) -> None:
        """Begin with the plan in hand, where these vehicles are those that it uses."""
        rooms = {load.vehicle.id: list(load.lines) for load in self.first if load.lines}
        ids = [vehicle.id for vehicle in search.vehicles]
        if rooms and rooms.keys() <= set(ids):
            search.take_ordered([rooms.get(one, []) for one in ids])

    def _hear(self, best: Best, task: Task) -> bool:
        return self.announce(as_loads(task.vehicles, best.rooms or []), best.bound)


def phases(seconds: float) -> list[float]:
    """Return the budgets of a search one after another."""
    return [seconds] if seconds <= ALONE * FIRST_PHASE else [FIRST_PHASE, seconds - FIRST_PHASE]


def _bounded(budget: float, part: Clock, remaining: Callable[[], float]) -> Callable[[], float]:
    """Return what is left of a budget that begins now, no more than what remains of all."""
    start = part.left()
    return lambda: min(budget - (start - part.left()), remaining())


def ordered(
    rooms: Sequence[Sequence[Line]], task: Task, stop: Callable[[], bool] = lambda: False
) -> list[list[Line]] | None:
    """Return rows in a lawful order in every vehicle, or None."""
    # The search may know cases without their wishes; the order of rows must know them.
    known = [[with_wishes(line, task.cases) for line in lines] for lines in rooms]
    known = [with_agreeing_neighbours(lines) for lines in known]
    found = [
        order_rows(vehicle, lines, stop)
        for vehicle, lines in zip(task.vehicles, known, strict=True)
    ]
    if any(lines is None for lines in found):
        return None
    return [list(lines) for lines in found if lines is not None]


def rest_rows(task: Task, clock: Clock) -> list[list[Line]] | None:
    """Return short rows for a part of the load, in no order yet."""
    search = FleetSearch(task, clock.part(0.2), lambda rooms: _inside(task, rooms), lambda _: True)
    loads, left = greedy_loads(task, task.vehicles)
    search.take_first(None if left else [list(load.lines) for load in loads])
    search.run_columns()
    return search.best.rooms


def _inside(task: Task, rooms: list[list[Line]]) -> list[list[Line]] | None:
    """Return rows that are no longer than their vehicles."""
    fit = all(
        length_of(lines) <= vehicle.length_um
        for vehicle, lines in zip(task.vehicles, rooms, strict=True)
    )
    return rooms if fit else None


def zone_rows(task: Task, clock: Clock) -> Iterator[list[list[Line]]]:
    """Yield rows of a vehicle with one narrow stretch, each row in a zone of one width."""
    vehicle = task.vehicles[0]
    if len(task.vehicles) > 1 or len(vehicle.narrow) != 1:
        return
    whole = rest_rows(replace(task, vehicles=(replace(vehicle, narrow=(), axles=None),)), clock)
    drops = sorted({case.drop for case in task.cases})
    tried = [None] if len(drops) == 1 else _borders(task, (whole or [[]])[0])
    for borders in tried:
        zones = zones_of(vehicle, borders)
        part = replace(task, vehicles=zones)
        search = FleetSearch(
            part, clock.part(0.4 if len(drops) == 1 else 0.2), lambda rooms: rooms, lambda _: True
        )
        search.run_columns()
        if search.best.rooms is not None:
            zoned = [sorted(lines, key=reading_order) for lines in search.best.rooms]
            yield [[line for lines in zoned for line in lines]]


def _borders(task: Task, lines: Sequence[Line]) -> list[tuple[int, int] | None]:
    """Return which drops stand at both ends of the stretch, by rows as if it were not there."""
    (narrow,) = task.vehicles[0].narrow
    first = last = max((case.drop for case in task.cases), default=1)
    start = 0
    for line in sorted(lines, key=reading_order):
        if start <= narrow.from_um:
            first = line.drops[0]
        if start < narrow.to_um:
            last = line.drops[0]
        start += line.depth
    return [(first, last)]
