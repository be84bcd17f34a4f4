"""Room for error: rows that still close when cases are off, at what cost in floor.

Every row is planned as if the floor were narrower by the tolerance of a row, and every mass that
was never weighed as if it were heavier; the plan is then restated for the show as it is.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from server.core.judge import judge
from server.core.planner.problem.answer import NoPlan
from server.core.planner.replanning.restated import restated
from server.core.planner.solve import solve
from server.core.shop.case import Case
from server.core.shop.plan import Plan
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle

ROW_UM = 12_700  # half an inch a row: what covers, catches and a tired crew add (common practice)
MASS_SHARE = 0.1  # of a mass that was never weighed (common practice, no source)


@dataclass(frozen=True, slots=True)
class Robust:
    """A plan with room for error beside the shortest one; `refusal`: not everything goes so.

    `tight` names the rows of the shortest plan that close only if sides are exact, `plain` is it.
    `cost_um`: floor that the room for error asks; None where one of the plans is not whole.
    """

    plan: Plan
    plain: Plan
    tight: tuple[tuple[str, int], ...]
    cost_um: int | None
    refusal: NoPlan | None
    faults: tuple[str, ...]


def plan_robust(
    show: Show,
    *,
    seconds: float = 10.0,
    row_um: int = ROW_UM,
    mass_share: float = MASS_SHARE,
    should_stop: Callable[[], bool] | None = None,
) -> Robust:
    """Return a plan of which every row leaves `row_um` free and every limit bears the heavier."""
    first = solve(show, seconds / 2, 0, None, should_stop)
    plain = first.best if isinstance(first, NoPlan) else first
    heavier = hardened(show, row_um, mass_share)
    answer = solve(heavier, seconds / 2, 0, None, should_stop)
    found = answer.best if isinstance(answer, NoPlan) else answer
    bound = 0 if found.left_out else plain.lower_bound_um
    plan = restated(show, replace(found, lower_bound_um=bound, proven=False))
    whole = not plan.left_out and not plain.left_out
    return Robust(
        plan,
        plain,
        tight_rows(plain, row_um),
        plan.floor_length_um - plain.floor_length_um if whole else None,
        answer if isinstance(answer, NoPlan) else None,
        judge(show, plan),
    )


def tight_rows(plan: Plan, row_um: int) -> tuple[tuple[str, int], ...]:
    """Return vehicle and number of each row that leaves less free than the tolerance."""
    return tuple(
        (one.vehicle, row.number) for one in plan.vehicles for row in one.rows if row.slack < row_um
    )


def hardened(show: Show, row_um: int, mass_share: float) -> Show:
    """Return the show with floors narrower and masses that nobody weighed heavier."""

    def narrower(vehicle: Vehicle) -> Vehicle:
        stretches = tuple(
            replace(one, width_um=max(1, one.width_um - row_um)) for one in vehicle.narrow
        )
        return replace(vehicle, width_um=max(1, vehicle.width_um - row_um), narrow=stretches)

    def heavier(case: Case) -> Case:
        add = 0 if case.weighed else round(case.mass_g * mass_share)
        return replace(case, mass_g=case.mass_g + add)

    return replace(
        show,
        vehicles=tuple(narrower(one) for one in show.vehicles),
        cases=tuple(heavier(case) for case in show.cases),
    )
