"""What is wrong with a plan before issue: each with a way out, or a word for what stays."""

from __future__ import annotations

from dataclasses import replace

from server.core.shop.plan import LeftOut
from tests.support.app import Bench


def test_every_concern_needs_a_word_before_issue(quick: Bench) -> None:
    owner = quick.owner()
    # 8 people of whom nobody said more than that they are mixed: the demo's line array cart.
    first_ones = owner.read("/api/shows/demo/plans/1/concerns")
    assert [one["key"] for one in first_ones] == ["no_hands"]
    with quick.app.app_context():
        record = quick.ports.plans.get("demo", 1)
        assert record is not None
        first, *others = record.show.cases
        vehicles = tuple(replace(one, straps=None) for one in record.show.vehicles)
        show = replace(record.show, cases=(replace(first, mass_g=0), *others), vehicles=vehicles)
        plan = replace(record.plan, left_out=(LeftOut("XX-001-1", "no room"),))
        quick.ports.plans.add("demo", show, plan, (), 1)
    found = owner.read("/api/shows/demo/plans/2/concerns")
    keys = [one["key"] for one in found]
    assert {"left_out", "unweighed", "straps"} <= set(keys)
    assert all(one["title"] and one["lines"] and one["way"] for one in found)
    address = "/api/shows/demo/plans/2/issue"
    unanswered = owner.post(address)
    assert unanswered.status_code == 422
    assert [one["field"] for one in unanswered.get_json()["errors"]] == keys
    assert all("words." in one["message"] for one in unanswered.get_json()["errors"])
    refused = owner.post(address, {"words": {"left_out": "  "}})
    assert refused.status_code == 422
    assert [one["field"] for one in refused.get_json()["errors"]] == keys
    words = dict.fromkeys(keys, "agreed with the driver")
    assert owner.post(address, {"words": words}).status_code == 200
    assert "agreed with the driver" in str(owner.read("/api/audit"))


def test_the_venue_asks_before_issue(quick: Bench) -> None:
    owner = quick.owner()
    venue = {"dock_height_um": 300_000, "distance_um": 60_000_000, "slope_percent": 40}
    kept = owner.patch("/api/shows/demo", {"venue": venue})
    assert kept.status_code == 200, kept.get_json()
    found = owner.read("/api/shows/demo/plans/1/concerns")
    lines = next(one["lines"] for one in found if one["key"] == "venue")
    assert any("the dock is" in line and "lower than its deck" in line for line in lines)
    # HSE push-pull assessment: the figures hold for 20 m at most
    assert any("20 m (HSE" in line for line in lines)
    # unknown floor counts as uneven: the heaviest case does not go by hand up 1 in 2.5
    assert any("not by hand on 1 in 2.5" in line and "floor not stated" in line for line in lines)
