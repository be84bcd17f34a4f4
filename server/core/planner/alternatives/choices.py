"""Floor against ease: the shortest plan, and longer ones with strictly fewer lifts and turns.

An epsilon-constraint front by restriction: the cases that are hardest to lift are kept off lids, a
few, more, all of them, and tipping is forbidden last; each restricted show is planned like any
other. Every plan is lawful for the show itself; none but the first claims to be the shortest.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from server.core.judge import judge
from server.core.planner.alternatives.ease import eased
from server.core.planner.alternatives.effort import Effort, effort_of, hardest_first
from server.core.planner.problem.answer import NoPlan
from server.core.planner.solve import solve
from server.core.shop.plan import Plan
from server.core.shop.show import Show

FIRST_SHARE = 0.5  # of the time goes to the shortest plan


@dataclass(frozen=True, slots=True)
class Choice:
    """One plan to choose, with what it asks of hands."""

    plan: Plan
    effort: Effort

    @classmethod
    def of(cls, plan: Plan) -> Choice:
        """Return a plan as a choice."""
        return cls(plan, effort_of(plan))


def alternatives(
    show: Show,
    count: int,
    *,
    seconds: float = 10.0,
    seed: int = 0,
    should_stop: Callable[[], bool] | None = None,
) -> list[Choice] | NoPlan:
    """Return the shortest plan found and up to `count` easier ones, each on more floor."""
    first = solve(show, seconds * FIRST_SHARE, seed, None, should_stop)
    if isinstance(first, NoPlan):
        return first
    found = [Choice.of(first), Choice.of(eased(show, first))]
    restricted = list(_restricted(show, first, max(1, count)))
    for part in restricted:
        if should_stop is not None and should_stop():
            break
        answer = solve(part, seconds * (1 - FIRST_SHARE) / len(restricted), seed, None, should_stop)
        if not isinstance(answer, NoPlan):
            # The bound of a restricted show says nothing of the show itself.
            plan = replace(answer, lower_bound_um=first.lower_bound_um, proven=False)
            found.append(Choice.of(eased(show, plan)))
    return front(show, found)[: count + 1]


def _restricted(show: Show, plan: Plan, count: int) -> Iterator[Show]:
    """Yield the show with more and more of what is lifted kept on the floor, then without turns."""
    lifted = hardest_first(show, plan)
    steps = sorted({round(len(lifted) * step / count) for step in range(1, count + 1)} - {0})
    for step in steps:
        kept = set(lifted[:step]) if step < len(lifted) else {case.code for case in show.cases}
        yield _without(show, kept, tipping=True)
    if any(len(case.stances) > 1 for case in show.cases):
        yield _without(show, {case.code for case in show.cases}, tipping=False)


def _without(show: Show, grounded: set[str], *, tipping: bool) -> Show:
    return replace(
        show,
        cases=tuple(
            replace(
                case,
                rides=case.rides and case.code not in grounded,
                stances=case.stances if tipping or "upright" not in case.stances else ("upright",),
            )
            for case in show.cases
        ),
    )


def front(show: Show, found: list[Choice]) -> list[Choice]:
    """Return the lawful choices of which none is both longer and as hard as another."""
    ranked = sorted(
        (one for one in found if not judge(show, one.plan)),
        key=lambda one: (len(one.plan.vehicles), one.plan.floor_length_um, one.effort.total),
    )
    kept: list[Choice] = []
    for one in ranked:
        if not kept or one.effort.total < kept[-1].effort.total:
            kept.append(one)
    return kept
