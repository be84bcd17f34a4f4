"""Show → plan, judged and kept as the next revision; run by the worker, never by a web thread."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, Final

from server.core.judge import judge
from server.core.planner.alternatives.choices import alternatives
from server.core.planner.alternatives.effort import effort_of
from server.core.planner.alternatives.tolerance import plan_robust
from server.core.planner.problem.answer import NoPlan
from server.core.planner.solve import solve
from server.core.shop.plan import Plan
from server.core.shop.show import Show
from server.core.shop.vehicle_faults import vehicle_faults
from server.service import answer_advice, edit_plan, office
from server.service.advice import KEPT
from server.service.ports import Ports
from server.service.records import SILENT_MS, Job, PlanRecord

SAY_EVERY_MS: Final = 400

PlanShow = Callable[[Show], tuple[Plan, str | None]]
"""Plans a show: the plan, and in words what is left out."""


class ImpossibleVehicle(Exception):
    """A vehicle stored before its values were checked; the message names field and value."""


def best_so_far(plan: Plan) -> dict[str, Any]:
    """Return what the office shows while the planner works."""
    return {
        "floor_length_um": plan.floor_length_um,
        "lower_bound_um": plan.lower_bound_um,
        "proven": plan.proven,
        "vehicles": len(plan.vehicles),
        "left_out": len(plan.left_out),
    }


def refuse_impossible(show: Show) -> None:
    """Refuse vehicles with values that none can have."""
    for vehicle in show.vehicles:
        for fault in vehicle_faults(vehicle, show.units):
            words = f"{fault.field}: expected {fault.expected}, got {fault.got}"
            raise ImpossibleVehicle(f"Not planned: vehicle {vehicle.id}, {words}. Correct it.")


def plan_show(
    show: Show,
    *,
    seconds: float,
    seed: int,
    on_progress: Callable[[Plan], None] | None = None,
    should_stop: Callable[[], bool] | None = None,
) -> tuple[Plan, str | None]:
    """Return the best plan, and in words what keeps cases out of it."""
    refuse_impossible(show)
    found = solve(show, seconds, seed, on_progress, should_stop)
    if isinstance(found, NoPlan):
        return found.best, found.words()
    return found, None


def work_off(ports: Ports) -> int:
    """Do the jobs of the queue until none is left; return how many were done."""
    return ports.jobs.work(lambda job: _do(ports, job), ports.now, SILENT_MS)


def _do(ports: Ports, job: Job) -> None:
    """Do one job; whatever goes wrong ends it in words, never silently."""
    said = {"at": 0, "stop": False}
    best: list[Plan] = []

    def hear() -> bool:
        now = ports.now()
        if now - said["at"] >= SAY_EVERY_MS:
            said["at"] = now
            so_far = best_so_far(best[-1]) if best else None
            said["stop"] = ports.jobs.heard(job.id, so_far, now)
        return bool(said["stop"])

    def better(plan: Plan) -> None:
        best.append(plan)
        hear()

    try:

        def search(show: Show) -> tuple[Plan, str | None]:
            return plan_show(
                show, seconds=job.seconds, seed=job.seed, on_progress=better, should_stop=hear
            )

        if job.asked and KEPT in job.asked:
            answer_advice.work(ports, job)
            return
        made = _planned(ports, job, search, hear)
        record = keep(ports, job.show, made.show, made.plan)
        extra = {**best_so_far(made.plan), **made.extra}
        if "alternatives" in (job.asked or {}) and not made.trouble:
            kept = [record, *(keep(ports, job.show, made.show, one) for one in made.easier)]
            extra["choices"] = [choice_of(one) for one in kept]
        ports.jobs.heard(job.id, extra, ports.now())
        ports.jobs.end(job.id, revision=record.revision, trouble=made.trouble, now=ports.now())
    except ImpossibleVehicle as error:
        ports.jobs.end(job.id, revision=None, trouble=str(error), now=ports.now())
    except Exception as error:
        words = f"Planning failed: {type(error).__name__}."
        ports.jobs.end(job.id, revision=None, trouble=words, now=ports.now())
        raise


@dataclass(frozen=True, slots=True)
class Made:
    """What came of a job: the show that was meant, its plan, what is left out in words.

    `extra` goes to whoever asked, beside the figures of the plan; `easier` are plans on more floor.
    """

    show: Show
    plan: Plan
    trouble: str | None
    extra: dict[str, Any] = field(default_factory=dict)
    easier: tuple[Plan, ...] = ()


def choice_of(record: PlanRecord) -> dict[str, Any]:
    """Return a plan to choose: its revision, its floor, what it asks of hands."""
    effort = effort_of(record.plan)
    return {
        "revision": record.revision,
        "floor_length_um": record.plan.floor_length_um,
        "lifts": effort.lifts,
        "turns": effort.turns,
    }


def _planned(ports: Ports, job: Job, search: PlanShow, hear: Callable[[], bool]) -> Made:
    """Plan as the job asks: from a revision on, with other vehicles, with choices, robust."""
    differs = job.asked or {}
    if "revision" in differs:
        base = office.revision_of(ports, job.show, differs["revision"])
        show, again = edit_plan.replan_from(ports, base, differs, job.seconds, hear)
        moves = {"moves": [move.words() for move in again.moves]}
        return Made(show, again.plan, again.words, moves)
    show = office.core_show(ports, job.show)
    if "vehicles" in differs:
        show = edit_plan.asked_show(ports, job.show, differs["vehicles"])
    refuse_impossible(show)
    if differs.get("robust"):
        robust = plan_robust(show, seconds=job.seconds, should_stop=hear)
        tight = [f"row {row} of {vehicle}" for vehicle, row in robust.tight]
        extra = {"robust": {"floor_more_um": robust.cost_um, "tight_rows": tight}}
        words = None if robust.refusal is None else robust.refusal.words()
        return Made(show, robust.plan, words, extra)
    if differs.get("alternatives"):
        found = alternatives(
            show, differs["alternatives"], seconds=job.seconds, seed=job.seed, should_stop=hear
        )
        if isinstance(found, NoPlan):
            return Made(show, found.best, found.words())
        first, *rest = found
        return Made(show, first.plan, None, {}, tuple(one.plan for one in rest))
    return Made(show, *search(show))


def keep(ports: Ports, show_id: str, show: Show, plan: Plan) -> PlanRecord:
    """Judge a plan and keep it with whatever the judge found."""
    return office.keep_plan(ports, show_id, show, plan, judge(show, plan))
