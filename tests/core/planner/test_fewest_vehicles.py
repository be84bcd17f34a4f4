"""Fewest vehicles first: what is not decided about fewer vehicles is never called proven."""

from __future__ import annotations

from pathlib import Path

import pytest

from server.core.planner.construction.vehicle_sets import Attempt
from server.core.planner.fleet import Fleet
from server.core.planner.problem.deadline import Clock
from server.core.planner.problem.model import Task
from server.core.planner.solve import solve
from server.core.shop.plan import Plan
from server.files.show_file import parse_show, read_show
from tests.core.planner.test_refuse import case, show

DEMO = Path(__file__).resolve().parents[3] / "fixtures" / "demo" / "show.json"


@pytest.mark.parametrize("refuted", [True, False])
def test_a_bound_on_two_vehicles_proves_nothing_while_one_is_not_ruled_out(
    monkeypatch: pytest.MonkeyPatch, *, refuted: bool
) -> None:
    # All of it loads on one vehicle; the search on one is made to find nothing.
    document = show([case(f"C{i}", length=40 + i / 2, turn=False) for i in range(24)], length=400)
    document["vehicles"].append({**document["vehicles"][0], "id": "T2"})
    attempt = Fleet.attempt

    def blind(self: Fleet, task: Task, share: float) -> Attempt:
        if len(task.vehicles) == 1:
            return Attempt(None, 0, impossible=refuted)
        return attempt(self, task, share)

    monkeypatch.setattr(Fleet, "attempt", blind)
    task = Task.of(parse_show(document))
    found = Fleet(lambda *_: True, Clock.of(3.0)).fewest(task)
    assert found.loads is not None
    assert found.fewer_open is not refuted


def test_the_floor_of_a_show_on_two_vehicles_is_bounded_by_the_certificates_relaxation() -> None:
    # By area alone 357 in: the relaxation knows that lids have no room for everything.
    plan = solve(read_show(DEMO), 4.0)
    assert isinstance(plan, Plan)
    assert plan.lower_bound_um >= 500 * 25_400
    assert plan.lower_bound_um <= plan.floor_length_um
    # Nothing shorter was ever found for this show, by any search: 570 in.
    assert plan.lower_bound_um <= 570 * 25_400
