"""What rows must hold: stacks already made, or cases whose stacks are still to be chosen."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from server.core.planner.column_generation.linear_model import INFINITE, Sheet
from server.core.planner.column_generation.row_problem import Kind, Outline, Problem, make_problem
from server.core.planner.column_generation.valid_inequalities import Cut, find_cuts
from server.core.planner.stacking.item_types import Twins
from server.core.planner.stacking.stack_types import BenchType
from server.core.shop.case import Case
from server.core.shop.vehicle import Vehicle


class Demand:
    """Each kind covered as often as it stands there.

    `must` are the rows that a stand-in may meet in fractions, at `stand_in_costs` times a price no
    row can have. `begun`: what an earlier pricing left for the next one.
    """

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.kind_row: list[int] = []
        self.must: list[int] = []
        self.begun: object = None

    @property
    def goes_on(self) -> bool:
        """Return whether what is asked never changes, so that pricing may go on where it ended."""
        return True

    @property
    def leaves(self) -> bool:
        """Return whether some may stay behind."""
        return False

    @property
    def floor_price(self) -> float:
        """Return what a step of floor costs; nothing where only what stays behind counts."""
        return 1.0

    def stand_in_costs(self) -> list[float]:
        """Return the cost of each stand-in beside the others."""
        return [1.0] * len(self.must)

    def write_rows(self, sheet: Sheet) -> None:
        """Write one row a kind."""
        self.kind_row = [sheet.row(float(kind.count), INFINITE) for kind in self.problem.kinds]
        self.must = list(self.kind_row)

    def write_columns(self, sheet: Sheet) -> None:
        """Nothing is to be chosen besides rows."""

    def write_leaving(self, sheet: Sheet, dear: float) -> None:
        """Nothing may stay behind."""


@dataclass(frozen=True)
class Leave:
    """Cases may stay behind: what leaving one of each twins costs, and the mass that must stay."""

    costs: Sequence[float]
    over_g: int = 0


@dataclass
class LeaveEach:
    """Every case by itself may stay behind, at its own cost, and floor costs nothing.

    Of each set in `too_much` something must stay. `columns` are the codes of each column written
    last: cases that cost the same are counted in one where nothing tells them apart.
    """

    costs: Mapping[str, float]
    over_g: int = 0
    too_much: list[frozenset[str]] = field(default_factory=list)
    columns: list[tuple[str, ...]] = field(default_factory=list)


@dataclass
class OpenDemand(Demand):
    """Each case covered once, by stacks that are chosen together with the rows.

    Columns of stacks stand in the order of `benches`; each calls for one unit of its kind.
    """

    problem: Problem
    twins: Sequence[Twins]
    benches: Sequence[BenchType]
    kind_of: Sequence[int]
    cuts: Sequence[Cut] = field(default_factory=tuple)
    leave: Leave | LeaveEach | None = None
    kind_row: list[int] = field(default_factory=list)
    must: list[int] = field(default_factory=list)
    begun: object = None
    columns: list[int] = field(default_factory=list)

    def write_rows(self, sheet: Sheet) -> None:
        """Write rows of kinds, of twins to be covered, of twins that bear, and the cuts."""
        self.kind_row = [sheet.row(0.0, INFINITE) for _ in self.problem.kinds]
        self.must = [sheet.row(float(one.count), INFINITE) for one in self.twins]
        self.bear = [sheet.row(-INFINITE, float(one.count)) for one in self.twins]
        self.cut_rows = [sheet.row(float(cut.least), INFINITE) for cut in self.cuts]

    @property
    def goes_on(self) -> bool:
        """Return whether what is asked never changes: stacks may be banned, costs may change."""
        return False

    @property
    def leaves(self) -> bool:
        """Return whether some may stay behind."""
        return self.leave is not None

    @property
    def floor_price(self) -> float:
        """Return what a step of floor costs; nothing where only what stays behind counts."""
        return 0.0 if isinstance(self.leave, LeaveEach) else 1.0

    def stand_in_costs(self) -> list[float]:
        """Return what it costs to leave one of each twins."""
        if isinstance(self.leave, Leave):
            return list(self.leave.costs)
        return [1.0] * len(self.must)

    def write_leaving(self, sheet: Sheet, dear: float) -> None:
        """Write a column for leaving each twins, or each case, behind, last of all columns."""
        if isinstance(self.leave, LeaveEach):
            self._write_each(sheet, self.leave)
        if not isinstance(self.leave, Leave):
            return
        payload = sheet.row(self.leave.over_g / 1000, INFINITE)
        for row, cost, twins in zip(self.must, self.leave.costs, self.twins, strict=True):
            entries = [(row, 1.0), (payload, twins.heavy.mass_g / 1000)]
            sheet.column(dear * cost, entries, float(twins.count))

    def _write_each(self, sheet: Sheet, leave: LeaveEach) -> None:
        payload = sheet.row(leave.over_g / 1000, INFINITE)
        rows = [(sheet.row(1.0, INFINITE), codes) for codes in leave.too_much]
        leave.columns = []
        for must, twins in zip(self.must, self.twins, strict=True):
            alike: dict[object, list[Case]] = defaultdict(list)
            for case in twins.members:
                mass = case.mass_g if leave.over_g else 0
                alike[leave.costs[case.code], mass, case.code if rows else ""].append(case)
            for cases in alike.values():
                entries = [(must, 1.0), (payload, cases[0].mass_g / 1000)]
                entries += [(row, 1.0) for row, codes in rows if cases[0].code in codes]
                sheet.column(leave.costs[cases[0].code], entries, float(len(cases)))
                leave.columns.append(tuple(case.code for case in cases))

    def entries(self, number: int) -> list[tuple[int, float]]:
        """Return the entries of a stack's column."""
        bench = self.benches[number]
        # What rides in a bound without saying where takes no floor.
        found = [(self.kind_row[self.kind_of[number]], -1.0)] if bench.outline else []
        found += [(self.must[i], float(n)) for i, n in bench.uses.items()]
        found += [(self.bear[i], float(n)) for i, n in bench.bearing.items()]
        found += [
            (row, float(n))
            for row, cut in zip(self.cut_rows, self.cuts, strict=True)
            if (n := cut.entry(bench))
        ]
        return found

    def write_columns(self, sheet: Sheet) -> None:
        """Write a column a stack, free of cost: the floor is paid by rows."""
        self.columns = [
            sheet.column(0.0, self.entries(number), INFINITE) for number in range(len(self.benches))
        ]


