"""A revision that is opened again says how good it is and how it was asked for."""

from __future__ import annotations

import pytest

from server.service.plan_show import work_off
from tests.support.app import Bench


@pytest.mark.parametrize("asked", [{}, {"robust": True}])
def test_a_stored_plan_says_its_bound_and_what_was_asked(
    quick: Bench, asked: dict[str, bool]
) -> None:
    owner = quick.owner()
    job = owner.post("/api/shows/demo/plans", {"seconds": 1, **asked}).get_json()["job"]
    with quick.app.app_context():
        assert work_off(quick.ports) == 1
    done = owner.read(f"/api/shows/demo/jobs/{job}")
    plan = owner.read(f"/api/shows/demo/plans/{done['revision']}")
    quality = plan["quality"]
    for name in ("floor_length_um", "lower_bound_um", "proven", "vehicles", "left_out"):
        assert quality[name] == done["best"][name], name
    assert 0 <= quality["lower_bound_um"] <= quality["floor_length_um"]
    assert quality["by_planner"] is True
    assert quality["robust"] == done["best"].get("robust")
    assert (quality["asked"] or {}).get("robust", False) is asked.get("robust", False)
    called = owner.read("/api/shows/demo")["cases"]
    assert plan["drops"] == {one["code"]: one["drop"] for one in called}


def test_a_plan_of_no_planning_says_so(quick: Bench) -> None:
    quality = quick.owner().read("/api/shows/demo/plans/1")["quality"]
    assert (quality["by_planner"], quality["asked"]) == (False, None)
    assert quality["floor_length_um"] >= quality["lower_bound_um"]
