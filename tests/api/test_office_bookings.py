"""Kits, copies, conflicts, calendar, fit table, next purchase, put-away and reports over HTTP."""

from __future__ import annotations

import itertools
from typing import Any

import pytest

from server.core.shop.fit import ways
from tests.support.app import Bench, Caller, on


def work_off(bench: Bench) -> None:
    """Do what waits for the planner."""
    from server.service.plan_show import work_off

    with bench.app.app_context():
        work_off(bench.ports)


def test_kits_are_kept_whole_and_survive_the_settings(quick: Bench) -> None:
    owner = quick.owner()
    kit = {"name": "Rigging", "codes": ["RG-001-Q", "RG-003-M"]}
    kept = owner.put("/api/kits", [kit]).get_json()
    assert kept[0]["id"] and kept[0]["codes"] == kit["codes"]
    shop = owner.read("/api/shop")
    assert owner.put("/api/shop", shop).status_code == 200
    assert owner.read("/api/kits") == kept
    wrong = owner.put("/api/kits", [{"name": "X", "codes": ["NO-1"]}])
    assert wrong.status_code == 422
    assert owner.read("/api/kits") == kept


def test_a_copy_leaves_at_home_what_cannot_travel(quick: Bench) -> None:
    owner = quick.owner()
    change = {"codes": ["RG-001-Q"], "change": {"state": "repair"}}
    assert owner.post("/api/cases/change", change).get_json() == {"changed": 1}
    made = owner.post("/api/shows/demo/copy", {"name": "Again", "date": "2028-05-12"}).get_json()
    assert made["stay"] == ["RG-001-Q"]
    copy, first = owner.read(f"/api/shows/{made['id']}"), owner.read("/api/shows/demo")
    assert copy["date"] == "2028-05-12" and copy["issued"] == 0
    assert copy["vehicles"] == first["vehicles"]
    assert len(copy["cases"]) == len(first["cases"]) - 1


def test_the_same_day_tells_which_cases_another_show_has(quick: Bench) -> None:
    owner = quick.owner()
    day = owner.read("/api/shows/demo")["date"]
    told = owner.read(f"/api/conflicts?date={day}&besides=other")
    assert told["vehicles"] == {"T1": ["Harbour lights benefit"], "T2": ["Harbour lights benefit"]}
    assert "RG-001-Q" in told["cases"]
    assert owner.read(f"/api/conflicts?date={day}&besides=demo") == {"cases": {}, "vehicles": {}}
    assert owner.read("/api/conflicts?date=2030-01-01")["cases"] == {}


def test_shows_go_into_a_calendar(quick: Bench) -> None:
    # RFC 5545: CRLF, 3.1 lines of at most 75 octets, 3.3.11 commas escaped
    owner = quick.owner()
    name = "Ål, bål; og " + "å lå ny " * 5
    owner.post("/api/shows", {"name": name.strip(), "date": "2027-06-01"})
    answer = owner.get("/api/shows.ics")
    text = answer.data.decode()
    assert answer.content_type.startswith("text/calendar")
    assert text.endswith("END:VCALENDAR\r\n") and "\n" not in text.replace("\r\n", "")
    assert all(len(line.encode()) <= 75 for line in text.split("\r\n"))
    whole = text.replace("\r\n ", "")
    assert "SUMMARY:Ål\\, bål\\; og å lå" in whole
    assert "DTSTART;VALUE=DATE:20270601\r\nDTEND;VALUE=DATE:20270602" in whole


def test_the_fit_table_holds_every_case_and_says_what_the_core_says(quick: Bench) -> None:
    owner = quick.owner()
    told = owner.read("/api/fit")
    codes = [code for kind in told["kinds"] for code in kind["codes"]]
    assert sorted(codes) == sorted(one["code"] for one in owner.read("/api/cases"))
    with quick.app.app_context():
        vehicle = quick.ports.fleet.vehicle("T1")
        case = quick.ports.fleet.case(told["kinds"][0]["codes"][0])
    assert vehicle is not None
    assert case is not None
    first = told["vehicles"][0]["ways"][0]
    assert [one["count"] for one in first] == [
        one.across for one in ways(case.case, vehicle.vehicle)
    ]


def small_show(owner: Caller) -> str:
    """Return a show of a few cases in T1, small enough to be searched in no time."""
    cases = [{"code": code} for code in ("RG-001-Q", "RG-003-M", "RG-004-K", "AU-001-D")]
    body = {"name": "Small", "date": "2027-07-01", "vehicles": ["T1"], "cases": cases}
    show: str = owner.post("/api/shows", body).get_json()["id"]
    return show


