"""Facts in and out: stored once, refused one by one, carried with a signature, judged again."""

from __future__ import annotations

from typing import Any

import pytest

from server.service import secrets
from tests.support.app import Bench, Phone, on

RELEASE = {"kind": "released", "signature": "M0 0L9 9", "signers": [], "digest": "0" * 64}


def ids(answer: dict[str, Any]) -> list[str]:
    return [one["event"]["id"] for one in answer["events"]]


def test_a_fact_sent_three_times_is_one_fact(bench: Bench) -> None:
    bo = bench.phone("Bo")
    fact = bo.fact(on("BL-002-C"))
    first, second = bo.tell(fact), bo.tell(fact, fact)
    assert first["stored"] == [fact["id"]] and second["stored"] == [fact["id"]] * 2
    assert ids(bo.tell()) == [fact["id"]] and bo.tell()["cursor"] == 1


def test_a_phone_gets_what_others_said_from_its_cursor_on(bench: Bench) -> None:
    bo, cy = bench.phone("Bo"), bench.phone("Cy")
    bo.tell(*(bo.fact(on(code)) for code in ("BL-002-C", "BL-003-A", "BL-007-2")))
    answer = cy.tell(cy.fact(on("PR-006-F")), since=2)
    assert ids(answer) == ["device-bo-3", "device-cy-1"]
    assert [one["seq"] for one in answer["events"]] == [3, 4] and answer["cursor"] == 4
    page = cy.read("/api/shows/demo/events?since=3")
    assert ids(page) == ["device-cy-1"] and page["more"] is False


def test_a_fact_comes_back_exactly_as_it_was_sent(bench: Bench) -> None:
    bo = bench.phone("Bo")
    fact = bo.fact({"kind": "damaged", "code": "BL-002-C", "note": "señal “rota” 🔧"}, more=[1])
    bo.tell(fact)
    assert bench.phone("Cy").tell()["events"][0]["event"] == fact


# what is wrong → a word of the reason
BROKEN: dict[str, tuple[dict[str, Any], str]] = {
    "another show": ({"show": "else"}, "another show"),
    "a vehicle that is not there": ({"vehicle": "T9"}, "no vehicle T9"),
    "no vehicle at all": ({"vehicle": None}, "needs a vehicle"),
    "a running number of zero": ({"n": 0}, "running number"),
    "a broken clock": ({"hlc": "now"}, "hlc"),
    "an unknown move": ({"move": "drive"}, "move"),
    "a wrong version": ({"v": 2}, "v: expected 1"),
    "a number as code": ({"body": {"kind": "on", "code": 7, "read": "typed"}}, "code"),
    "an id with blanks": ({"id": "a b"}, "plain id"),
    "half a sign": ({"body": {"kind": "hazard", "hazard": "h", "text": "\ud800"}}, "character"),
    "an empty sign": ({"body": {"kind": "damaged", "code": "a\0b", "note": ""}}, "no text"),
    "a claim to be chief": ({"by": {"id": "b", "name": "B", "role": "chief"}}, "in as loader"),
    "a number that is not whole": ({"extra": 0.5}, "whole numbers"),
    "an endless list": ({"body": {"kind": "seen", "x": ["y" * 99] * 2000}}, "larger than"),
}


@pytest.mark.parametrize("what", BROKEN)
def test_a_fact_that_can_never_be_taken_is_refused_and_holds_up_no_other(
    quick: Bench, what: str
) -> None:
    bo = quick.phone("Bo")
    change, word = BROKEN[what]
    bad, good = bo.fact(on("BL-002-C"), **change), bo.fact(on("BL-003-A"))
    answer = bo.tell(bad, good)
    assert answer["stored"] == [good["id"]]
    assert [one["id"] for one in answer["refused"]] == [bad["id"]]
    assert word in answer["refused"][0]["reason"]


def test_a_kind_of_a_newer_client_is_kept_for_those_who_know_it(quick: Bench) -> None:
    bo = quick.phone("Bo")
    fact = bo.fact({"kind": "sung", "song": 7})
    assert bo.tell(fact)["stored"] == [fact["id"]]


