"""What rows must hold: stacks already made, or cases whose stacks are still to be chosen."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

from server.core.planner.bands import Kind, Outline, Problem, make_problem
from server.core.planner.bench_types import BenchType
from server.core.planner.cuts import Cut, find_cuts
from server.core.planner.sheet import INFINITE, Sheet
from server.core.planner.twins import Twins
from server.core.vehicle import Vehicle


class Demand:
    """Each kind covered as often as it stands there.

    `must` are the rows that a stand-in may meet in fractions, at `stand_in_costs` times a price no
    row can have.
    """

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.kind_row: list[int] = []
        self.must: list[int] = []

    @property
    def leaves(self) -> bool:
        """Return whether some may stay behind."""
        return False

    def stand_in_costs(self) -> list[float]:
        """Return the cost of each stand-in beside the others."""
        return [1.0] * len(self.must)

    def write_rows(self, sheet: Sheet) -> None:
        """Write one row a kind."""
        self.kind_row = [sheet.row(float(kind.count), INFINITE) for kind in self.problem.kinds]
        self.must = list(self.kind_row)

    def write_columns(self, sheet: Sheet) -> None:
        """Nothing is to be chosen besides rows."""


@dataclass(frozen=True)
class Leave:
    """Cases may stay behind: what leaving one of each twins costs, and the mass that must stay."""

    costs: Sequence[float]
    over_g: int = 0


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
    leave: Leave | None = None
    kind_row: list[int] = field(default_factory=list)
    must: list[int] = field(default_factory=list)
    columns: list[int] = field(default_factory=list)

    def write_rows(self, sheet: Sheet) -> None:
        """Write rows of kinds, of twins to be covered, of twins that bear, and the cuts."""
        self.kind_row = [sheet.row(0.0, INFINITE) for _ in self.problem.kinds]
        self.must = [sheet.row(float(one.count), INFINITE) for one in self.twins]
        self.bear = [sheet.row(-INFINITE, float(one.count)) for one in self.twins]
        self.cut_rows = [sheet.row(float(cut.least), INFINITE) for cut in self.cuts]

    @property
    def leaves(self) -> bool:
        """Return whether some may stay behind."""
        return self.leave is not None

    def stand_in_costs(self) -> list[float]:
        """Return what it costs to leave one of each twins."""
        return [1.0] * len(self.must) if self.leave is None else list(self.leave.costs)

    def write_leaving(self, sheet: Sheet, dear: float) -> None:
        """Write a column for leaving each twins behind, last of all columns."""
        if self.leave is None:
            return
        payload = sheet.row(self.leave.over_g / 1000, INFINITE)
        for row, cost, twins in zip(self.must, self.leave.costs, self.twins, strict=True):
            entries = [(row, 1.0), (payload, twins.heavy.mass_g / 1000)]
            sheet.column(dear * cost, entries, float(twins.count))

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
