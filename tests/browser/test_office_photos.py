"""Photos of a case in the office: added from a file, told in words, shown small in the list."""

from __future__ import annotations

import urllib.request
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, expect

from tests.api.test_case_photos import jpeg
from tests.browser.crew import Crew
from tests.browser.office import TABLET, Office
from tests.browser.test_office_open import judged
from tests.support.serving import Server


@pytest.fixture
def office(browser: Browser, server: Server) -> Iterator[Office]:
    """Yield the office on a tablet, the owner in."""
    opened = Office(browser, server, TABLET)
    opened.set_up()
    yield opened
    opened.context.close()


def test_photos_of_a_case_are_added_told_in_words_and_removed(office: Office) -> None:
    page = office.page
    office.open("fleet/AU-001-D", "#photos")
    page.locator("#photo-words").fill("lid open")
    files = [{"name": f"{side}.jpg", "mimeType": "image/jpeg", "buffer": jpeg(side, 300)}
             for side in (400, 500)]  # fmt: skip
    page.locator("#add-photos").set_input_files(files)  # type: ignore[arg-type]
    expect(page.locator(".done")).to_have_text("2 photos are kept.")
    large = page.locator("#photos img")
    expect(large).to_have_count(2)
    expect(large.first).to_have_attribute("alt", "AU-001-D line array cart: lid open")
    widths = large.evaluate_all("all => Promise.all(all.map(async one => "
                                "(await one.decode(), one.naturalWidth)))")  # fmt: skip
    assert widths == [400, 500]
    assert not judged(page)
    wrong = {"name": "notes.txt", "mimeType": "text/plain", "buffer": b"no photo"}
    page.locator("#add-photos").set_input_files(wrong)  # type: ignore[arg-type]
    expect(page.locator(".trouble")).to_contain_text("no photo")
    office.open("fleet", ".small-photo")
    small = page.locator(".long-row").filter(has_text="AU-001-D").locator("img")
    expect(small).to_have_attribute("alt", "AU-001-D line array cart: lid open")
    assert small.evaluate("async one => (await one.decode(), one.naturalWidth)") == 240
    assert page.locator(".small-photo").count() == 1
    assert not judged(page)
    office.open("fleet/AU-001-D", "#photos")
    for left in (1, 0):
        page.get_by_role("button", name="Remove photo 1").click()
        expect(page.locator("#photos img")).to_have_count(left)
    assert office.ask("/case-photos") == {}


def test_a_photo_of_damage_is_shown_in_the_morning_and_kept_with_its_case(office: Office) -> None:
    page = office.page
    pin = office.context.request.post(
        f"{office.server.url}/api/shows/demo/pin", data={}, headers={"X-Rowcall": "1"}
    ).json()["pin"]
    crew = Crew(office.server.url, office.ask("/shows/demo/join")["code"], "Noor Vega", pin)
    headers = {"X-Rowcall": "1", "Content-Type": "image/jpeg"}
    address = f"{office.server.url}/api/shows/demo/photos?id=hinge-photo-1"
    crew.opener.open(urllib.request.Request(address, jpeg(640, 480), headers)).close()
    damage = {"kind": "damaged", "code": "RG-001-Q", "note": "hinge", "photo": "hinge-photo-1"}
    crew.report("load_out", crew.bundle()["vehicles"][0]["id"], damage)
    office.open("shows/demo/away", ".damage-photo")
    shown = page.locator(".damage-photo")
    expect(shown).to_have_attribute("alt", "RG-001-Q chain hoist case: hinge")
    assert shown.evaluate("async one => (await one.decode(), one.naturalWidth)") == 640
    assert not judged(page)
    office.open("fleet/RG-001-Q", "#take-hinge-photo-1")
    page.locator("#take-hinge-photo-1").click()
    expect(page.locator(".done")).to_contain_text("one of this case now")
    expect(page.locator("#take-hinge-photo-1")).to_have_count(0)
    office.open("reports", ".rank .small-photo")
    expect(page.locator(".rank")).to_contain_text("RG-001-Q")
    assert not judged(page)
