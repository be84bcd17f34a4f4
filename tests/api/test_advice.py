"""The advisor over HTTP: prices, the fleet in rows, the year, new cases, hires; kept, stopped."""

from __future__ import annotations

import itertools
from typing import Any

import pytest

from tests.support.app import SENT, Bench, Caller


def work_off(bench: Bench) -> None:
    """Do what waits for the planner."""
    from server.service.plan_show import work_off

    with bench.app.app_context():
        work_off(bench.ports)


def ask(bench: Bench, owner: Caller, question: dict[str, Any]) -> dict[str, Any]:
    """Ask, let the worker answer, and return the answer."""
    asked = owner.post("/api/advice", question)
    assert asked.status_code == 202, asked.text
    work_off(bench)
    found = owner.read(f"/api/advice/{asked.get_json()['job']}")
    assert (found["state"], found["trouble"]) == ("done", None), found
    answer: dict[str, Any] = found["answer"]
    return answer


def small_show(owner: Caller, *codes: str) -> str:
    """Return a show of a few cases in T1; nothing of them rides."""
    body = {"name": "Small", "date": "2027-07-01", "vehicles": ["T1"]}
    cases = [{"code": code} for code in codes]
    show: str = owner.post("/api/shows", {**body, "cases": cases}).get_json()["id"]
    return show


NEED = {"count": 1, "height_um": 609_600, "inside_um": [500_000, 400_000, 400_000]}
PRICES: dict[str, Any] = {
    "currency": "EUR",
    "driver_hour_cents": 30_00,
    "vehicles": [
        {"id": "T1", "day_cents": 180_00, "distance_cents": 90},
        {"id": "T2", "day_cents": 120_00, "distance_cents": 60, "count": 2, "trips": 2},
    ],
}


def test_a_new_case_agrees_with_every_way_to_stand_the_cases(quick: Bench) -> None:
    """Every footprint against every way to part the cases into rows and to turn them."""
    owner = quick.owner()
    codes = ["RG-001-Q", "RG-004-K", "RG-007-E", "PW-001-J", "AU-001-D"]
    show = small_show(owner, *codes)
    cases = [owner.read(f"/api/cases/{code}") for code in codes]
    assert not any(one["rides"] or one["lid_casters"] for one in cases)
    width = owner.read("/api/vehicles/T1")["width_um"]
    question = {"part": "buy", "shows": [show], "vehicles": ["T1"], "needs": [NEED]}
    answer = ask(quick, owner, question)
    floor = [(one["length_um"], one["width_um"]) for one in cases]
    before = least_floor(floor, width)
    assert answer["before"] == {"low_um": before, "high_um": before}
    for one in answer["ranked"]:
        sides = (one["length_um"], one["width_um"])
        added = least_floor([*floor, sides], width) - before
        assert (one["added"]["low_um"], one["added"]["high_um"]) == (added, added), sides
        assert one["inside_um3"] >= 500_000 * 400_000 * 400_000
    least = min(one["added"]["high_um"] for one in answer["ranked"])
    ties = [one for one in answer["ranked"] if one["added"]["high_um"] == least]
    assert all(one["tie"] for one in ties)
    assert ties[0] is answer["ranked"][0]
    volumes = [one["inside_um3"] for one in ties]
    assert volumes == sorted(volumes, reverse=True)


def least_floor(cases: list[tuple[int, int]], width: int) -> int:
    """Return the least floor length of straight rows, by trying every one of them."""
    full = (1 << len(cases)) - 1
    depth: dict[int, int] = {}
    for row in range(1, full + 1):
        inside = [case for place, case in enumerate(cases) if row >> place & 1]
        turns = itertools.product(*((case, case[::-1]) for case in inside))
        fits = [max(along for _, along in turn) for turn in turns
                if sum(across for across, _ in turn) <= width]  # fmt: skip
        if fits:
            depth[row] = min(fits)
    least = {0: 0}
    for load in range(1, full + 1):
        first = load & -load
        least[load] = min(
            depth[row] + least[load ^ row] for row in depth if row & first and row & load == row
        )
    return least[full]


def test_an_answer_is_shown_again_at_once_until_something_changes(quick: Bench) -> None:
    owner = quick.owner()
    first = ask(quick, owner, {"part": "fleet"})
    assert [one["vehicle"] for one in first["vehicles"]] == ["T1", "T2"]
    assert all(0 < one["used"] <= 1 for one in first["vehicles"])
    again = owner.post("/api/advice", {"part": "fleet"}).get_json()
    assert (again["job"], again["state"], again["answer"]) == ("", "done", first)
    case = owner.read("/api/cases/RG-001-Q")
    assert owner.put("/api/cases/RG-001-Q", {**case, "length_um": 900_000}).status_code == 200
    assert owner.post("/api/advice", {"part": "fleet"}).get_json()["state"] == "waiting"


def test_a_change_is_judged_by_the_year(quick: Bench) -> None:
    owner = quick.owner()
    show = small_show(owner, "RG-001-Q", "RG-004-K", "RG-007-E", "PW-001-J")
    changes: list[dict[str, Any]] = [
        {"name": "none", "do": "replace", "codes": ["AU-001-D"], "length_um": 900_000},
        {"name": "sell", "do": "sell", "codes": ["RG-001-Q", "RG-004-K", "RG-007-E"]},
        {"name": "buy", "do": "buy", "codes": ["RG-001-Q"], "count": 4},
    ]
    assert owner.put("/api/prices", PRICES).status_code == 200
    question = {"part": "year", "shows": [show], "times": {show: 10}, "changes": changes}
    answer = ask(quick, owner, question)
    none, sell, buy = answer["changes"]
    assert none["floor"]["verdict"] == "tie"
    assert sell["floor"]["verdict"] == "less"
    assert buy["floor"]["verdict"] == "more"
    assert answer["currency"] == "EUR"
    assert answer["nights"][0]["loads"][0]["money"] == {"low_cents": 180_00, "high_cents": 180_00}


