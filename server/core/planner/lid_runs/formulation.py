"""Every lawful stack in one programme: towers give lids to runs, runs give places to riders.

Which tower stands in which run, and which rider on which of its places, is left open; so there
are few columns however many cases differ. What a run holds is asked of all packings; its mass is
bounded by what its lids bear together. Shorter rows than those of this programme no plan has.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

from server.core.planner.column_generation.covering import OpenDemand
from server.core.planner.column_generation.linear_model import INFINITE, Sheet
from server.core.planner.column_generation.row_problem import Kind, make_problem
from server.core.planner.column_generation.valid_inequalities import tower_cuts
from server.core.planner.lid_runs.run_types import Load
from server.core.planner.stacking.lid_rules import Sides
from server.core.planner.stacking.stack_types import Outline
from server.core.shop.vehicle import Vehicle

Pool = tuple[int, int]  # the drops of a row: one, or two neighbours


@dataclass(frozen=True)
class Lid:
    """What a tower is to a rider: the sides it may show, its height, what it still bears."""

    sides: Sides
    top: int
    spare: int


@dataclass(frozen=True)
class Run:
    """Lids of one height side by side in the rows of a pool, and how many of each shape ride."""

    pool: Pool
    lids: tuple[Lid, ...]
    shapes: tuple[Sides, ...]
    load: Load

    @property
    def spare(self) -> int:
        """What the lids bear together."""
        return sum(lid.spare for lid in self.lids)


@dataclass
class RunDemand(OpenDemand):
    """The programme; `links` are the entries of each column in rows of at least nothing."""

    links: Sequence[Sequence[tuple[int, float]]] = ()
    rows_of_links: int = 0
    runs: dict[int, Run] = field(default_factory=dict)  # by the number of the column
    lids: dict[int, tuple[Pool, Lid]] = field(default_factory=dict)  # towers in runs
    riding: dict[int, tuple[Pool, int, Sides]] = field(default_factory=dict)  # pool, top, shape
    link_rows: list[int] = field(default_factory=list)
    caps: dict[int, int] = field(default_factory=dict)  # how often a run can stand there
    banned: set[int] = field(default_factory=set)  # columns that are of no use

    @property
    def goes_on(self) -> bool:
        """Return whether pricing may go on where it ended: no column banned, none left out."""
        return not self.banned and self.leave is None

    def write_rows(self, sheet: Sheet) -> None:
        """Write the rows of every open demand, and those of the links."""
        super().write_rows(sheet)
        self.link_rows = [sheet.row(0.0, INFINITE) for _ in range(self.rows_of_links)]

    def entries(self, number: int) -> list[tuple[int, float]]:
        """Return the entries of a column."""
        if number in self.banned:
            return []
        links = [(self.link_rows[row], value) for row, value in self.links[number]]
        return super().entries(number) + links

    def number_kinds(self, vehicles: Sequence[Vehicle]) -> None:
        """Give every column that takes floor its kind, and make the row problem of the kinds."""
        numbers: dict[tuple[Outline, int, int, frozenset[int]], int] = {}
        most: dict[int, Counter[object]] = defaultdict(Counter)
        kind_of = []
        for number, bench in enumerate(self.benches):
            if not bench.outline:
                kind_of.append(0)
                continue
            key = bench.outline, bench.lo, bench.hi, bench.rooms
            kind = numbers.setdefault(key, len(numbers))
            kind_of.append(kind)
            if number in self.runs:
                run = self.runs[number]
                most[kind][run.pool, run.lids] = self.caps[number]
            else:
                base = bench.towers[0][0]
                most[kind][base] = self.twins[base].count
        kinds = [
            Kind(outline, lo, hi, rooms, sum(most[index].values()))
            for (outline, lo, hi, rooms), index in numbers.items()
        ]
        self.problem = make_problem(vehicles, kinds)
        self.kind_of = kind_of
        self.cuts = tower_cuts(self.twins, self.benches)


def heavy_places(spare: int, places: int, mark: int) -> int:
    """Return how many riders of a mass or more lids bear together."""
    return min(places, spare // mark)
