"""A real shop's first evening: from its own list to a joined phone, with clicks counted."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, Page, Playwright, expect

from tests.browser.office import Office
from tests.browser.phone import Phone
from tests.support.serving import Server

LISTS: Final = Path(__file__).parents[2] / "fixtures" / "lists"
MOST_CLICKS: Final = 35
COUNT: Final = """
addEventListener("pointerdown", (event) => {
  const before = Number(localStorage.getItem("clicks") ?? 0);
  if (event.isTrusted) localStorage.setItem("clicks", String(before + 1));
}, true);
"""


@pytest.fixture
def shop(browser: Browser, tmp_path: Path) -> Iterator[Office]:
    """Return the office of a shop with nothing in it."""
    running = Server(tmp_path / "server", "--empty").start()
    office = Office(browser, running)
    office.context.add_init_script(COUNT)
    office.set_up()
    yield office
    office.context.close()
    running.stop()


def import_list(page: Page) -> None:
    page.get_by_role("link", name="Fleet").click()
    page.locator("#first-list").click()
    page.locator("#list-file").set_input_files(LISTS / "list-01.csv")
    expect(page.locator("#mend legend")).to_have_count(2)
    page.locator("#shop-units").click()
    page.locator("#mend-14-l").fill("76,2")
    page.locator("#mend-14-good").click()
    page.locator("#mend-32-h").fill("24 in")
    page.locator("#mend-32-good").click()
    expect(page.locator("#mend")).to_have_count(0)
    page.locator("#lid-all").fill("200 kg")
    page.locator("#save-list").click()
    expect(page.locator(".done")).to_contain_text("38 new, 0 changed")


def rent_a_truck(page: Page, office: Office) -> None:
    office.open("vehicles/new", "#vehicle-class")
    page.locator("#vehicle-class").select_option("box-26")
    page.locator("#vehicle-id").fill("T1")
    page.locator("#keep").click()
    expect(page.locator(".done")).to_contain_text("is kept")


def make_the_show(page: Page) -> None:
    page.get_by_role("link", name="Shows").click()
    page.locator("#new-show").click()
    page.locator("#show-name").fill("First night")
    page.locator("#book-T1").check()
    page.locator("#pick-all").click()
    for department in ("Power", "Cable", "Rigging"):
        page.get_by_label(f"Drop of {department}").select_option("1")
    for department in ("Band", "Sound", "Lights", "Video", "Tools"):
        page.get_by_label(f"Drop of {department}").select_option("2")
    page.locator("#keep-show").click()
    expect(page.locator("#plan")).to_be_visible()


def test_from_a_shops_own_list_to_a_joined_phone(
    shop: Office, play: Playwright, browser: Browser
) -> None:
    page = shop.page
    import_list(page)
    cases: Any = shop.ask("/cases")
    assert len(cases) == 38 and shop.ask("/shop")["units"] == {"length": "cm", "mass": "kg"}
    assert all(case["lid_load_g"] == 200_000 for case in cases)
    rent_a_truck(page, shop)
    make_the_show(page)
    page.locator("#plan-seconds").select_option("5")
    page.locator("#plan").click()
    expect(page.locator("#progress")).to_have_attribute("data-state", "done", timeout=60_000)
    show = page.url.split("/shows/")[1].split("/")[0]
    called = {case["code"]: case["drop"] for case in shop.ask(f"/shows/{show}")["cases"]}
    assert len(called) == 38 and set(called.values()) == {1, 2}
    page.locator("#issue").click()
    expect(page.locator("#issue-now")).to_be_visible()
    expect(page.locator("#concern-unweighed")).to_contain_text("BA 10")
    for word in page.locator("#before-issue input").all():
        word.fill("weighed tomorrow, driven as planned")
    page.locator("#issue-now").click()
    expect(page.locator("#issued")).to_be_visible()
    page.get_by_role("link", name="Crew").click()
    page.locator("#new-pin").click()
    pin = page.locator("#pin").inner_text()
    code = shop.ask(f"/shows/{show}/join")["code"]
    clicks = int(page.evaluate("localStorage.getItem('clicks')"))
    assert clicks <= MOST_CLICKS, f"expected at most {MOST_CLICKS} clicks, got {clicks}"
    context = browser.new_context(**play.devices["Pixel 7"])
    phone = Phone(context.new_page(), shop.server.url)
    phone.join(code, "Ana Cruz", pin)
    phone.work()
    context.close()
