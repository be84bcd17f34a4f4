"""The linear programme over row patterns, priced until no row improves it; a bound at the end."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np

from server.core.planner.column_generation.covering import Demand
from server.core.planner.column_generation.linear_model import INFINITE, Sheet, quiet_model
from server.core.planner.column_generation.pricing import Pricer
from server.core.planner.column_generation.row_problem import Pattern, Problem

TOLERANCE = 1e-6
ROUNDS = 400


@dataclass
class Priced:
    """What pricing leaves: patterns, prices, and the bound that they prove (in steps).

    `missing` above zero: no rows of these vehicles can hold everything.
    """

    patterns: list[Pattern]
    bound: float
    duals: list[float] = field(default_factory=list)
    once: dict[int, float] = field(default_factory=dict)
    rooms: dict[int, float] = field(default_factory=dict)
    rows: list[float] = field(default_factory=list)
    missing: float = 0.0
    converged: bool = False
    floor_price: float = 1.0


class Master:
    """Rows in fractions: the demand met, shared rows once, vehicles no longer than they are."""

    def __init__(self, problem: Problem, demand: Demand, *, bind_lengths: bool) -> None:
        self.problem = problem
        self.patterns: list[Pattern] = []
        self.known: set[Pattern] = set()
        sheet = Sheet()
        demand.write_rows(sheet)
        self.kind_row = demand.kind_row
        self.once_row = {
            number: sheet.row(-INFINITE, 1.0)
            for number, band in enumerate(problem.bands)
            if band.once
        }
        self.room_row = {
            room: sheet.row(-INFINITE, length / problem.step)
            for room, length in enumerate(problem.lengths if bind_lengths else ())
        }
        self.span_rows = [
            (span.rooms, sheet.row(span.least / problem.step, INFINITE)) for span in problem.spans
        ]
        self.floor_price = demand.floor_price
        # A stand-in meets one unit of demand at a price no row can have.
        dear = price_of_leaving(problem)
        self.stand_ins = [
            sheet.column(dear * cost, [(row, 1.0)], INFINITE)
            for row, cost in zip(demand.must, demand.stand_in_costs(), strict=True)
            if self.floor_price
        ]
        demand.write_columns(sheet)
        if not self.floor_price:
            demand.write_leaving(sheet, 1.0)
        self.model = quiet_model()
        self.model.passModel(sheet.model(whole=False))

    def add(self, patterns: Iterable[Pattern]) -> int:
        """Add patterns that are not known yet; return how many were."""
        added = 0
        for pattern in patterns:
            if pattern in self.known:
                continue
            self.known.add(pattern)
            self.patterns.append(pattern)
            rows = [self.kind_row[kind] for kind, _ in pattern.counts]
            values = [float(count) for _, count in pattern.counts]
            if pattern.band in self.once_row:
                rows.append(self.once_row[pattern.band])
                values.append(1.0)
            room = self.problem.bands[pattern.band].room
            depth = pattern.depth / self.problem.step
            if room in self.room_row:
                rows.append(self.room_row[room])
                values.append(depth)
            for rooms, row in self.span_rows:
                if room in rooms:
                    rows.append(row)
                    values.append(depth)
            self.model.addCol(
                depth * self.floor_price,
                0.0,
                INFINITE,
                len(rows),
                np.array(rows, dtype=np.int32),
                np.array(values, dtype=float),
            )
            added += 1
        return added

    def _rates(self, prices: Sequence[float]) -> dict[int, float]:
        """Return what a step of floor is worth in each room, beside its price."""
        rates = {room: min(0.0, prices[row]) for room, row in self.room_row.items()}
        for rooms, row in self.span_rows:
            for room in rooms:
                rates[room] = rates.get(room, 0.0) + max(0.0, prices[row])
        return rates

    def solve(self) -> Priced:
        """Solve in fractions over the patterns known so far."""
        self.model.run()
        solution = self.model.getSolution()
        prices = list(solution.row_dual)
        values = solution.col_value
        return Priced(
            patterns=self.patterns,
            bound=self.model.getInfo().objective_function_value,
            duals=[max(0.0, prices[row]) for row in self.kind_row],
            once={band: min(0.0, prices[row]) for band, row in self.once_row.items()},
            rooms=self._rates(prices),
            rows=prices,
            missing=sum(values[column] for column in self.stand_ins),
            floor_price=self.floor_price,
        )


def price_of_leaving(problem: Problem) -> float:
    """Return a price above that of all rows together, in steps."""
    return (
        10.0
        + 2.0
        * sum(kind.count * max((d for _, d in kind.outline), default=0) for kind in problem.kinds)
        / problem.step
    )


def price_out(
    problem: Problem,
    demand: Demand,
    start: Iterable[Pattern],
    stop: Callable[[], bool],
    *,
    bind_lengths: bool = False,
) -> tuple[Priced, list[Pricer]]:
    """Price patterns until none improves; the bound is zero if it had to stop before that."""
    begun = _begun(problem, demand, bind_lengths=bind_lengths)
    master, pricers = begun.master, begun.pricers
    master.add(start)
    converged = False
    for _ in range(ROUNDS):
        priced = master.solve()
        if not master.add(_better(problem, priced, pricers)):
            converged = True
            break
        if stop():
            break
    priced = master.solve()
    priced.converged = converged
    if not converged or not all(pricer.whole for pricer in pricers):
        priced.bound = 0.0
    return priced, pricers


@dataclass(frozen=True, slots=True)
class _Begun:
    """A master and its pricers, with the columns priced so far."""

    master: Master
    pricers: list[Pricer]


def _begun(problem: Problem, demand: Demand, *, bind_lengths: bool) -> _Begun:
    """Return the master of this demand, with the columns of earlier pricing if it goes on."""
    if not isinstance(demand.begun, _Begun) or not demand.goes_on:
        master = Master(problem, demand, bind_lengths=bind_lengths)
        pricers = [Pricer(problem, number) for number in range(len(problem.bands))]
        master.add(
            pricer.pattern(depth, {index: item.most})
            for pricer in pricers
            for depth, items in pricer.by_depth.items()
            for index, item in enumerate(items)
            if item.exact
        )
        demand.begun = _Begun(master, pricers)
    return demand.begun


def _better(problem: Problem, priced: Priced, pricers: Sequence[Pricer]) -> list[Pattern]:
    """Return the best pattern of each band and depth, where it pays."""
    found = []
    for pricer in pricers:
        extra = priced.once.get(pricer.number, 0.0)
        rate = priced.rooms.get(pricer.band.room, 0.0)
        for depth in pricer.by_depth:
            cost = depth / problem.step
            worth, counts = pricer.best(depth, priced.duals)
            if worth + extra + rate * cost > cost * priced.floor_price + TOLERANCE:
                found.append(pricer.pattern(depth, counts))
    return found
