"""From priced rows to whole ones, in widening rings, until proven or out of time."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import ceil

from server.core.planner.bands import Pattern, Problem
from server.core.planner.choose import Chosen, choose_rows, promising, promising_stacks
from server.core.planner.demand import Demand, OpenDemand
from server.core.planner.master import TOLERANCE, Priced, price_out
from server.core.planner.pricing import Pricer
from server.core.planner.stop import Clock

FIRST_RING = 0.5  # steps of reduced cost
LAST_RING = 40_000


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
    `heard` is told of rows and stacks whenever shorter ones are found.
    """
    priced, pricers = price_out(problem, demand, start, clock.over, bind_lengths=bind_lengths)
    if priced.missing > TOLERANCE:
        return Found(None, 0, missing=priced.converged)
    if not priced.converged:
        return Found(None, 0)
    bound = problem.next_sum(ceil(priced.bound - TOLERANCE)) * problem.step
    if at_most is not None and bound >= at_most:
        return Found(None, bound)
    rings = _Rings(problem, demand, priced, pricers, clock=clock, at_most=at_most)
    rings.heard = heard
    return rings.search(bound)


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
        self.heard: Heard | None = None

    def search(self, bound: int) -> Found:
        """Widen the ring until the best is proven, the ring is too wide, or time is up."""
        ring = 0.0
        while not self.clock.over():
            patterns = promising(self.problem, self.priced, self.pricers, ring, LAST_RING)
            if patterns is None:
                break
            closed = self._try(patterns, ring, bound)
            if closed:
                outside = self._round_up(self.priced.bound + ring)
                bound = max(bound, min(outside, self._in_hand() or outside))
            length = self._in_hand()
            if length is not None and length <= bound:
                break
            ring = self._next_ring(ring, length, closed=closed)
            if ring < 0:
                break
        return Found(self.best, bound)

    def _next_ring(self, ring: float, length: int | None, *, closed: bool) -> float:
        """Return the next ring, at most what a shorter choice could use; below zero: none."""
        if not closed and ring > 0:
            return -1.0
        wider = 2 * ring or FIRST_RING
        if length is not None:
            # A shorter choice is at least a step shorter.
            enough = length / self.problem.step - 1 - self.priced.bound + 1e-3
            if ring >= enough:
                return -1.0
            # Where steps are small against the gap, rings that grow by a step would be many.
            wider = min(max(wider, enough / 4), max(enough, 0.0))
        return wider

    def _round_up(self, steps: float) -> int:
        return self.problem.next_sum(ceil(steps - TOLERANCE)) * self.problem.step

    def _in_hand(self) -> int | None:
        lengths = [self.best.length] if self.best else []
        if self.at_most is not None:
            lengths.append(self.at_most)
        return min(lengths, default=None)

    def _try(self, patterns: Sequence[Pattern], ring: float, bound: int) -> bool:
        """Pick whole rows of one ring; return whether nothing shorter is left in it."""
        keep = None
        if isinstance(self.demand, OpenDemand):
            keep = promising_stacks(self.demand, self.priced, ring)
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
            seconds=self.clock.left() * (0.3 if ring == 0 else 0.95),
            bound=bound / self.problem.step,
            keep=keep,
        )
        length = self._in_hand()
        if chosen.rows is not None and (length is None or chosen.length < length):
            self.best = chosen
            if self.heard is not None:
                self.heard(chosen.rows, chosen.stacks)
        return chosen.closed