def test_the_next_purchase_agrees_with_every_way_to_stand_the_cases(quick: Bench) -> None:
    """Every candidate against every way to part the cases into rows and to turn them."""
    owner = quick.owner()
    codes = ["RG-001-Q", "RG-004-K", "RG-007-E", "PW-001-J", "AU-001-D"]
    body: dict[str, Any] = {"name": "Small", "date": "2027-07-01", "vehicles": ["T1"],
                            "cases": [{"code": code} for code in codes]}  # fmt: skip
    show = owner.post("/api/shows", body).get_json()["id"]
    cases = [owner.read(f"/api/cases/{code}") for code in codes]
    # nothing rides and no lid takes casters: all stands on the floor, so that rows are all there is
    assert not any(one["rides"] or one["lid_casters"] or one["stances"] != ["upright"]
                   for one in cases)  # fmt: skip
    width = owner.read("/api/vehicles/T1")["width_um"]
    like = {"length_um": 762_000, "width_um": 571_500, "height_um": 609_600, "mass_g": 60_000}
    # seconds: far more than it takes to prove
    ask = {"like": like, "shows": [show], "vehicles": ["T1"], "seconds": 10}
    asked = owner.post("/api/purchase", ask)
    assert asked.status_code == 202, asked.text
    work_off(quick)
    told = owner.read(f"/api/shows/{show}/jobs/{asked.get_json()['job']}")
    assert told["state"] == "done", told
    verdicts = told["best"]["verdicts"]
    assert told["best"]["done"] == told["best"]["of"] == len(verdicts)
    floor = [(one["length_um"], one["width_um"]) for one in cases]
    before = least_floor(floor, width)
    expected = {}
    for footprint in footprints((762_000, 571_500), width):
        expected[footprint] = least_floor([*floor, footprint], width) - before
    found = {(one["length_um"], one["width_um"]): one["mean_added_um"] for one in verdicts}
    assert found == expected
    assert len(set(expected.values())) > 2, "expected footprints that differ in what they cost"
    best = min(expected, key=lambda one: (expected[one], one[0] * one[1], one[0]))
    assert (verdicts[0]["length_um"], verdicts[0]["width_um"]) == best


