"""Photos of a case in the office: added from a file, told in words, shown small in the list."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, expect

from tests.api.test_case_photos import jpeg
from tests.browser.office import TABLET, Office
from tests.browser.serving import Server
from tests.browser.test_office_open import judged


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
