"""No document is left out of the versions: deletions, files, changes of many, kits, drafts, issue.

RFC 9110, 13.1.1 (If-Match); RFC 6585, 3 (428).
"""

from __future__ import annotations

from typing import Any

import pytest

import server
from server.api.roles import ACCESS
from server.service import changing, fleet_csv, upkeep
from server.service.ports import Ports
from server.service.troubles import Conflict, Stale
from tests.support.app import SENT, Bench, Caller

# What a change of it names instead of a version, or why it needs none. A route that is not here
# and neither demands If-Match fails the test below: somebody has to say which it is.
NEEDS_NONE = {
    "DELETE /api/session": "signs out",
    "DELETE /api/demo": "the whole demo; what a show uses is kept",
    "DELETE /api/shows/{show}/jobs/{job}": "stops planning",
    "DELETE /api/advice/{job}": "stops the advisor",
    "DELETE /api/cases/{code}/photos/{photo}": "a photo has no fields to change",
}


def told(answer: Any) -> dict[str, Any]:
    document: dict[str, Any] = answer.get_json()
    return document


def spare(owner: Caller) -> str:
    """Return the address of a case that no show has."""
    body = {"code": "PW-031-7", "length_um": 600_000, "width_um": 600_000, "height_um": 600_000}
    made = owner.post("/api/cases", body)
    if made.status_code == 422:  # the check character that belongs to it stands in the answer
        body["code"] = told(made)["errors"][0]["message"].split()[-1].rstrip(".")
        made = owner.post("/api/cases", body)
    assert made.status_code == 201, made.text
    return f"/api/cases/{body['code']}"


def test_every_change_of_a_document_demands_the_version_that_it_saw(quick: Bench) -> None:
    document = quick.client().read("/api/openapi.json")
    open_ones = {
        f"{method.upper()} {path}"
        for path, operations in document["paths"].items()
        for method, operation in operations.items()
        if method in {"put", "patch", "delete"} and "428" not in operation["responses"]
    }
    assert open_ones == set(NEEDS_NONE)
    assert ACCESS  # every route is in the table, so none hides from the document


@pytest.mark.parametrize("kind", ["case", "vehicle", "show"])
def test_what_somebody_changed_since_is_not_deleted_unread(quick: Bench, kind: str) -> None:
    owner, mia = quick.owner(), quick.owner("Mia")
    if kind == "case":
        path = spare(owner)
    elif kind == "vehicle":
        room = {"width_um": 2_400_000, "length_um": 5_000_000, "height_um": 2_000_000}
        assert owner.post("/api/vehicles", {"id": "X9", **room}).status_code == 201
        path = "/api/vehicles/X9"
    else:
        path = f"/api/shows/{told(owner.post('/api/shows', {'name': 'S'}))['id']}"
    seen = owner.get(path).headers["ETag"]
    assert owner.http.delete(path, headers=SENT).status_code == 428
    assert mia.patch(path, {"name": "Mia's"}).status_code == 200
    refused = owner.delete(path, seen)
    assert refused.status_code == 412, refused.text
    clash = told(refused)["conflicts"]
    assert [(one["field"], one["theirs"], one["by"]) for one in clash] == [("name", "Mia's", "Mia")]
    assert owner.delete(path, refused.headers["ETag"]).status_code == 200
    assert mia.patch(path, {"name": "Too late"}, "*").status_code == 404


def test_a_document_made_anew_goes_on_in_numbers_and_history(quick: Bench) -> None:
    owner = quick.owner()
    path = spare(owner)
    seen = owner.get(path).headers["ETag"]
    whole = owner.read(path)
    assert owner.delete(path, seen).status_code == 200
    assert owner.post("/api/cases", {**whole, "name": "Anew"}).status_code == 201
    again = owner.get(path, headers={"If-None-Match": seen})
    assert (again.status_code, told(again)["name"]) == (200, "Anew")
    assert again.headers["ETag"] not in {seen, '"1"'}
    # The page from before the deletion meets what is there, as any older page does.
    refused = owner.patch(path, {"name": "Old page"}, seen)
    assert (refused.status_code, told(refused)["conflicts"][0]["theirs"]) == (412, "Anew")
    lines = owner.read(f"/api/versions/case/{whole['code']}")
    assert [one["fields"] for one in lines[:2]] == [
        [{"field": "name", "before": whole["name"], "after": "Anew"}],
        [],
    ]