def footprints(like: tuple[int, int], width: int) -> set[tuple[int, int]]:
    """Return halves, thirds and quarters of the width, and the wish, near its own floor."""
    sides = {*like, width // 2, width // 3, width // 4}
    floor = like[0] * like[1]
    every = {(max(pair), min(pair)) for pair in itertools.product(sides, sides)}
    return {pair for pair in every if floor / 2 <= pair[0] * pair[1] <= floor * 2}


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


def test_comparing_footprints_tells_how_far_it_is_and_stops(quick: Bench) -> None:
    owner = quick.owner()
    show = small_show(owner)
    like = {"length_um": 762_000, "width_um": 571_500, "height_um": 609_600, "mass_g": 60_000}
    ask = {"like": like, "shows": [show], "vehicles": ["T1"], "seconds": 1}
    job = owner.post("/api/purchase", ask).get_json()["job"]
    far: list[tuple[int, int]] = []
    heard = quick.ports.jobs.heard

    def listen(name: str, best: dict[str, Any] | None, now: int) -> bool:
        quick.clock.pass_ms(1_000)
        stopped = heard(name, best, now)
        if best is not None:
            far.append((best["done"], len(best["verdicts"])))
            if best["done"] == 2:
                owner.delete(f"/api/shows/{show}/jobs/{job}")
        return stopped

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(quick.ports.jobs, "heard", listen)
        work_off(quick)
    told = owner.read(f"/api/shows/{show}/jobs/{job}")
    assert far[:3] == [(0, 0), (1, 1), (2, 2)]
    assert told["state"] == "done" and len(told["best"]["verdicts"]) == 2
    assert told["trouble"] == f"Stopped after 2 of {told['best']['of']} footprints."


def test_put_away_sorts_by_home_and_names_what_is_short_and_damaged(quick: Bench) -> None:
    owner = quick.owner()
    chief = quick.phone("Ch", chief=True)
    sheet = owner.read("/api/shows/demo/plans/1")["sheets"][0]
    codes = sheet["load"][:4]
    chief.tell(
        *(chief.fact(on(code), move="shop_load") for code in codes),
        *(chief.fact({"kind": "off", "code": code, "read": "typed"}, move="load_in")
          for code in codes),
        *(chief.fact(on(code), move="load_out") for code in codes[:3]),
        chief.fact({"kind": "damaged", "code": codes[0], "note": "lid bent"}, move="load_out"),
        chief.fact({"kind": "seen", "code": codes[3], "place": "stage, kerb side", "read": "typed"},
                   move="load_out"),
    )  # fmt: skip
    told = owner.read("/api/shows/demo/put-away")
    homes = {case["code"]: home["home"] for home in told["homes"] for case in home["cases"]}
    fleet = {one["code"]: one for one in owner.read("/api/cases")}
    assert all(homes[code] == fleet[code]["home"] for code in homes)
    assert [home["home"] for home in told["homes"]] == sorted(set(homes.values()))
    assert [one["note"] for one in told["damaged"]] == ["lid bent"]
    short = {one["code"]: one for one in told["short"]}
    assert short[codes[3]]["seen"] == "stage, kerb side"
    report = owner.read("/api/reports")
    assert [one["code"] for one in report["damaged"]] == [codes[0]]
    assert codes[3] in [one["code"] for one in report["forgotten"]]
    assert {leg["move"] for leg in report["nights"][0]["legs"]} >= {"shop_load", "load_out"}
    history = owner.read(f"/api/cases/{codes[0]}/history")
    assert history[0]["what"] == "reported damaged, lid bent"


def test_put_away_follows_the_homes_as_the_owner_walks_them(quick: Bench) -> None:
    owner = quick.owner()
    shop = owner.read("/api/shop")
    assert shop["homes"] == []
    walked = ["V2", "A3", "A1"]
    assert owner.put("/api/shop", {**shop, "homes": [*walked, "A3"]}).status_code == 200
    assert owner.read("/api/shop")["homes"] == walked
    homes = [one["home"] for one in owner.read("/api/shows/demo/put-away")["homes"]]
    assert homes[:4] == [*walked, "A2"]
    assert quick.phone("Bo").read("/api/shows/demo/bundle")["homes"] == walked


def test_labels_of_picked_cases_are_a_pdf(quick: Bench) -> None:
    owner = quick.owner()
    answer = owner.post("/api/labels.pdf", {"codes": ["RG-001-Q"], "sheet": "letter"})
    assert answer.status_code == 200 and answer.data.startswith(b"%PDF")
    assert owner.post("/api/labels.pdf", {"codes": ["NO-1"]}).status_code == 422
    for paper in ({"sheet": "a4_large", "first": 2}, {"sheet": "roll", "roll": "62x100"}):
        body = {"codes": ["RG-001-Q"], "faces": ["lid"], **paper}
        assert owner.post("/api/labels.pdf", body).data.startswith(b"%PDF")
    for wrong in ({"sheet": "a4_large", "first": 3}, {"sheet": "roll", "roll": "9999x1"}):
        assert owner.post("/api/labels.pdf", {"codes": ["RG-001-Q"], **wrong}).status_code == 422


def test_one_change_goes_to_all_picked_cases_or_to_none(quick: Bench) -> None:
    owner = quick.owner()
    codes = ["RG-001-Q", "RG-003-M"]
    wrong = owner.post("/api/cases/change", {"codes": [*codes, "NO-1"], "change": {"home": "Z9"}})
    assert wrong.status_code == 422
    assert owner.read("/api/cases/RG-001-Q")["home"] != "Z9"
    assert owner.post("/api/cases/change", {"codes": codes, "change": {"home": "Z9"}}).get_json() \
        == {"changed": 2}  # fmt: skip
    assert {owner.read(f"/api/cases/{code}")["home"] for code in codes} == {"Z9"}
    weighed = {"mass_g": 120_000, "weighed_on": "2027-05-01", "casters": False}
    assert owner.post("/api/cases/change", {"codes": codes, "change": weighed}).status_code == 200
    for case in (owner.read(f"/api/cases/{code}") for code in codes):
        assert (case["mass_g"], case["casters"]) == (120_000, False)
        assert case["notes"]["weighed_on"] == "2027-05-01"


def test_a_closed_show_lets_nobody_in(quick: Bench) -> None:
    owner = quick.owner()
    code = owner.read("/api/shows/demo/join")["code"]
    assert owner.post("/api/shows/demo/close").status_code == 200
    stranger = quick.client().post("/api/join", {"code": code, "name": "S", "device": "device-s"})
    assert stranger.status_code == 403
