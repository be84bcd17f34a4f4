"""Shows whose stacks leave no choice: a bound on the rows of those stacks bounds every plan."""

from __future__ import annotations

from server.core.planner.bounds.area_relaxation import free_of_limits, loosened
from server.core.planner.construction.greedy_stacks import look
from server.core.planner.problem.model import Task
from server.core.planner.stacking.item_types import family
from server.core.planner.stacking.lid_rules import may_ride, takes_casters


def stacks_are_plain(task: Task) -> bool:
    """Return whether stacking leaves no choice: no riders, towers of twins of one drop only.

    Then the fewest towers of each kind are the best stacks, and a bound on their rows is a bound
    on every plan.
    """
    looks: dict[tuple[int, int], set[tuple[object, ...]]] = {}
    casters = set()
    if loosened(task).cases != task.cases or free_of_limits(task):
        return False
    if len({vehicle.height_um for vehicle in task.vehicles}) > 1:
        return False
    for case in task.cases:
        if may_ride(case, task.rules):
            return False
        looks.setdefault(family(case), set()).add((*look(case), case.drop))
        if takes_casters(case):
            casters.add(family(case))
            if case.stances != ("upright",):
                return False  # one alone may take less floor on end than on casters
    return all(len(looks[footprint]) == 1 for footprint in casters)
