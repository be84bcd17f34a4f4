"""The owner's office: fleet, shows, plans by the worker, issue, and the bundle it makes."""

from __future__ import annotations

import threading
import time
from typing import Any

import pytest

from server.core.crew.bundle import read_bundle
from server.service.plan_show import work_off
from server.service.records import Job
from tests.support.app import Bench, Caller, on
from tests.support.case_codes import issue_codes

CASE = {"code": "", "length_um": 1_143_000, "width_um": 571_500, "height_um": 762_000}
VEHICLE = {"id": "V1", "width_um": 2_336_800, "length_um": 6_000_000, "height_um": 2_400_000}
CODES = [str(code) for code in issue_codes("ZZ", 0, 12)]


def planned(bench: Bench, owner: Caller, show: str) -> dict[str, Any]:
    """Ask for a plan, let a worker do it, and return the job."""
    asked = owner.post(f"/api/shows/{show}/plans", {"seconds": 1})
    assert asked.status_code == 202, asked.text
    with bench.app.app_context():
        assert work_off(bench.ports) == 1
    job: dict[str, Any] = owner.read(f"/api/shows/{show}/jobs/{asked.get_json()['job']}")
    return job


def test_from_an_empty_shop_to_a_bundle_in_the_crews_hands(bench: Bench) -> None:
    owner = bench.owner()
    for code in CODES:
        made = owner.post("/api/cases", {**CASE, "code": code, "mass_g": 100_000})
        assert made.status_code == 201, made.text
    assert owner.post("/api/vehicles", VEHICLE).status_code == 201
    cases = [{"code": code, "drop": 1 + place // 6} for place, code in enumerate(CODES)]
    body = {"name": "Club night", "vehicles": ["V1"], "cases": cases}
    show = owner.post("/api/shows", body).get_json()["id"]
    assert owner.get(f"/api/shows/{show}/bundle").status_code == 409  # nothing issued yet
    job = planned(bench, owner, show)
    assert job["state"] == "done" and job["revision"] == 1 and job["trouble"] is None
    # 12 cases of 45 x 22.5 in stand two and two in 90 in, six rows of 22.5 in, or better
    assert 0 < job["best"]["floor_length_um"] <= 6 * 571_500
    plan = owner.read(f"/api/shows/{show}/plans/1")
    assert plan["plan"]["format"] == "rowcall-plan-1" and plan["faults"] == []
    assert owner.issue(show, 1).status_code == 200
    assert [one["revision"] for one in owner.read(f"/api/shows/{show}/plans")] == [1]
    bundle = owner.read(f"/api/shows/{show}/bundle")
    assert bundle["revision"] == 1 and sorted(bundle["vehicles"][0]["load"]) == sorted(CODES)
    known = read_bundle(bundle)  # what the fold makes of it
    assert known.show == show and len(known.cases) == 73 + 12 and known.walk


def test_the_bundle_says_of_every_case_whether_it_is_on_this_show(quick: Bench) -> None:
    bundle = quick.phone("Bo").read("/api/shows/demo/bundle")
    called = {code for code, card in bundle["cases"].items() if card["drop"] is not None}
    placed = [code for sheet in bundle["vehicles"] for code in sheet["load"]]
    assert sorted(placed) == sorted(called) and len(bundle["cases"]) == 73 > len(called) >= 60
    for sheet in bundle["vehicles"]:
        assert sorted(sheet["load"]) == sorted(sheet["unload"])
        for code in sheet["load"]:
            assert bundle["cases"][code]["vehicle"] == sheet["id"]
        drops = [bundle["cases"][code]["drop"] for code in sheet["unload"]]
        assert drops[0] == min(drops)
        for row in sheet["rows"]:
            assert row["why"]["source"] and row["straps"] == row["why"]["value"]


def test_a_bundle_that_has_not_changed_is_not_sent_again(quick: Bench) -> None:
    bo = quick.phone("Bo")
    first = bo.get("/api/shows/demo/bundle")
    again = bo.get("/api/shows/demo/bundle", headers={"If-None-Match": first.headers["ETag"]})
    assert again.status_code == 304 and again.data == b""
    bo.tell(bo.fact(on("BL-002-C")))
    changed = bo.get("/api/shows/demo/bundle", headers={"If-None-Match": first.headers["ETag"]})
    assert changed.get_json()["cases"]["BL-002-C"]["last_seen"]["by"] == "Bo"


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"vehicles": ["T9"]}, "vehicles.0"),
        ({"vehicles": ["T1", "T1"]}, "vehicles"),
        ({"cases": [{"code": "XX-001-K"}]}, "cases.0.code"),
        ({"cases": [{"code": "BL-002-C"}, {"code": "BL-002-C"}]}, "cases"),
        ({"cases": [{"code": "BL-002-C", "vehicle": "T2"}]}, "cases.0.vehicle"),
        ({"cases": [{"code": "BL-002-C", "drop": 0}]}, "cases.0.drop"),
        ({"cases": [{"code": "BL-002-C", "dorp": 1}]}, "cases.0.dorp"),
        ({"name": ""}, "name"),
        ({"rules": {"securing": "none"}}, "rules.securing"),
    ],
)
def test_a_show_that_cannot_be_is_refused_by_the_field(
    quick: Bench, change: dict[str, Any], field: str
) -> None:
    answer = quick.owner().post("/api/shows", {"name": "X", "vehicles": ["T1"], **change})
    assert answer.status_code == 422
    assert field in [error["field"] for error in answer.get_json()["errors"]]


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"length_um": 0}, "length_um"),
        ({"width_um": -5}, "width_um"),
        ({"height_um": 1.5}, "height_um"),
        ({"mass_g": "7"}, "mass_g"),
        ({"stances": ["flying"]}, "stances.0"),
        ({"code": "PW-001-X"}, "code"),  # a wrong check character
        ({"colour": "red"}, "colour"),
    ],
)
def test_a_case_that_cannot_be_is_refused_by_the_field(
    quick: Bench, change: dict[str, Any], field: str
) -> None:
    answer = quick.owner().post("/api/cases", {**CASE, "code": CODES[0], **change})
    assert answer.status_code == 422
    assert answer.get_json()["errors"][0]["field"] == field