def test_the_smallest_hire_of_a_show_with_and_without_prices(quick: Bench) -> None:
    owner = quick.owner()
    show = small_show(owner, "RG-001-Q", "RG-004-K")
    question = {"part": "hire", "show": show}
    bare = ask(quick, owner, question)
    assert bare["best"]["cost_cents"] is None
    assert bare["proven"]
    assert bare["cautions"]
    assert owner.put("/api/prices", PRICES).status_code == 200
    priced = ask(quick, owner, {**question, "drive": {"distance": 20, "hours": 0.5}})
    # T2: 120 a day, 2 ways of 20 at 0.60, 2 ways of half an hour at 30
    assert priced["best"]["cost_cents"] == 120_00 + 24_00 + 30_00
    assert [one["id"] for one in priced["best"]["vehicles"]] == ["T2"]
    assert priced["booked"]["fits"]
    assert priced["load_time"]["shop_load"]["nights"] == 0
    assert "no figure" in priced["load_time"]["shop_load"]["words"]


def test_a_question_is_stopped_and_what_is_known_is_not_kept(quick: Bench) -> None:
    owner = quick.owner()
    job = owner.post("/api/advice", {"part": "fleet"}).get_json()["job"]
    assert owner.delete(f"/api/advice/{job}").status_code == 200
    work_off(quick)
    found = owner.read(f"/api/advice/{job}")
    assert found["state"] == "done"
    assert found["trouble"] == "Stopped: what is shown is not the whole answer."
    assert owner.post("/api/advice", {"part": "fleet"}).get_json()["state"] == "waiting"


def test_a_shop_that_starts_asks_for_sets_of_sizes(quick: Bench) -> None:
    owner = quick.owner()
    needs = [NEED, {**NEED, "inside_um": [1_000_000, 500_000, 400_000], "count": 3}]
    question = {"part": "buy", "needs": needs, "anew": True, "most_sizes": 2, "vehicles": ["T1"]}
    answer = ask(quick, owner, question)
    assert answer["before"] == {"low_um": 0, "high_um": 0}
    one, two = answer["sets"]
    assert two["added"]["high_um"] <= one["added"]["high_um"]


@pytest.mark.parametrize(
    ("question", "status"),
    [
        ({"part": "colour"}, 422),
        ({"part": "buy", "needs": []}, 422),
        ({"part": "buy", "needs": [{**NEED, "height_um": 300_000}]}, 422),
        ({"part": "buy", "needs": [NEED], "vehicles": ["NO"]}, 422),
        ({"part": "year", "shows": ["none"]}, 404),
        ({"part": "year", "changes": [{"name": "x", "do": "sell", "codes": ["NO-1"]}]}, 422),
        ({"part": "hire", "show": "none"}, 404),
        ({"part": "hire", "show": "demo", "drive": {"distance": -1}}, 422),
        ({"part": "hire", "show": "demo", "more": 1}, 422),
    ],
)
def test_what_cannot_be_asked_is_refused(
    quick: Bench, question: dict[str, Any], status: int
) -> None:
    answer = quick.owner().post("/api/advice", question)
    assert answer.status_code == status, answer.text


@pytest.mark.parametrize(
    "change",
    [
        {"vehicles": [{"id": "NO"}]},
        {"vehicles": [{"id": "T1"}, {"id": "T1"}]},
        {"vehicles": [{"id": "T1", "day_cents": -1}]},
        {"vehicles": [{"id": "T1", "day_cents": 1.5}]},
        {"driver_hour_cents": 10**12},
    ],
)
def test_prices_that_cannot_be_are_refused_and_nothing_is_kept(
    quick: Bench, change: dict[str, Any]
) -> None:
    owner = quick.owner()
    assert owner.put("/api/prices", {**PRICES, **change}).status_code == 422
    assert owner.read("/api/prices")["currency"] == ""


def test_without_a_show_the_advisor_says_what_to_do(quick: Bench) -> None:
    owner = quick.owner()
    assert owner.get("/api/advice/none").status_code == 404
    job = owner.post("/api/shows/demo/plans", {"seconds": 1}).get_json()["job"]
    # a planning is no question to the advisor
    assert owner.get(f"/api/advice/{job}").status_code == 404
    busy = owner.post("/api/advice", {"part": "fleet"})
    assert busy.status_code == 409


def test_prices_that_somebody_else_changed_are_not_written_over(quick: Bench) -> None:
    owner = quick.owner()
    seen = owner.http.get("/api/prices").headers["ETag"]
    first = {**SENT, "If-Match": seen}
    assert owner.http.put("/api/prices", json=PRICES, headers=SENT).status_code == 428
    assert owner.http.put("/api/prices", json=PRICES, headers=first).status_code == 200
    late = owner.http.put("/api/prices", json={**PRICES, "currency": "CHF"}, headers=first)
    assert late.status_code == 412, late.text
    assert owner.read("/api/prices")["currency"] == PRICES["currency"]
