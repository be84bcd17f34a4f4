"""A phone without room: what could not be kept is said not to be taken, until there is room."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from playwright.sync_api import expect

from tests.browser.phone import Phone
from tests.browser.stage import Stage

# What every browser throws when a write finds no room (Indexed Database API 3.0, 5.9).
NO_ROOM: Final = """() => {
  window.put = IDBObjectStore.prototype.put;
  IDBObjectStore.prototype.put = () => { throw new DOMException("", "QuotaExceededError"); };
}"""
ROOM: Final = "() => { IDBObjectStore.prototype.put = window.put; }"


def test_a_scan_that_finds_no_room_is_not_answered_as_taken(
    make: Callable[[], Phone], house: Stage, bundle: dict[str, Any]
) -> None:
    first, second = bundle["vehicles"][0]["load"][:2]
    phone = make()
    phone.join(house.code)
    phone.work("shop_load", 0)
    page = phone.page
    page.evaluate(NO_ROOM)
    phone.wedge(first)
    full = page.get_by_role("alert").filter(has_text="not taken")
    expect(full).to_be_visible()
    expect(page.locator("[data-answer]")).to_have_count(0)
    assert not phone.outbox()
    page.evaluate(ROOM)
    assert phone.scan(first) == "right"
    expect(full).to_have_count(0)
    assert phone.scan(second) in {"right", "not_next"}
    numbers = sorted(event["n"] for event in phone.events())
    assert numbers == [1, 2], "expected no number lost to what was not kept"
