"""The guided first evening: each step is done by the shop's own data, never by the demo's."""

from __future__ import annotations

from tests.support.app import Bench


def test_the_demo_ticks_nothing_off_and_the_own_steps_do(quick: Bench) -> None:
    owner = quick.owner()
    steps = owner.read("/api/first-evening")
    none = {"fleet": False, "vehicle": False, "show": "", "planned": False, "issued": False,
            "joined": False}  # fmt: skip
    assert steps == none
    truck = owner.read("/api/vehicles/T1")
    assert owner.post("/api/vehicles", {**truck, "id": "OWN"}).status_code == 201
    body = {"name": "Ours", "date": "2027-06-01", "vehicles": ["OWN"], "cases": []}
    show = owner.post("/api/shows", body).get_json()["id"]
    now = owner.read("/api/first-evening")
    assert (now["vehicle"], now["show"], now["planned"]) == (True, show, False)