def test_a_code_is_given_once_and_for_life(quick: Bench) -> None:
    owner = quick.owner()
    body = {**CASE, "code": "PW-001-J"}
    assert owner.post("/api/cases", body).status_code == 409
    assert owner.put("/api/cases/PW-001-J", {**body, "code": CODES[0]}).status_code == 422
    assert owner.put(f"/api/cases/{CODES[0]}", {**CASE, "code": CODES[0]}).status_code == 404
    assert owner.put("/api/cases/PW-001-J", {**body, "state": "damaged"}).status_code == 200
    assert owner.read("/api/cases/PW-001-J")["state"] == "damaged"


def test_what_a_case_was_sent_as_it_is_read_as(bench: Bench) -> None:
    owner = bench.owner()
    case = owner.read("/api/cases/PW-001-J")
    assert owner.put("/api/cases/PW-001-J", case).get_json() == case
    vehicle = owner.read("/api/vehicles/T1")
    assert vehicle["axles"]["kind"] == "truck" and vehicle["straps"]["count"] == 24
    assert owner.put("/api/vehicles/T1", vehicle).get_json() == vehicle
    show = owner.read("/api/shows/demo")
    kept = {key: show[key] for key in ("name", "date", "rules", "units", "vehicles", "cases")}
    assert owner.put("/api/shows/demo", kept).get_json() == show


def test_a_fleet_comes_in_by_file_all_or_nothing(bench: Bench) -> None:
    owner = bench.owner()
    good = f"code,length,width,height\n{CODES[0]},30,30,30\nPW-001-J,46,30,30\n"
    dry = owner.send("/api/cases/import?dry_run=1", good.encode(), "text/csv")
    told = dry.get_json()
    assert (told["new"], told["changed"], told["same"]) == (1, 1, 0)
    assert told["changes"] == [
        {
            "code": "PW-001-J",
            "fields": [{"field": "length_in", "before": "45", "after": "46"}],
        }
    ]  # columns that the file does not have stay as they are
    assert owner.get(f"/api/cases/{CODES[0]}").status_code == 404
    bad = owner.send("/api/cases/import", (good + "PW-001-X,1,1,1\nB,x,1,1\n").encode(), "text/csv")
    assert bad.status_code == 422
    assert [(one["row"], one["column"]) for one in bad.get_json()["errors"]] == [
        (4, "code"),
        (5, "length"),
    ]
    assert "(PW-001-J)" in bad.get_json()["errors"][0]["expected"]
    assert owner.get(f"/api/cases/{CODES[0]}").status_code == 404
    assert owner.send("/api/cases/import", good.encode(), "text/csv").status_code == 200
    assert owner.read("/api/cases/PW-001-J")["length_um"] == 1_168_400
    out = owner.get("/api/cases.csv")
    assert out.mimetype == "text/csv" and out.data.startswith("\ufeffcode,".encode())
    again = owner.send("/api/cases/import", out.data, "text/csv").get_json()
    assert again == {"new": 0, "changed": 0, "same": 74, "changes": []}


def test_an_older_numbering_is_taken_by_its_pattern(quick: Bench) -> None:
    owner = quick.owner()
    settings = owner.read("/api/shop")
    assert owner.put("/api/shop", {**settings, "numbering": "[["}).status_code == 422
    assert owner.put("/api/shop", {**settings, "numbering": "CASE ###"}).status_code == 200
    assert owner.post("/api/cases", {**CASE, "code": "CASE 123"}).status_code == 201
    assert owner.post("/api/cases", {**CASE, "code": "CASE X"}).status_code == 422
    assert quick.phone("Bo").read("/api/shows/demo/bundle")["numbering"] == "CASE ###"


