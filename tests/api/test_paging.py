"""Lists page by page, by Link (RFC 8288), and filters."""

from __future__ import annotations

import re

import pytest

from tests.support.app import Bench, Caller


def walked(owner: Caller, path: str, name: str) -> list[str]:
    """Return the names of all pages, following each page's link."""
    names: list[str] = []
    while path:
        answer = owner.get(path)
        assert answer.status_code == 200, answer.text
        page = answer.get_json()
        assert len(page) <= 7
        names += [one[name] for one in page]
        found = re.fullmatch(r'<(/api/[^>]+)>; rel="next"', answer.headers.get("Link", ""))
        path = found[1] if found else ""
    return names


@pytest.mark.parametrize(
    ("path", "name"), [("/api/cases", "code"), ("/api/vehicles", "id"), ("/api/shows", "id")]
)
def test_pages_hold_every_item_once(quick: Bench, path: str, name: str) -> None:
    owner = quick.owner()
    if path == "/api/shows":
        for number in range(9):
            owner.post("/api/shows", {"name": f"Show {number}", "date": f"2027-01-0{number + 1}"})
    whole = owner.get(path)
    all_names = [one[name] for one in whole.get_json()]
    assert "Link" not in whole.headers
    assert whole.headers["X-Total-Count"] == str(len(all_names))
    assert walked(owner, f"{path}?limit=7", name) == sorted(all_names)
    last = max(all_names)
    assert owner.read(f"{path}?limit=7&after={last}") == []
    for wrong in ("limit=0", "limit=x", "limit=100000", f"after={'x' * 61}"):
        assert owner.get(f"{path}?{wrong}").status_code == 422


def test_a_page_reads_on_where_a_deleted_case_stood(quick: Bench) -> None:
    owner = quick.owner()
    codes = [one["code"] for one in owner.read("/api/cases")]
    between = f"{codes[4]}!"  # stands right after it, and is no case
    assert [one["code"] for one in owner.read(f"/api/cases?limit=3&after={between}")] == codes[5:8]


def test_filters_keep_what_they_say(quick: Bench) -> None:
    owner = quick.owner()
    cases = owner.read("/api/cases")
    department = cases[0]["department"]
    owner.patch(f"/api/cases/{cases[0]['code']}", {"state": "damaged", "name": "日本 Łódź amp"})
    assert [one["code"] for one in owner.read("/api/cases?state=damaged")] == [cases[0]["code"]]
    found = owner.read(f"/api/cases?department={department}")
    assert {one["department"] for one in found} == {department}
    assert [one["code"] for one in owner.read("/api/cases?q=łódź+日")] == [cases[0]["code"]]
    assert owner.get("/api/cases?state=lost").status_code == 422
    made = owner.post("/api/shows", {"name": "Spring", "date": "2028-03-01"}).get_json()["id"]
    owner.post(f"/api/shows/{made}/close")
    assert [one["id"] for one in owner.read("/api/shows?closed=true")] == [made]
    assert [one["id"] for one in owner.read("/api/shows?since=2028-01-01")] == [made]
    assert made not in {one["id"] for one in owner.read("/api/shows?until=2028-01-01")}
    assert owner.get("/api/shows?since=spring").status_code == 422
