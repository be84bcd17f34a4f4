"""Which rules keep a small show from loading: those without which everything loads."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from server.core.planner.exact.search import ExactSearch
from server.core.planner.problem.model import Task

Without = Callable[[Task], Task]


def _no_wish(task: Task, **fields: object) -> Task:
    return task.only(replace(case, **fields) for case in task.cases)  # type: ignore[arg-type]


def _no_limit(task: Task, **fields: object) -> Task:
    rooms = tuple(replace(room, **fields) for room in task.vehicles)  # type: ignore[arg-type]
    return replace(task, vehicles=rooms)


RULES: tuple[tuple[str, Without], ...] = (
    ("the wishes for bulkhead and door contradict", lambda task: _no_wish(task, near=None)),
    ("the wishes for places together contradict", lambda task: _no_wish(task, together=None)),
    ("the wishes for a vehicle contradict", lambda task: _no_wish(task, vehicle=None)),
    ("never_beside contradicts", lambda task: _no_wish(task, never_beside=())),
    ("never_under contradicts", lambda task: _no_wish(task, never_under=())),
    ("the order of the drops contradicts", lambda task: _no_wish(task, drop=1)),
    ("the narrow floor contradicts", lambda task: _no_limit(task, narrow=())),
    ("axle limits contradict", lambda task: _no_limit(task, axles=None)),
    ("the payload contradicts", lambda task: _no_limit(task, payload_g=None)),
)


def binding_rules(task: Task, stop: Callable[[], bool]) -> Iterator[str]:
    """Yield a sentence for each rule without which the exact search finds a plan of everything."""
    for name, without in RULES:
        easier = without(task)
        if easier == task or stop():
            continue
        search = ExactSearch(easier, stop)
        search.prepare()
        if search.answer().rooms is not None:
            yield f"{name} the other rules: without that everything loads"