@pytest.mark.parametrize(
    "body",
    [
        {"kind": "excused", "code": "BL-002-C", "why": "never_came"},
        {"kind": "unexcused", "code": "BL-002-C"},
        {"kind": "unsent_known", "devices": ["x"], "note": "n"},
        {"kind": "overridden", "gate": "slack", "why": "w"},
        RELEASE,
        {"kind": "recalled", "why": "w"},
        {**RELEASE, "kind": "signed_off"},
    ],
    ids=lambda body: body["kind"],
)
def test_what_only_the_chief_says_is_refused_from_a_loader(
    quick: Bench, body: dict[str, Any]
) -> None:
    bo, ana = quick.phone("Bo"), quick.phone("Ana", chief=True)
    assert "Only the chief" in bo.tell(bo.fact(body))["refused"][0]["reason"]
    assert ana.tell(ana.fact(body))["refused"] == []


def test_a_phone_carries_the_signed_facts_of_another(bench: Bench) -> None:
    bo, cy = bench.phone("Bo"), bench.phone("Cy")
    carried = bo.fact(on("BL-002-C"))
    carried["sig"] = secrets.signature(bo.key, carried)
    assert cy.tell(carried)["stored"] == [carried["id"]]
    assert bo.tell(carried)["stored"] == [carried["id"]] and len(bo.tell()["events"]) == 1


def test_a_carried_fact_without_its_phones_signature_is_refused(quick: Bench) -> None:
    bo, cy = quick.phone("Bo"), quick.phone("Cy")
    bare, forged, changed = (bo.fact(on("BL-002-C")) for _ in range(3))
    forged["sig"] = secrets.signature(cy.key, forged)
    changed["sig"] = secrets.signature(bo.key, changed)
    changed["body"] = on("BL-003-A")
    assert len(cy.tell(bare, forged, changed)["refused"]) == 3


def test_a_loader_cannot_forge_the_chief_by_carrying(quick: Bench) -> None:
    bo, cy = quick.phone("Bo"), quick.phone("Cy")
    body = {"kind": "excused", "code": "BL-002-C", "why": "never_came"}
    fact = bo.fact(body, by={"id": "b", "name": "B", "role": "chief"})
    fact["sig"] = secrets.signature(bo.key, fact)
    assert "in as loader" in cy.tell(fact)["refused"][0]["reason"]


def test_missing_numbers_of_a_phone_are_asked_for_again(bench: Bench) -> None:
    bo = bench.phone("Bo")
    facts = [bo.fact(on(code)) for code in ("BL-002-C", "BL-003-A", "BL-007-2", "PR-006-F")]
    assert bo.tell(facts[0], facts[3])["gaps"] == [2, 3]
    assert bo.tell(facts[2])["gaps"] == [2] and bo.tell(facts[1])["gaps"] == []


def test_nobody_waits_for_numbers_that_a_phone_withdrew(bench: Bench) -> None:
    bo, ana = bench.phone("Bo"), bench.phone("Ana", chief=True)
    bad = bo.fact(on("BL-002-C"), vehicle="T9")
    assert bo.tell(bad, bo.fact(on("BL-003-A")))["gaps"] == [1]
    assert bo.tell(bo.fact({"kind": "withdrawn", "numbers": [1]}))["gaps"] == []
    heard = {one["device"]: one for one in ana.read("/api/shows/demo/devices")}
    assert heard["device-bo"]["missing"] == 0
    bo.post("/api/shows/demo/heartbeat", {"device": bo.device, "unsent": 2, "last_n": 5})
    heard = {one["device"]: one for one in ana.read("/api/shows/demo/devices")}
    assert heard["device-bo"]["missing"] == 2 and heard["device-bo"]["unsent"] == 2


def test_a_second_release_is_refused_until_the_first_is_recalled(bench: Bench) -> None:
    ana = bench.phone("Ana", chief=True)
    first = ana.fact(RELEASE)
    assert ana.tell(first)["refused"] == [] and ana.tell(first)["refused"] == []
    assert "released already by Ana" in ana.tell(ana.fact(RELEASE))["refused"][0]["reason"]
    again = ana.tell(ana.fact({"kind": "recalled", "why": "wrong row"}), ana.fact(RELEASE))
    assert again["refused"] == []


