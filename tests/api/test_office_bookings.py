"""Kits, copies, conflicts, calendar, fit table, put-away and reports over HTTP."""

from __future__ import annotations

from server.core.shop.fit import ways
from tests.support.app import Bench, on


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
    whole = {"sheet": "a4_whole", "count": 2, "contact": "If found: 555-0100"}
    for paper in ({"sheet": "a4_large", "first": 2}, {"sheet": "roll", "roll": "62x100"}, whole):
        body = {"codes": ["RG-001-Q"], "faces": ["lid"], **paper}
        assert owner.post("/api/labels.pdf", body).data.startswith(b"%PDF")
    for wrong in (
        {"sheet": "a4_large", "first": 3},
        {"sheet": "roll", "roll": "9999x1"},
        {"count": 0},
        {"count": 21},
        {"contact": "x" * 81},
    ):
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