def test_lists_are_as_the_owner_edited_them(quick: Bench) -> None:
    owner = quick.owner()
    stop = {"id": "roof", "text": {"en": "Roof"}}
    check = {"id": "cat", "move": "load_out", "text": {"en": "Cat on board?"}, "gate": "cat"}
    settings = {**owner.read("/api/shop"), "walk": [stop], "checks": [check]}
    assert owner.put("/api/shop", {**settings, "walk": [stop, stop]}).status_code == 422
    assert owner.put("/api/shop", settings).status_code == 200
    bundle = quick.phone("Bo").read("/api/shows/demo/bundle")
    assert bundle["walk"] == [stop]
    filled = {"scope": "vehicle", "moment": "end", "photo": False, "note": False}
    assert bundle["checks"] == [{**check, **filled}]


def test_what_does_not_fit_is_told_and_never_called_a_fit(quick: Bench) -> None:
    owner = quick.owner()
    tall = {**CASE, "code": CODES[0], "height_um": 3_000_000, "length_um": 3_000_000}
    owner.post("/api/cases", tall)
    owner.post("/api/vehicles", VEHICLE)
    body = {"name": "Tall", "vehicles": ["V1"], "cases": [{"code": CODES[0]}]}
    show = owner.post("/api/shows", body).get_json()["id"]
    job = planned(quick, owner, show)
    assert job["trouble"] and job["trouble"].startswith("The cases cannot all be loaded")
    assert job["best"]["left_out"] == 1


def test_planning_is_asked_for_once_at_a_time_and_can_be_stopped(bench: Bench) -> None:
    owner = bench.owner()
    job = owner.post("/api/shows/demo/plans", {"seconds": 60}).get_json()["job"]
    assert owner.post("/api/shows/demo/plans", {"seconds": 60}).status_code == 409
    assert owner.read(f"/api/shows/demo/jobs/{job}")["state"] == "waiting"
    assert owner.delete(f"/api/shows/demo/jobs/{job}").status_code == 200
    with bench.app.app_context():
        assert bench.ports.jobs.heard(job, None, bench.clock.at)  # the worker is told to stop
    empty = owner.post("/api/shows", {"name": "Empty"}).get_json()["id"]
    assert owner.post(f"/api/shows/{empty}/plans", {"seconds": 1}).status_code == 422


def test_a_job_is_taken_by_one_worker_and_again_when_that_one_died(bench: Bench) -> None:
    owner = bench.owner()
    job = owner.post("/api/shows/demo/plans", {"seconds": 1}).get_json()["job"]
    begun: list[str] = []

    def worker_that_dies() -> int:
        with bench.app.app_context():
            jobs = bench.ports.jobs
            return jobs.work(lambda one: begun.append(one.id), bench.clock, 60_000)

    assert (worker_that_dies(), worker_that_dies()) == (1, 0)
    bench.clock.pass_ms(60_001)
    assert worker_that_dies() == 1
    assert begun == [job, job]


def test_two_workers_share_a_queue_and_do_each_job_once(bench: Bench) -> None:
    owner = bench.owner()
    asked = [Job(f"job-{number}", "demo", "waiting", 1, 1) for number in range(6)]
    with bench.app.app_context():
        for one in asked:
            bench.ports.jobs.add(one, bench.clock.at)
    done: list[str] = []
    counts: list[int] = []

    def end(job: Job) -> None:
        done.append(job.id)
        time.sleep(0.05)
        bench.ports.jobs.end(job.id, revision=1, trouble=None, now=bench.clock.at)

    def worker() -> None:
        with bench.app.app_context():
            counts.append(bench.ports.jobs.work(end, bench.clock, 60_000))

    workers = [threading.Thread(target=worker) for _ in range(2)]
    for thread in workers:
        thread.start()
    for thread in workers:
        thread.join(30)
    assert sorted(done) == [one.id for one in asked]
    assert sum(counts) == len(asked)
    assert {owner.read(f"/api/shows/demo/jobs/{one.id}")["state"] for one in asked} == {"done"}


def test_a_plan_that_the_judge_faults_is_never_issued(quick: Bench) -> None:
    owner = quick.owner()
    with quick.app.app_context():
        record = quick.ports.plans.get("demo", 1)
        assert record is not None
        quick.ports.plans.add("demo", record.show, record.plan, ["T1: it floats"], 0)
    answer = owner.post("/api/shows/demo/plans/2/issue")
    assert answer.status_code == 422 and "floats" in answer.text
    assert quick.phone("Bo").read("/api/shows/demo/bundle")["revision"] == 1


def test_the_record_of_a_night_verifies_and_a_changed_one_does_not(bench: Bench) -> None:
    from server.core.night.record_chain import verify

    ana = bench.phone("Ana", chief=True)
    ana.tell(*(ana.fact(on(code)) for code in ("BL-002-C", "BL-003-A")))
    record = ana.read("/api/shows/demo/record")
    assert verify(record) == () and len(record["digests"]) == 2
    record["events"][0]["body"]["code"] = "BL-007-2"
    assert [one.number for one in verify(record)][:1] == [1]
    lines = ana.get("/api/shows/demo/record.csv").data.decode("utf-8-sig").splitlines()
    assert len(lines) == 3 and "BL-002-C" in lines[1]
