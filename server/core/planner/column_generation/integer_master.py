"""Whole rows: an integer master over priced patterns, then over all that could still improve."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import highspy

from server.core.planner.column_generation.covering import Demand, OpenDemand
from server.core.planner.column_generation.linear_model import INFINITE, Sheet, quiet_model
from server.core.planner.column_generation.pricing import Pricer
from server.core.planner.column_generation.restricted_master import Priced, price_of_leaving
from server.core.planner.column_generation.row_problem import Pattern, Problem
from server.core.planner.problem import deadline

MOST_ROWS = 10_000.0

Stop = Callable[[], bool]


@dataclass(frozen=True)
class Chosen:
    """Rows (and stacks, by their number) picked; `closed`: of those given none are shorter.

    `least`: no choice of those given is shorter, in steps.
    """

    rows: tuple[Pattern, ...] | None
    stacks: tuple[int, ...]
    closed: bool
    least: float = 0.0
    left: tuple[int, ...] = ()  # how many stay behind, by the columns of leaving

    @property
    def length(self) -> int:
        """Sum of depths."""
        return sum(pattern.depth for pattern in self.rows or ())


def choose_rows(
    problem: Problem,
    demand: Demand,
    patterns: Sequence[Pattern],
    *,
    seconds: float,
    bound: float = 0.0,
    keep: Sequence[int] | None = None,
    start: Chosen | None = None,
    proof: float = INFINITE,
    gap: float = 0.999,
    stop: Stop | None = None,
) -> Chosen:
    """Pick whole rows of least total depth.

    `bound` (in steps) ends the search as soon as it is met; `keep` lists the stacks that may be
    picked, where stacks are open; `start` is a choice to begin from, all of it among those given.
    `proof`: it ends, too, once nothing below this is left (in steps). `gap`: choices that differ by
    less are as good as each other. `stop` ends it at once.
    """
    sheet = Sheet()
    demand.write_rows(sheet)
    columns = _pattern_columns(problem, demand, patterns, sheet)
    stacks: list[int] = []
    if isinstance(demand, OpenDemand):
        stacks = list(range(len(demand.benches)) if keep is None else keep)
        for number in stacks:
            sheet.column(0.0, demand.entries(number), MOST_ROWS)
        demand.write_leaving(sheet, price_of_leaving(problem))
    if not columns:
        return Chosen(None, (), closed=True)
    model = _whole_model(sheet, max(0.05, seconds), gap, bound)
    end = deadline.now() + seconds
    _interrupt(model, proof, lambda: deadline.now() > end or (stop is not None and stop()))
    if start is not None and start.rows is not None:
        rows_begun, stacks_begun = Counter(start.rows), Counter(start.stacks)
        begun = highspy.HighsSolution()
        begun.col_value = [
            *(float(rows_begun[pattern]) for pattern in patterns),
            *(float(stacks_begun[number]) for number in stacks),
        ]
        model.setSolution(begun)
    model.run()
    status = model.getModelStatus()
    closed = status in (highspy.HighsModelStatus.kOptimal, highspy.HighsModelStatus.kInfeasible)
    values = [round(value) for value in model.getSolution().col_value]
    least = model.getInfo().mip_dual_bound
    if model.getInfo().primal_solution_status != 2 or not values:
        return Chosen(None, (), closed, least)
    rows = [pattern for pattern, n in zip(patterns, values, strict=False) for _ in range(n)]
    picked = values[len(patterns) : len(patterns) + len(stacks)]
    chosen = [number for number, n in zip(stacks, picked, strict=True) for _ in range(n)]
    left = tuple(values[len(patterns) + len(stacks) :])
    return Chosen(tuple(rows), tuple(chosen), closed, least, left)


def _whole_model(sheet: Sheet, seconds: float, gap: float, bound: float) -> highspy.Highs:
    """Return the programme in whole numbers, told when to end."""
    model = quiet_model()
    model.setOptionValue("time_limit", deadline.wall_limit(seconds))
    model.setOptionValue("mip_abs_gap", gap)
    model.setOptionValue("mip_rel_gap", 0.0)
    model.setOptionValue("objective_target", bound + 1e-6)
    model.passModel(sheet.model(whole=True))
    return model


def _interrupt(model: highspy.Highs, proof: float, stop: Stop) -> None:
    """End the solver early: once its bound is enough, or when asked."""

    def look(event: highspy.HighsCallbackEvent) -> None:
        if event.data_out.mip_dual_bound >= proof - 1e-6 or stop():
            event.interrupt()

    model.cbMipInterrupt.subscribe(look)


def _pattern_columns(
    problem: Problem,
    demand: Demand,
    patterns: Sequence[Pattern],
    sheet: Sheet,
) -> int:
    """Write the rows of shared rows, lengths and payloads, and a column a pattern."""
    once = {
        number: sheet.row(-INFINITE, 1.0) for number, band in enumerate(problem.bands) if band.once
    }
    rooms = [sheet.row(-INFINITE, length // problem.step) for length in problem.lengths]
    spans = [(span.rooms, sheet.row(span.least / problem.step, INFINITE)) for span in problem.spans]
    loads = {
        room: sheet.row(-INFINITE, payload / 1000)
        for room, payload in enumerate(problem.payloads)
        if payload is not None and len(problem.payloads) > 1 and not demand.leaves
    }
    for pattern in patterns:
        room = problem.bands[pattern.band].room
        depth = float(pattern.depth // problem.step)
        entries = [(demand.kind_row[kind], float(n)) for kind, n in pattern.counts]
        entries.append((rooms[room], depth))
        entries += [(row, depth) for rooms_there, row in spans if room in rooms_there]
        if pattern.band in once:
            entries.append((once[pattern.band], 1.0))
        if room in loads:
            mass = sum(problem.kinds[kind].mass_g * n for kind, n in pattern.counts)
            entries.append((loads[room], mass / 1000))
        price = depth * demand.floor_price
        sheet.column(price, entries, 1.0 if pattern.band in once else MOST_ROWS)
    return len(patterns)


def promising(
    problem: Problem,
    priced: Priced,
    pricers: Sequence[Pricer],
    gap: float,
    most: int,
) -> list[Pattern] | None:
    """Return every pattern of a reduced cost up to `gap` steps; None: more than `most`.

    A choice of total depth T has only rows whose reduced cost is at most T less the bound.
    """
    found: list[Pattern] = []
    for pricer in pricers:
        extra = priced.once.get(pricer.number, 0.0)
        rate = priced.rooms.get(pricer.band.room, 0.0)
        for depth in pricer.by_depth:
            cost = depth / problem.step
            least = cost * priced.floor_price - extra - rate * cost - gap - 1e-6
            for counts in pricer.all_worth(depth, priced.duals, least):
                found.append(pricer.pattern(depth, counts))
                if len(found) > most:
                    return None
    return found


def promising_stacks(demand: OpenDemand, priced: Priced, gap: float) -> list[int]:
    """Return the stacks whose reduced cost is at most `gap` steps."""
    return [
        number
        for number in range(len(demand.benches))
        if -sum(priced.rows[row] * value for row, value in demand.entries(number)) <= gap + 1e-6
    ]
