"""A photo of a whole row: every label in it counts at once (DESIGN 4, third way to read)."""

from __future__ import annotations

import io
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import FilePayload, expect

from tests.browser.film import label, view
from tests.browser.phone import Phone
from tests.browser.stage import Stage
from tests.browser.tour import open_screen

pytestmark = pytest.mark.slow


def photo(codes: list[str]) -> FilePayload:
    """Return a photo of labels as a phone's camera hands it over."""
    out = io.BytesIO()
    Image.fromarray(view([label(code, 6) for code in codes], 1280, 720)).save(out, "JPEG")
    return {"name": "row.jpg", "mimeType": "image/jpeg", "buffer": out.getvalue()}


def photo_of(house: Stage, name: str) -> bool:
    """Return whether the server has a photo."""
    with house.app.app_context():
        return house.ports.photos.get(house.show, name) is not None


@pytest.mark.parametrize("offline", [False, True], ids=["online", "offline"])
def test_a_photo_of_a_row_counts_every_case_in_it_and_names_what_is_not_there(
    chief: Phone, house: Stage, bundle: dict[str, Any], *, offline: bool
) -> None:
    chief.page.context.set_offline(offline)
    page, vehicle = chief.page, bundle["vehicles"][0]
    row = next(row for row in vehicle["rows"] if len(row["places"]) > 1)
    *there, gone = [place["code"] for place in row["places"]]
    foreign = bundle["vehicles"][1]["load"][0]
    open_screen(page, "row", str(row["number"]))
    page.locator("input[type=file]").first.set_input_files(photo([*there, foreign]))
    found = page.locator(".card-ask[role=status]")
    expect(found).to_contain_text(f"{len(there)} seen", timeout=30_000)
    expect(found).to_contain_text("1 of this row not seen")
    expect(found).to_contain_text(gone)
    expect(found).to_contain_text(foreign)
    found.locator(".btn-main").click()
    chief.until(lambda: set(chief.codes()) == set(there), "the cases of the photo on board")
    bodies = [event["body"] for event in chief.events()]
    assert {body["read"] for body in bodies if body["kind"] == "on"} == {"row_photo"}
    kept = next(body for body in bodies if body["kind"] == "row_photo")
    assert set(kept["codes"]) == {*there, foreign}
    chief.online()
    chief.until(lambda: not chief.outbox(), "an empty outbox once there is a network", 30)
    chief.until(lambda: photo_of(house, kept["photo"]), "the photo on the server", 30)


def test_a_check_is_answered_with_a_photo_and_a_number_that_others_see(
    chief: Phone, house: Stage, bundle: dict[str, Any]
) -> None:
    page = chief.page
    seal = next(one["id"] for one in bundle["checks"] if one["gate"] == "seal")
    open_screen(page, "checks", seal)  # as from a reason against the release
    asked = page.locator(f"[data-check={seal}]")
    expect(asked).to_be_in_viewport()
    asked.locator("input[type=file]").set_input_files(photo([]))
    expect(asked.locator("button[aria-pressed=true]")).to_be_visible()
    asked.locator("input").first.fill("0047 112")
    asked.locator(".answers .btn").first.click()
    expect(asked).to_have_count(0)
    said = next(event["body"] for event in chief.events() if event["body"]["kind"] == "answered")
    assert (said["check"], said["ok"], said["note"]) == (seal, True, "0047 112")
    chief.until(lambda: photo_of(house, said["photo"]), "the photo on the server", 30)
    page.locator(".moment").last.click()
    answered = page.locator(".answered").filter(has_text="0047 112")
    expect(answered).to_contain_text("Ana Cruz")
    answered.click()
    expect(page.locator("main img.photo")).to_be_visible()