def test_a_release_that_does_not_hold_is_kept_with_a_note_for_the_chief(bench: Bench) -> None:
    ana = bench.phone("Ana", chief=True)
    answer = ana.tell(ana.fact(on("BL-002-C")), ana.fact(RELEASE))
    assert len(answer["stored"]) == 2
    (note,) = answer["notes"]
    assert note["event"] == "device-ana-2" and "released" in note["text"]
    assert any("BL-003-A is not on" in reason for reason in note["reasons"])
    assert not any("BL-002-C" in reason for reason in note["reasons"])
    assert bench.phone("Bo").read("/api/shows/demo/notes")["notes"] == [note]


def test_a_release_that_holds_leaves_no_note(quick: Bench) -> None:
    ana = quick.phone("Ana", chief=True)
    answer = ana.tell(*whole_load(ana), ana.fact(RELEASE))
    assert answer["refused"] == [] and answer["notes"] == []


def whole_load(phone: Phone, vehicle: str = "T1") -> list[dict[str, Any]]:
    """Return every fact that a vehicle's shop load asks for."""
    bundle = phone.read("/api/shows/demo/bundle")
    sheet = next(one for one in bundle["vehicles"] if one["id"] == vehicle)
    said = [phone.fact(on(code), vehicle=vehicle) for code in sheet["load"]]
    for row in sheet["rows"]:
        body = {"kind": "strapped", "row": row["number"], "count": row["straps"], "filled": True}
        said.append(phone.fact(body, vehicle=vehicle))
    for check in bundle["checks"]:
        if check["move"] == "shop_load":
            body = {"kind": "answered", "check": check["id"], "ok": True, "note": "none"}
            said.append(phone.fact(body, vehicle=vehicle))
    return said


def test_the_chiefs_close_ends_the_join_code(quick: Bench) -> None:
    code, ana = quick.code, quick.phone("Ana", chief=True)
    ana.tell(ana.fact({"kind": "closed"}, vehicle=None, move="put_away"))
    late = {"code": code, "name": "Di", "device": "device-di"}
    answer = quick.client().post("/api/join", late)
    assert answer.status_code == 403 and "over" in answer.text
    assert ana.tell(ana.fact(on("BL-002-C")))["refused"] == []  # who is in can still send


def test_a_phone_that_knows_more_than_a_restored_server_reads_all_anew(quick: Bench) -> None:
    bo = quick.phone("Bo")
    bo.tell(bo.fact(on("BL-002-C")))
    assert len(bo.tell(since=999)["events"]) == 1


def test_a_phone_whose_last_fact_the_restored_server_lost_reads_all_anew(bench: Bench) -> None:
    bo, cy = bench.phone("Bo"), bench.phone("Cy")
    facts = [bo.fact(on(code)) for code in ("BL-002-C", "BL-003-A", "BL-007-2")]
    assert cy.tell(*(cy.fact({"kind": "hands", "count": 4}) for _ in range(3)))["cursor"] == 3
    bo.tell(facts[0])
    address = "/api/shows/demo/events?since=3&last="
    # the same database goes on from the number; another fact under that number: all anew
    assert ids(bo.read(f"{address}device-cy-3")) == ["device-bo-1"]
    assert len(bo.read(f"{address}device-bo-9")["events"]) == 4
    # grown past the phone or not grown at all: the first number tells the phone that it is anew
    body = {"device": bo.device, "events": facts, "since": 6}
    answer = bo.post("/api/shows/demo/events?last=device-xx-6", body).get_json()
    assert [one["seq"] for one in answer["events"]] == [1, 2, 3, 4, 5, 6]
    assert answer["cursor"] == 6 and answer["stored"] == [one["id"] for one in facts]
    body = {"device": bo.device, "events": [], "since": 6}
    assert bo.post("/api/shows/demo/events?last=device-bo-3", body).get_json()["events"] == []


def test_a_phone_is_told_of_a_restored_server_that_holds_nothing(quick: Bench) -> None:
    bo = quick.phone("Bo")
    answer = bo.read("/api/shows/demo/events?since=7&last=device-bo-7")
    assert answer == {"events": [], "cursor": 0, "more": False}
    assert bo.tell(since=7)["cursor"] == 0


def test_facts_come_in_pages(quick: Bench) -> None:
    bo = quick.phone("Bo")
    facts = [bo.fact({"kind": "hands", "count": 4}) for _ in range(1001)]
    bo.tell(*facts[:600])
    answer = bo.tell(*facts[600:])
    assert len(answer["events"]) == 1000 and answer["more"] and answer["cursor"] == 1000
    assert len(bo.tell(since=1000)["events"]) == 1
