"""A shop's own list through the office: proposed, corrected by choosing, good lines saved."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any
from urllib.parse import quote

from tests.support.app import Bench, Caller

LISTS = Path(__file__).parents[2] / "fixtures" / "lists"


def proposed(
    owner: Caller, content: bytes, choices: dict[str, Any] | None = None
) -> dict[str, Any]:
    address = f"/api/cases/propose?name=list&choices={quote(json.dumps(choices or {}))}"
    answer = owner.send(address, content, "application/octet-stream")
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.get_json()
    return found


def accepted(line: dict[str, Any]) -> dict[str, Any]:
    names = (
        "code", "length_um", "width_um", "height_um", "mass_g", "name", "department", "home",
        "note",
    )  # fmt: skip
    return {name: line[name] for name in names}


def good(found: dict[str, Any]) -> list[dict[str, Any]]:
    return [accepted(line) for line in found["lines"] if not line["asks"]]


def test_a_list_is_proposed_and_its_good_lines_become_the_fleet(bare: Bench) -> None:
    owner = bare.owner()
    found = proposed(owner, (LISTS / "list-06.tsv").read_bytes())
    assert found["numbering"] == "@-##/@" and found["units"]["length"] == "in"
    assert {one["role"] for one in found["columns"]} >= {"code", "length", "mass", "note"}
    assert [one["why"] for one in found["skipped"]] == ["a total"]
    assert len(found["lines"]) == 38 and len(good(found)) == 37
    assert owner.read("/api/cases") == []
    refused = owner.post("/api/cases/list", {"cases": good(found)[:2]}).get_json()
    assert refused["new"] == 0 and [one["field"] for one in refused["refused"]] == ["code", "code"]
    body = {"cases": good(found), "numbering": found["numbering"]}
    done = owner.post("/api/cases/list", body).get_json()
    assert (done["new"], done["refused"]) == (37, []) and "stacked" in done["hint"]
    assert owner.read("/api/shop")["numbering"] == "@-##/@"
    assert owner.read("/api/cases/L-01/B")["length_um"] == 1_524_000
    assert owner.read("/api/cases/L-01%2FB/photos")["photos"] == []
    again = owner.post("/api/cases/list", body).get_json()
    assert (again["new"], again["changed"], again["same"]) == (0, 0, 37)
    twice = owner.post(
        "/api/cases/list", {"cases": [*good(found)[:1], *good(found)[:1]]}
    ).get_json()
    assert twice["refused"][0]["message"].endswith("twice")


def test_columns_and_units_are_corrected_by_choosing(bare: Bench) -> None:
    owner = bare.owner()
    text = b"a;b;c;d\nK-1;45;22;24\nK-2;30;24;30\n"
    columns = {"code": 1, "width": 2, "length": 3, "height": 4}
    found = proposed(owner, text, {"heading": 1, "columns": columns, "units": {"length": "cm"}})
    assert found["lines"][0]["width_um"] == 450_000 and found["questions"] == []
    assert [one["role"] for one in found["columns"]] == ["code", "width", "length", "height"]


def test_what_is_no_list_or_no_choice_is_refused_in_words(bare: Bench) -> None:
    owner = bare.owner()
    address = "/api/cases/propose"
    for content, choices in (
        (b"%PDF-1.7", "{}"),
        (b"code,l\n", "{"),
        (b"code,l\n", '{"units":{"length":"x"}}'),
    ):
        answer = owner.send(f"{address}?choices={quote(choices)}", content, "text/csv")
        assert answer.status_code == 422, answer.text
    assert owner.send(address, b"x", "image/png").status_code == 415
    wrong = {"code": "K-1", "length_um": 0, "width_um": 1, "height_um": 1}
    assert owner.post("/api/cases/list", {"cases": [wrong]}).status_code == 422
    right = {**wrong, "length_um": 600_000}
    assert owner.post("/api/cases/list", {"cases": [right], "numbering": "@@@"}).status_code == 200
    assert owner.post("/api/cases/list", {"cases": [right], "numbering": "["}).status_code == 422


def test_a_fleet_with_check_characters_keeps_its_numbering(quick: Bench) -> None:
    owner = quick.owner()
    found = proposed(owner, (LISTS / "list-06.tsv").read_bytes())
    assert found["numbering"] == ""
    answer = owner.post("/api/cases/list", {"cases": good(found), "numbering": "@-##/@"})
    assert answer.status_code == 422 and "does not fit" in answer.get_json()["detail"]
