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

FIRST_RING = 400
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


@dataclass
class Clock:
    """How much time is left; `left` is asked between the steps of the search."""

    left: Callable[[], float]

    def over(self) -> bool:
        """Return whether the time is used up."""
        return self.left() <= 0

    def part(self, share: float) -> Clock:
        """Return a clock for a share of the time that is left now."""
        kept = self.left() * (1 - share)
        return Clock(lambda: self.left() - kept)


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
    rings = _Rings(problem, demand, priced, pricers, clock, at_most)
    rings.heard = heard
    return rings.search(bound)


class _Rings:
    """Rows of low reduced cost first, then all that a shorter choice could use."""

    def __init__(
        self,
        problem: Problem,
        demand: Demand,
        priced: Priced,
        pricers: Sequence[Pricer],
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
        """Widen the ring until the best is proven, nothing more can improve it, or time is up."""
        step = self.problem.step
        seeds = dict.fromkeys(self.priced.patterns)
        self._try([*seeds], None, bound, self.clock.left() / 4)
        ring, most = 0.0, FIRST_RING
        while not self.clock.over() and not self._done(bound):
            gap = self._gap()
            patterns = None
            if gap is not None:
                patterns = promising(self.problem, self.priced, self.pricers, gap, most)
            if patterns is not None:
                keep = self._stacks(gap)
                chosen = self._try(patterns, keep, bound, self.clock.left())
                if chosen.closed:
                    # Nothing of the whole ring is shorter: what is in hand is the shortest.
                    bound = max(bound, self._in_hand() or bound)
                    break
                if self.clock.over():
                    break
            ring = self._narrow(most, ring)
            patterns = promising(self.problem, self.priced, self.pricers, ring, LAST_RING) or []
            merged = [*dict.fromkeys([*seeds, *patterns])]
            self._try(merged, None, bound, self.clock.left() / 3)
            most *= 4
            if most > LAST_RING:
                break
        del step
        return Found(self.best, bound)

    def _in_hand(self) -> int | None:
        lengths = [self.best.length] if self.best else []
        if self.at_most is not None:
            lengths.append(self.at_most)
        return min(lengths, default=None)

    def _gap(self) -> float | None:
        """Return the reduced cost that a row of a shorter choice may have, in steps."""
        length = self._in_hand()
        if length is None:
            return None
        return float((length - 1) // self.problem.step) - self.priced.bound

    def _done(self, bound: int) -> bool:
        length = self._in_hand()
        return length is not None and length <= bound

    def _stacks(self, gap: float | None) -> list[int] | None:
        if gap is None or not isinstance(self.demand, OpenDemand):
            return None
        return promising_stacks(self.demand, self.priced, gap)

    def _narrow(self, most: int, last: float) -> float:
        """Return the widest ring of at most `most` patterns, by halving."""
        low, high = last, max(last * 2, (self._gap() or 16.0))
        for _ in range(6):
            middle = (low + high) / 2
            listed = promising(self.problem, self.priced, self.pricers, middle, most)
            low, high = (low, middle) if listed is None else (middle, high)
        return low

    def _try(
        self, patterns: list[Pattern], keep: list[int] | None, bound: int, seconds: float
    ) -> Chosen:
        chosen = choose_rows(
            self.problem,
            self.demand,
            patterns,
            shorter_than=self._in_hand(),
            seconds=min(seconds, self.clock.left()),
            bound=bound / self.problem.step,
            keep=keep,
        )
        if chosen.rows is not None:
            self.best = chosen
            if self.heard is not None:
                self.heard(chosen.rows, chosen.stacks)
        return chosen
