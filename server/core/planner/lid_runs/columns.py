"""The columns of the programme of runs: runs worth listing, and what each is linked to."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations_with_replacement

from server.core.planner.bounds.area_relaxation import LOOSE_WORK, free_of_limits, loosened
from server.core.planner.bounds.surrogate_cuts import AREA_UNIT, lowest_height
from server.core.planner.column_generation.row_problem import make_problem
from server.core.planner.column_generation.valid_inequalities import BLUR_G, SHARES, spare_of
from server.core.planner.lid_runs.formulation import Lid, Pool, Run, RunDemand, heavy_places
from server.core.planner.lid_runs.run_types import Load, Runs
from server.core.planner.problem.model import Task
from server.core.planner.stacking.item_types import Twins, find_twins
from server.core.planner.stacking.lid_rules import Sides, may_ride, takes_riders
from server.core.planner.stacking.stack_enumeration import BenchFinder
from server.core.planner.stacking.stack_types import BenchType, Outline
from server.core.planner.stacking.tower_enumeration import TooMany

RUN_WORK = 120_000  # questions whether a load fits on a run
MOST_RUNS = 30_000


def run_demand(task: Task, stop: Callable[[], bool]) -> RunDemand | None:
    """Return the programme; None where riders may stand on riders, or casters on them.

    Raises TooMany when there are too many runs to list, or `stop` says that time is up.
    """
    plain = loosened(task)
    if free_of_limits(plain):
        return None
    riders = [case for case in plain.cases if may_ride(case, task.rules)]
    hosts = [case for case in plain.cases if not may_ride(case, task.rules)]
    twins = [
        *find_twins(plain.only(hosts), fine=False, piling=plain),
        *find_twins(plain.only(riders), fine=False, by_mass=True),
    ]
    finder = BenchFinder(plain, twins, lambda one: one.light)
    towers = finder.bare_towers(LOOSE_WORK)
    if _piled(plain, finder, towers):
        return None
    return _Writer(plain, twins, finder, towers, stop).demand()


def _piled(task: Task, finder: BenchFinder, towers: Sequence[BenchType]) -> bool:
    """Return whether a rider may stand on a rider that itself rides."""
    tops = [_top(finder, tower) for tower in towers if _takes(finder, tower)]
    sizes = [lowest_height(task, finder.cases[i]) for i in finder.riders]
    lids = [finder.cases[i].height_um for i in finder.riders if takes_riders(finder.cases[i])]
    if not (tops and sizes and lids):
        return False
    return min(tops) + min(lids) + min(sizes) <= finder.ceiling


def _takes(finder: BenchFinder, tower: BenchType) -> bool:
    return takes_riders(finder.cases[tower.towers[0][-1]])


def _top(finder: BenchFinder, tower: BenchType) -> int:
    return sum(finder.cases[i].height_um for i in tower.towers[0])


def _within(lo: int, hi: int, pool: Pool) -> bool:
    return pool[0] <= lo and hi <= pool[1]


@dataclass
class _Level:
    """Lids of one height and the riders that they may take, in one pool."""

    pool: Pool
    lids: Counter[Lid]
    shapes: dict[Sides, list[int]]  # masses of the riders of a shape, from the lightest


@dataclass
class _Writer:
    task: Task
    twins: Sequence[Twins]
    finder: BenchFinder
    towers: Sequence[BenchType]
    stop: Callable[[], bool]
    benches: list[BenchType] = field(default_factory=list)
    links: list[list[tuple[int, float]]] = field(default_factory=list)
    rows: int = 0

    def demand(self) -> RunDemand:
        """Write every column."""
        self.work = Runs(self.task.width, RUN_WORK, self.stop)
        self.found = RunDemand(make_problem((), ()), self.twins, (), ())
        for tower in self.towers:
            self._column(tower)
        drops = sorted({case.drop for case in self.task.cases})
        pools = [(d, d) for d in drops] + [(d, d + 1) for d in drops if d + 1 in drops]
        for pool in pools:
            tops = {_top(self.finder, t) for t in self.towers if _takes(self.finder, t)}
            for top in sorted(tops):
                self._write_level(pool, top)
        self.found.benches, self.found.links = self.benches, self.links
        self.found.rows_of_links = self.rows
        self.found.number_kinds(self.task.vehicles)
        return self.found

    def _column(self, bench: BenchType, links: Sequence[tuple[int, float]] = ()) -> int:
        self.benches.append(replace(bench, label=len(self.benches)))
        self.links.append([*links])
        return len(self.benches) - 1

    def _row(self) -> int:
        self.rows += 1
        return self.rows - 1

    def _write_level(self, pool: Pool, top: int) -> None:
        """Write the runs, the towers and the riders of one height in one pool."""
        able = [
            (tower, self._lid(tower, top))
            for tower in self.towers
            if _within(tower.lo, tower.hi, pool)
            and _takes(self.finder, tower)
            and _top(self.finder, tower) == top
            and self.finder.cases[tower.towers[0][-1]].code not in self.task.tied
        ]
        riders = [
            (i, self.finder.flat(i, top))
            for i in self.finder.riders
            if _within(self.twins[i].drop, self.twins[i].drop, pool)
        ]
        riders = [(i, shape) for i, shape in riders if shape]
        lids: Counter[Lid] = Counter()
        for tower, lid in able:
            if lid.sides:
                lids[lid] += self.twins[tower.towers[0][0]].count
        shapes: dict[Sides, list[int]] = defaultdict(list)
        for i, shape in riders:
            shapes[shape] += [case.mass_g for case in self.twins[i].members]
        for masses in shapes.values():
            masses.sort()
        level = _Level(pool, lids, dict(sorted(shapes.items())))
        runs = list(self._runs(level))
        if not runs:
            return
        self._write_runs(level, runs)
        self._write_givers(level, able, riders, top)

    def _lid(self, tower: BenchType, top: int) -> Lid:
        numbers = tower.towers[0]
        return Lid(
            tuple(sorted(self.finder.sides(numbers))), top, spare_of(numbers, self.twins) + BLUR_G
        )

    def _runs(self, level: _Level) -> Iterator[tuple[Run, Outline]]:
        """Yield each run with a load that is worth a column."""
        shapes = tuple(level.shapes)
        if not shapes or not level.lids:
            return
        slim = min(dx for lid in level.lids for dx, _ in lid.sides)
        ranked = sorted(level.lids, key=lambda lid: (lid.sides, lid.spare))
        for number in range(1, self.task.width // slim + 1):
            for lids in combinations_with_replacement(ranked, number):
                need = Counter(lids)
                if any(level.lids[lid] < n for lid, n in need.items()):
                    continue
                if sum(min(dx for dx, _ in lid.sides) for lid in lids) <= self.task.width:
                    yield from self._loads(level, lids, shapes)

    def _loads(
        self, level: _Level, lids: tuple[Lid, ...], shapes: tuple[Sides, ...]
    ) -> Iterator[tuple[Run, Outline]]:
        sides = tuple(lid.sides for lid in lids)
        most = self._most(level, lids, shapes)
        found = self.work.loads(sides, shapes, most)
        for load, outline in found.items():
            run = Run(level.pool, lids, shapes, load)
            if not any(load) or not self._bears(level, lids, load):
                continue
            larger = (
                (*load[:i], load[i] + 1, *load[i + 1 :])
                for i in range(len(load))
                if load[i] < most[i]
            )
            if any(
                found.get(more) == outline and self._bears(level, lids, more) for more in larger
            ):
                continue
            if len(lids) == 1 or not self._falls_apart(level, run, sides, most):
                yield run, outline

    def _most(self, level: _Level, lids: tuple[Lid, ...], shapes: tuple[Sides, ...]) -> Load:
        """Return how many riders of each shape there are, no more than lids have area for."""
        area = self.task.width * max(max(dx, dy) for lid in lids for dx, dy in lid.sides)
        return tuple(
            min(len(level.shapes[shape]), area // min(dx * dy for dx, dy in shape))
            for shape in shapes
        )

    def _bears(self, level: _Level, lids: Sequence[Lid], load: Load) -> bool:
        """Return whether lids bear the lightest riders of a load."""
        light = sum(sum(masses[:n]) for masses, n in zip(level.shapes.values(), load, strict=True))
        return light <= sum(lid.spare for lid in lids)

    def _falls_apart(self, level: _Level, run: Run, sides: tuple[Sides, ...], most: Load) -> bool:
        """Return whether two runs do all that this one does, heavy riders included."""
        marks = self._marks(level)
        whole = [heavy_places(run.spare, sum(run.load), mark) for mark in marks]
        for first, part in self.work.parts(sides, run.shapes, most, run.load):
            rest = tuple(b - a for a, b in zip(part, run.load, strict=True))
            one = [run.lids[i] for i in first]
            other = [lid for i, lid in enumerate(run.lids) if i not in first]
            if not (self._bears(level, one, part) and self._bears(level, other, rest)):
                continue
            halves = [
                sum(
                    heavy_places(sum(lid.spare for lid in among), sum(some), mark)
                    for among, some in ((one, part), (other, rest))
                )
                for mark in marks
            ]
            if all(half >= full for half, full in zip(halves, whole, strict=True)):
                return True
        return False

    def _marks(self, level: _Level) -> list[int]:
        """Return the masses from which on fewer riders fit on some lid."""
        masses = sorted({mass for some in level.shapes.values() for mass in some})
        steps = {lid.spare // share for lid in level.lids for share in SHARES}
        found = {next((mass for mass in masses if mass > step), 0) for step in steps}
        return sorted(found - {0})

    def _write_runs(self, level: _Level, runs: Sequence[tuple[Run, Outline]]) -> None:
        lid_rows = {lid: (self._row(), self._row()) for lid in level.lids}
        shape_rows = {shape: self._row() for shape in level.shapes}
        marks = {mark: self._row() for mark in self._marks(level)}
        mass_row = self._row()
        self.level_rows = lid_rows, shape_rows, marks, mass_row
        # What comes off first carries nothing that comes off later: later riders in a row of two
        # drops take no more area than the later lids have, and weigh no more than those bear.
        self.late_rows = (self._row(), self._row()) if level.pool[0] < level.pool[1] else None
        for run, outline in runs:
            links: list[tuple[int, float]] = []
            for lid, n in Counter(run.lids).items():
                # As many towers as lids: no more, no fewer.
                links += [(lid_rows[lid][0], float(n)), (lid_rows[lid][1], -float(n))]
            links += [
                (shape_rows[shape], float(n))
                for shape, n in zip(run.shapes, run.load, strict=True)
                if n
            ]
            links += [
                (row, float(heavy_places(run.spare, sum(run.load), mark)))
                for mark, row in marks.items()
            ]
            links.append((mass_row, run.spare / 1000))
            rooms = self._rooms(run, outline)
            number = self._column(BenchType((), (), outline, *run.pool, rooms), links)
            self.found.runs[number] = run
            self.found.caps[number] = min(
                level.lids[lid] // n for lid, n in Counter(run.lids).items()
            )
            if len(self.benches) > MOST_RUNS:
                raise TooMany

    def _rooms(self, run: Run, outline: Outline) -> frozenset[int]:
        return frozenset(
            index
            for index, room in enumerate(self.task.vehicles)
            if run.lids[0].top <= room.height_um
            and any(w <= room.width_um and d <= room.length_um for w, d in outline)
        )

    def _write_givers(
        self,
        level: _Level,
        able: Sequence[tuple[BenchType, Lid]],
        riders: Sequence[tuple[int, Sides]],
        top: int,
    ) -> None:
        lid_rows, shape_rows, marks, mass_row = self.level_rows
        for tower, lid in able:
            if lid in lid_rows:
                bench = replace(tower, outline=(), lo=level.pool[0], hi=level.pool[1])
                more, fewer = lid_rows[lid]
                links = [(more, -1.0), (fewer, 1.0)]
                if self.late_rows and tower.lo == level.pool[1]:
                    area = max(dx * dy for dx, dy in lid.sides) // AREA_UNIT + 1
                    links += zip(self.late_rows, (float(area), lid.spare / 1000), strict=True)
                number = self._column(bench, links)
                self.found.lids[number] = level.pool, lid
        for i, shape in riders:
            mass = self.twins[i].heavy.mass_g
            links = [(shape_rows[shape], -1.0), (mass_row, -mass / 1000)]
            links += [(row, -1.0) for mark, row in marks.items() if mass >= mark]
            if self.late_rows and self.twins[i].drop == level.pool[1]:
                area = min(dx * dy for dx, dy in shape) // AREA_UNIT
                links += zip(self.late_rows, (-float(area), -mass / 1000), strict=True)
            bench = BenchType((), (i,), (), *level.pool, frozenset())
            self.found.riding[self._column(bench, links)] = level.pool, top, shape