def test_a_restored_database_knows_no_page_of_what_was_lost(quick: Bench, tmp_path: Any) -> None:
    """Both count on from the backup: the same number would be another document."""
    owner = quick.owner()
    path = "/api/vehicles/T1"
    owner.patch(path, {"name": "In the backup"})
    with quick.app.app_context():
        lines = list(server.dump(quick.app))
    owner.patch(path, {"name": "Lost"})
    lost = owner.get(path).headers["ETag"]
    fresh = Bench(f"sqlite:///{tmp_path}/fresh.sqlite", tmp_path / "fresh")
    try:
        server.load(fresh.app, iter(lines), "backup")
        back = fresh.owner("Nia")
        back.patch(path, {"payload_g": 1_000_000})
        assert back.get(path).headers["ETag"] != lost
        assert back.patch(path, {"name": "From a page of before"}, lost).status_code == 412
        read = back.get(path, headers={"If-None-Match": lost})
        assert (read.status_code, told(read)["name"]) == (200, "In the backup")
        now = read.headers["ETag"]
        assert back.patch(path, {"name": "After"}, now).status_code == 200
        history = back.read("/api/versions/vehicle/T1")
        assert [one["by"] for one in history[:3]] == ["Nia", "Nia", "Olive"]
    finally:
        fresh.close()