def open_demand(
    vehicles: Sequence[Vehicle], twins: Sequence[Twins], benches: Sequence[BenchType]
) -> OpenDemand:
    """Return the demand of cases over a list of stacks, with the row problem that goes with it."""
    numbers: dict[tuple[Outline, int, int, frozenset[int]], int] = {}
    mean = [sum(case.mass_g for case in one.members) // one.count for one in twins]
    bases: dict[int, Counter[int]] = defaultdict(Counter)
    kind_of = []
    for bench in benches:
        key = bench.outline, bench.lo, bench.hi, bench.rooms
        kind = numbers.setdefault(key, len(numbers))
        kind_of.append(kind)
        for twin, count in Counter(tower[0] for tower in bench.towers).items():
            bases[kind][twin] = max(bases[kind][twin], count)
    most = [sum(twins[i].count for i in bases[kind]) for kind in range(len(numbers))]
    masses: dict[int, list[int]] = defaultdict(list)
    for bench, kind in zip(benches, kind_of, strict=True):
        masses[kind].append(sum(mean[i] * n for i, n in bench.uses.items()))
    kinds = [
        Kind(outline, lo, hi, rooms, most[index], sum(masses[index]) // len(masses[index]))
        for (outline, lo, hi, rooms), index in numbers.items()
    ]
    problem = make_problem(vehicles, kinds)
    return OpenDemand(problem, twins, benches, kind_of, find_cuts(twins, benches))
