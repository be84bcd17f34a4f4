"""What a loader and a chief do on the glass, in steps that tests put together."""

from __future__ import annotations

from typing import Any, Final

from playwright.sync_api import Locator, Page, expect

from tests.browser.phone import Phone

PLUS: Final = ".steps .btn"


def tab(page: Page, place: int) -> None:
    """Open one of the tabs: next, not on, rows, checks, more or all vehicles."""
    page.locator(".tab").nth(place).click()


def dismiss(page: Page) -> None:
    """Put the answer away, if it has not gone by itself."""
    # in one step: it may go by itself between a look and a click
    page.evaluate("document.querySelector('#dismiss')?.click()")
    expect(page.locator("[data-answer]")).to_have_count(0)


def scan_all(phone: Phone, codes: list[str]) -> None:
    """Scan case after case; each has to be right."""
    for code in codes:
        kind = phone.scan(code)
        assert kind in {"right", "not_next"}, f"{code}: expected a right answer, got {kind}"


def count_straps(page: Page, number: int) -> None:
    """Count a strap so many times and say that the row is strapped."""
    for _ in range(number):
        page.locator(PLUS).nth(1).click()
    if page.locator("#fill").count():
        page.locator("#fill").click()
    page.locator("#strapped").click()


def strap_rows(phone: Phone, vehicle: dict[str, Any], but: str | None = None) -> None:
    """Strap every row in which something stands, from the list of rows."""
    page = phone.page
    for row in vehicle["rows"]:
        if all(place["code"] == but for place in row["places"]):
            continue
        tab(page, 2)
        page.locator(".list .item").nth(row["number"] - 1).click()
        count_straps(page, row["straps"])
        expect(page.locator(".card-go")).to_be_visible()
        page.go_back()


def answer_checks(page: Page) -> None:
    """Say yes to every check, moment by moment; a checked one folds away and the next is there."""
    tab(page, 3)
    asked = page.locator("[data-check]")
    expect(page.locator(".moment").first).to_be_visible()
    while asked.count():
        check = asked.first.get_attribute("data-check")
        note = asked.first.locator("input[id^='note-']")
        if note.count():  # a yes counts with a number, or with why there is no photo
            note.fill("none")
        asked.first.locator(".answers .btn").first.click()
        expect(page.locator(f"[data-check='{check}']")).to_have_count(0)


def reasons(page: Page) -> Locator:
    """Open the release from the list of all vehicles; return the reasons against it."""
    return page.locator(".card-hold .list > li")


def open_release(page: Page, vehicle: int = 0) -> None:
    """Open a vehicle's release from the chief's screen."""
    tab(page, 4)
    page.locator("section.card").nth(vehicle).get_by_role("button").last.click()
    expect(page.locator(".frame .strip h1")).to_be_visible()


def sign(page: Page) -> None:
    """Draw a signature on the glass and give it."""
    glass = page.locator(".pad-glass").first
    glass.scroll_into_view_if_needed()
    box = glass.bounding_box()
    assert box is not None, "expected a glass to sign on"
    page.mouse.move(box["x"] + 30, box["y"] + box["height"] * 0.6)
    page.mouse.down()
    for step in range(1, 9):
        up = 0.25 if step % 2 else 0.7
        page.mouse.move(box["x"] + 30 + step * 25, box["y"] + box["height"] * up)
    page.mouse.up()
    page.locator("#sign").click()


def release(page: Page, vehicle: int = 0) -> None:
    """Release a vehicle that nothing holds any more."""
    open_release(page, vehicle)
    sign(page)
    expect(page.get_by_role("timer")).to_be_visible()


def leave_on_purpose(page: Page, custodian: str, until: str) -> None:
    """From the screen of a case: account for it as left on purpose."""
    page.locator("main .btn-ask").click()
    page.get_by_role("radio").first.click()
    page.locator("#custodian").fill(custodian)
    page.locator("#until").fill(until)
    page.locator("#excuse").click()
    expect(page.locator("#excuse")).to_have_count(0)


def walk(page: Page) -> None:
    """Walk the venue: every stop clear."""
    stops = page.locator("main ol > li")
    for place in range(stops.count()):
        clear = stops.nth(place).get_by_role("button").first
        clear.click()
        expect(clear).to_have_attribute("aria-pressed", "true")


def choose(phone: Phone, move: str, vehicle: int = 0) -> None:
    """Go to another move or vehicle by the strip at the top."""
    phone.page.locator(".strip-pick").click()
    phone.work(move, vehicle)
