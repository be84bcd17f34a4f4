"""From priced rows to whole ones, in widening rings, until proven or out of time."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import ceil

from server.core.planner.column_generation.covering import Demand, OpenDemand
from server.core.planner.column_generation.integer_master import (
    Chosen,
    choose_rows,
    promising,
    promising_stacks,
)
from server.core.planner.column_generation.pricing import Pricer
from server.core.planner.column_generation.restricted_master import TOLERANCE, Priced, price_out
from server.core.planner.column_generation.row_problem import Pattern, Problem
from server.core.planner.problem.deadline import Clock

FIRST_RING = 0.5  # steps of reduced cost
LAST_RING = 20_000
FEW, MANY = 1_500, 6_000  # patterns for a first answer, and for a proof
SHARES = (1, 2, 4, 8, 16, 32, 64)  # parts of the ring that is enough


Heard = Callable[[Sequence[Pattern], Sequence[int]], None]


@dataclass
class Found:
    """The shortest rows found and the length that none can undercut (micrometres)."""

    chosen: Chosen | None
    bound: int
    missing: bool = False

    @property
    def proven(self) -> bool:
        """Return whether no shorter rows exist for the demand."""
        return self.chosen is not None and self.chosen.length <= self.bound


def shortest_rows(
    problem: Problem,
    demand: Demand,
    clock: Clock,
    *,
    start: Iterable[Pattern] = (),
    at_most: int | None = None,
    bind_lengths: bool = False,
    heard: Heard | None = None,
) -> Found:
    """Return the shortest rows for a demand; `at_most`: a length already in hand.

    Only rows shorter than that are looked for; the answer may then hold none and still be proven.
    `heard` is called with rows and stacks whenever shorter ones are found.
    """
    priced, pricers = price_out(problem, demand, start, clock.over, bind_lengths=bind_lengths)
    bound = _bound(problem, priced)
    if bound is None:
        return Found(None, 0, missing=priced.missing > TOLERANCE and priced.converged)
    if bound > sum(problem.lengths) or (at_most is not None and bound >= at_most):
        return Found(None, bound)
    rings = _Rings(problem, demand, priced, pricers, clock=clock, at_most=at_most)
    rings.heard = heard
    return rings.search(bound)


def fractional_bound(
    problem: Problem, demand: Demand, clock: Clock, *, bind_lengths: bool = False
) -> Found:
    """Return the bound of rows in fractions, without whole ones."""
    priced, _ = price_out(problem, demand, (), clock.over, bind_lengths=bind_lengths)
    bound = _bound(problem, priced)
    return Found(None, bound or 0, missing=priced.missing > TOLERANCE and priced.converged)


def _bound(problem: Problem, priced: Priced) -> int | None:
    """Return the length that no rows undercut; None where pricing says nothing about it."""
    if priced.missing > TOLERANCE or not priced.converged:
        return None
    return problem.next_sum(ceil(priced.bound - TOLERANCE)) * problem.step


class _Rings:
    """Whole rows over patterns and stacks of low reduced cost first, then over wider rings.

    A choice of total depth T uses nothing of a reduced cost above T less the bound in fractions;
    so whatever lies outside a closed ring is at least as long as the bound plus the ring.
    """

    def __init__(
        self,
        problem: Problem,
        demand: Demand,
        priced: Priced,
        pricers: Sequence[Pricer],
        *,
        clock: Clock,
        at_most: int | None,
    ) -> None:
        self.problem, self.demand = problem, demand
        self.priced, self.pricers = priced, pricers
        self.clock = clock
        self.at_most = at_most
        self.best: Chosen | None = None
        self.least = 0.0  # what the solver proved of the last ring, in steps
        self.heard: Heard | None = None

    def search(self, bound: int) -> Found:
        """Widen the ring until the best is proven, the ring is too wide, or time is up."""
        ring = 0.0 if self.at_most is None else self._next_ring(0.0)
        tried: tuple[int, int] | None = None
        while ring >= 0 and not self.clock.over():
            patterns = self._inside(ring, LAST_RING)
            if patterns is None:
                break
            keep = self._stacks_inside(ring)
            size = len(patterns), len(keep or ())
            before = self._in_hand()
            # Wider, and yet nothing new: what closed before is closed now.
            closed = size == tried or self._try(patterns, keep, ring, bound)
            steps = self.priced.bound + ring
            if closed:
                tried = size
            else:
                steps = max(0.0, min(steps, self.least))
            outside = self._round_up(steps)
            bound = max(bound, min(outside, self._in_hand() or outside))
            length = self._in_hand()
            if length is not None and length <= bound:
                break
            if closed or ring == 0:
                ring = self._next_ring(ring)
            elif before != length and self._enough() < 0.7 * ring:
                ring = self._enough()
            else:
                break
        return Found(self.best, bound)

    def _enough(self) -> float:
        """Return the ring outside which nothing shorter than what is in hand can be."""
        length = self._in_hand()
        if length is None:  # rows longer than the vehicles are none
            room = sum(self.problem.lengths) / self.problem.step
            return max(0.0, room - self.priced.bound) + 1e-3
        # A shorter choice is at least a step shorter.
        return length / self.problem.step - 1 - self.priced.bound + 1e-3

    def _inside(self, ring: float, most: int) -> list[Pattern] | None:
        return promising(self.problem, self.priced, self.pricers, ring, most)

    def _stacks_inside(self, ring: float) -> list[int] | None:
        if isinstance(self.demand, OpenDemand):
            return promising_stacks(self.demand, self.priced, ring)
        return None

    def _next_ring(self, ring: float) -> float:
        """Return the next ring, at most what a shorter choice could use; below zero: none."""
        enough = self._enough()
        if ring >= enough:
            return -1.0
        if self._in_hand() is None:
            return min(2 * ring or FIRST_RING, enough)
        most = MANY if ring else FEW
        # Stacks as they are make a light programme: a quarter of what is enough will do at once.
        for share in SHARES if isinstance(self.demand, OpenDemand) else ():
            if enough / share > ring and self._inside(enough / share, most) is not None:
                return enough / share
        # Where steps are small against the gap, rings that grow by a step would be many.
        least = enough / (SHARES[-1] if isinstance(self.demand, OpenDemand) else 4)
        wider = max(2 * ring or FIRST_RING, least)
        return enough if wider > 0.8 * enough else wider

    def _round_up(self, steps: float) -> int:
        if not 0 <= steps < float("inf"):
            return 0
        return self.problem.next_sum(ceil(steps - TOLERANCE)) * self.problem.step

    def _in_hand(self) -> int | None:
        lengths = [self.best.length] if self.best else []
        if self.at_most is not None:
            lengths.append(self.at_most)
        return min(lengths, default=None)

    def _share(self, ring: float) -> float:
        """Return the share of the time left that a ring is worth."""
        if ring >= self._enough():
            return 0.95
        if isinstance(self.demand, OpenDemand):
            return 0.5
        return 0.3 if ring == 0 else 0.95

    def _try(
        self, patterns: Sequence[Pattern], keep: list[int] | None, ring: float, bound: int
    ) -> bool:
        """Pick whole rows of one ring; return whether nothing shorter is left in it."""
        merged = dict.fromkeys(patterns)
        if ring == 0:
            merged.update(dict.fromkeys(self.priced.patterns))
        if self.best is not None and self.best.rows is not None:
            merged.update(dict.fromkeys(self.best.rows))
            if keep is not None:
                keep = sorted({*keep, *self.best.stacks})
        chosen = choose_rows(
            self.problem,
            self.demand,
            [*merged],
            start=self.best,
            seconds=self.clock.left() * self._share(ring),
            bound=bound / self.problem.step,
            keep=keep,
            # Rows as long as those in hand are of no use.
            proof=self.priced.bound + self._enough() + 0.002,
            stop=self.clock.over,
        )
        self.least = chosen.least
        length = self._in_hand()
        if chosen.rows is not None and (length is None or chosen.length < length):
            self.best = chosen
            if self.heard is not None:
                self.heard(chosen.rows, chosen.stacks)
        # What is as long as anything outside the ring may be needs no better proof here.
        beyond = self._round_up(chosen.least) >= self._round_up(self.priced.bound + ring)
        return chosen.closed or beyond or chosen.least > self.priced.bound + self._enough()
