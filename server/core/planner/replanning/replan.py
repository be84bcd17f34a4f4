"""Plan again from here: what is loaded stays, the rest changes as little as it can."""

from __future__ import annotations

import time
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, replace

from server.core.judge import judge
from server.core.planner.problem.answer import NoPlan
from server.core.planner.problem.straps import straps_for
from server.core.planner.replanning.behind_loaded import plan_behind
from server.core.planner.replanning.diff import Move, find_moves
from server.core.planner.replanning.loaded_rows import (
    Loaded,
    leading,
    numbers,
    own_faults,
    strapped,
    that_can_stay,
)
from server.core.planner.replanning.repair import Repair
from server.core.planner.solve import solve
from server.core.shop.plan import Plan
from server.core.shop.show import Show

FREED = (0, 1, 2, 4, 8)  # rows at the door that a repair plans anew
ALL = 10_000

Stop = Callable[[], bool]


@dataclass(frozen=True, slots=True)
class Replan:
    """The new plan and what the crew does differently; `refusal` when not everything can go.

    `notes` say which loaded rows cannot stay. `faults` are the judge's: of loaded rows that break
    a rule as the show is now, and which nobody but the crew can mend.
    """

    plan: Plan
    moves: tuple[Move, ...]
    refusal: NoPlan | None = None
    notes: tuple[str, ...] = ()
    faults: tuple[str, ...] = ()

    @property
    def words(self) -> str | None:
        """What the crew must know besides the moves, or None."""
        told = [*self.notes, *self.faults]
        told += [] if self.refusal is None else [self.refusal.words()]
        return "; ".join(told) or None


def replan(
    show: Show,
    before: Plan,
    loaded: Mapping[str, int | Collection[int]],
    *,
    seconds: float = 1.0,
    should_stop: Stop | None = None,
) -> Replan:
    """Plan the show as it is now, from `before` on.

    `loaded`: by vehicle, the numbers of the rows that stand loaded or how many from the bulkhead;
    they stay exactly as they are, but for cases that the show no longer calls.
    """
    standing = that_can_stay(show, before, numbers(loaded))
    job = _Job(show, before, standing.rows, time.perf_counter() + seconds, should_stop)
    plan, refusal = job.plan()
    plan = replace(plan, revision=before.revision + 1)
    faults = judge(show, plan)
    return Replan(plan, find_moves(before, plan), refusal, standing.notes, faults)


@dataclass
class _Job:
    """One planning from a plan: small repairs first, a search behind the loaded rows last."""

    show: Show
    before: Plan
    loaded: Loaded
    end: float
    should_stop: Stop | None

    def plan(self) -> tuple[Plan, NoPlan | None]:
        """Return the plan that moves least; with what is left out where not everything goes."""
        allowed = own_faults(self.show, self.before, self.loaded)
        rows = max((len(one.rows) for one in self.before.vehicles), default=0)
        for freed in FREED:
            plan = self._repair(freed).plan() if freed < max(1, rows) else None
            if plan is not None and not set(judge(self.show, plan)) - allowed:
                return plan, None
        if not any(self.loaded.values()):
            answer = self._solve(self.show)
            return (answer.best, answer) if isinstance(answer, NoPlan) else (answer, None)
        found: list[Plan | None] = [self._behind()] if self._is_leading() else []
        found += [self._repair(freed).plan(leave=True) for freed in (*FREED, ALL)]
        lawful = [
            plan for plan in found if plan is not None and not set(judge(self.show, plan)) - allowed
        ]
        # Rows that break a rule as they stand leave no lawful plan: then the loaded rows alone.
        best = min(lawful, key=_left, default=None) or self._repair(ALL).bare()
        if not best.left_out:
            return best, None
        reasons = tuple(dict.fromkeys(one.reason for one in best.left_out))
        return best, NoPlan(reasons, 0, 0, (), best)

    def _repair(self, freed: int) -> Repair:
        return Repair(self.show, self.before, self.loaded, freed)

    def _is_leading(self) -> bool:
        return all(leading(rows) == len(rows) for rows in self.loaded.values())

    def _behind(self) -> Plan:
        """Return a plan searched anew behind the loaded rows."""
        codes = {case.code for case in self.show.cases}
        plan = plan_behind(self.show, self.before, self.loaded, codes, self._rest)
        return strapped(self.show, plan, straps_for(self.show))

    def _rest(self, part: Show) -> Plan:
        answer = self._solve(part)
        return answer.best if isinstance(answer, NoPlan) else answer

    def _solve(self, show: Show) -> Plan | NoPlan:
        left = max(0.2, self.end - time.perf_counter())
        return solve(show, seconds=left, should_stop=self.should_stop)


def _left(plan: Plan) -> tuple[int, int]:
    return len(plan.left_out), plan.floor_length_um