def test_a_change_of_many_loses_nothing_that_comes_between(
    quick: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Somebody keeps a note after the cases were read and before they are kept."""
    owner = quick.owner()
    codes = [one["code"] for one in owner.read("/api/cases")[:2]]
    path = f"/api/cases/{codes[0]}"
    between = [lambda: owner.patch(path, {"notes": {"note": "new lid"}})]
    picked = upkeep.picked

    def slowly(ports: Ports, asked: list[str]) -> Any:
        found = picked(ports, asked)
        while between:
            assert between.pop()().status_code == 200
        return found

    monkeypatch.setattr(upkeep, "picked", slowly)
    with quick.app.test_request_context():
        assert upkeep.change(quick.ports, codes, {"home": "Z9"}) == 2
    now = owner.read(path)
    assert (now["home"], now["notes"]["note"]) == ("Z9", "new lid")


def test_a_file_loses_nothing_that_comes_between(
    quick: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    from server.service import shop

    owner = quick.owner()
    first = owner.read("/api/cases")[0]
    code = first["code"]
    between = [lambda: owner.patch(f"/api/cases/{code}", {"notes": {"note": "new lid"}})]
    read = fleet_csv.read_fleet

    def slowly(*args: Any) -> Any:
        found = read(*args)
        while between:
            assert between.pop()().status_code == 200
        return found

    monkeypatch.setattr(shop, "read_fleet", slowly)
    sides = ("length", "width", "height")
    cells = [f"{first[f'{side}_um'] / 1000:g}" for side in sides]
    text = f"code,length mm,width mm,height mm,home\n{code},{','.join(cells)},Z9\n"
    with quick.app.test_request_context():
        shop.import_fleet(quick.ports, text.encode(), dry_run=False)
    now = owner.read(f"/api/cases/{code}")
    assert (now["home"], now["notes"]["note"]) == ("Z9", "new lid")


def test_kits_have_a_history_and_one_is_taken_back(quick: Bench) -> None:
    owner = quick.owner()
    before = owner.read("/api/kits")
    code = owner.read("/api/cases")[0]["code"]
    more = [*before, {"id": "", "name": "Small PA", "codes": [code]}]
    assert owner.put("/api/kits", more).status_code == 200
    owner.patch("/api/shop", {"name": "Ours"})
    lines = owner.read("/api/versions/kits/1")
    assert [[each["field"] for each in one["fields"]] for one in lines[:1]] == [["kits"]]
    assert "kits" not in {
        each["field"] for one in owner.read("/api/versions/shop/1") for each in one["fields"]
    }
    undone = owner.post(f"/api/versions/kits/1/{lines[0]['version']}/undo")
    assert undone.status_code == 200, undone.text
    assert (owner.read("/api/kits"), owner.read("/api/shop")["name"]) == (before, "Ours")


def test_a_deleted_case_leaves_its_kits(quick: Bench) -> None:
    owner = quick.owner()
    path = spare(owner)
    code = path.rpartition("/")[2]
    before = owner.read("/api/kits")
    other = owner.read("/api/cases")[0]["code"]
    kits = [*before, {"id": "a", "name": "Both", "codes": [code, other]},
            {"id": "b", "name": "Alone", "codes": [code]}]  # fmt: skip
    assert owner.put("/api/kits", kits).status_code == 200
    assert owner.delete(path).status_code == 200
    now = owner.read("/api/kits")
    assert now == [*before, {"id": "a", "name": "Both", "codes": [other]}]
    assert owner.put("/api/kits", now).status_code == 200


def test_what_is_called_meanwhile_is_not_deleted(
    quick: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    owner = quick.owner()
    path = spare(owner)
    code = path.rpartition("/")[2]
    show = told(owner.post("/api/shows", {"name": "S"}))["id"]
    fleet = quick.ports.fleet
    remove = type(fleet).remove

    def later(self: Any, *args: Any) -> None:
        monkeypatch.setattr(type(fleet), "remove", remove)
        body = {"cases": [{"code": code}]}
        assert owner.patch(f"/api/shows/{show}", body).status_code == 200
        remove(self, *args)

    monkeypatch.setattr(type(fleet), "remove", later)
    assert owner.delete(path).status_code == 412
    assert owner.get(path).status_code == 200


def test_a_draft_says_that_a_newer_revision_was_made(quick: Bench) -> None:
    owner = quick.owner()
    opened = told(owner.post("/api/shows/demo/edit", {"revision": 1}))
    body = {"revision": 1, "draft": opened["plan"], "latest": opened["latest"]}
    assert owner.post("/api/shows/demo/drafts", body).status_code == 201
    refused = owner.post("/api/shows/demo/drafts", body)
    assert refused.status_code == 412
    assert "Revision 2" in told(refused)["detail"]
    beside = owner.post("/api/shows/demo/drafts", {"revision": 1, "draft": opened["plan"]})
    assert told(beside)["revision"] == 3


def test_nobody_issues_over_a_revision_that_was_not_seen(quick: Bench) -> None:
    owner = quick.owner()
    opened = told(owner.post("/api/shows/demo/edit", {"revision": 1}))
    issued = owner.read("/api/shows/demo")["issued"]
    body = {"revision": 1, "draft": opened["plan"]}
    two, three = (told(owner.post("/api/shows/demo/drafts", body))["revision"] for _ in range(2))
    plans = "/api/shows/demo/plans"
    assert owner.issue("demo", two, instead_of=issued).status_code == 200
    refused = owner.post(f"{plans}/{three}/issue", {"instead_of": issued})
    assert refused.status_code == 412
    assert f"Revision {two}" in told(refused)["detail"]
    assert owner.read("/api/shows/demo")["issued"] == two


def test_many_at_once_give_up_with_a_word(quick: Bench) -> None:
    def never(_: object) -> None:
        raise Stale("again")

    with quick.app.app_context(), pytest.raises(Conflict, match="try again"):
        changing.together(quick.ports, "case", never)
