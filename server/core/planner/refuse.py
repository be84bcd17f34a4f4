"""What to answer when not everything can go."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from server.core.plan import LeftOut, Plan
from server.core.planner.answer import NoPlan
from server.core.planner.fleet import greedy_loads
from server.core.planner.model import Load, Task
from server.core.planner.stop import Clock
from server.core.show import Show


def refuse(
    show: Show,
    task: Task,
    misfits: Sequence[LeftOut],
    clock: Clock,
    finished: Callable[[Sequence[Load], int, Sequence[LeftOut]], Plan],
) -> NoPlan:
    """Return reasons, what is short, ways out, and the best plan of what can go."""
    del show, clock
    loads, left = greedy_loads(task, task.vehicles)
    out = [LeftOut(case.code, "no floor left for it") for stack in left for case in stack.cases]
    plan = finished(loads, 0, [*misfits, *out])
    reasons = tuple(dict.fromkeys(one.reason for one in plan.left_out))
    return NoPlan(reasons, 0, 0, (), plan)
