"""What does it look like? The shop's photo of a case on the phone, also without a network."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

from PIL import Image
from playwright.sync_api import Locator, expect

from server.service import case_photos
from tests.browser.phone import Phone
from tests.browser.stage import Stage

SHOWN = "each => each.decode().then(() => each.naturalWidth)"


def photograph(house: Stage, code: str) -> None:
    """Keep a photo of a case, as the owner does in the office."""
    out = io.BytesIO()
    Image.new("RGB", (800, 600), "teal").save(out, "JPEG")
    with house.app.app_context():
        case_photos.add(house.ports, code, out.getvalue(), "")


def width(photo: Locator) -> int:
    """Return how many pixels of a photo arrived; fails where none did."""
    expect(photo).to_be_visible()
    seen: int = photo.evaluate(SHOWN)
    return seen


def test_a_loader_sees_what_a_missing_case_looks_like_also_without_a_network(
    make: Callable[[], Phone], house: Stage, bundle: dict[str, Any]
) -> None:
    first, second, plain = bundle["vehicles"][0]["load"][:3]
    photograph(house, first)
    photograph(house, second)
    phone = make()
    page = phone.page
    phone.join(house.code)
    phone.work("shop_load", 0)
    assert width(page.locator(".next-case img")) == 240
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    phone.until(lambda: kept(phone) == 2, "both photos kept by the worker", 20)
    page.context.set_offline(True)
    page.reload()
    phone.open("not_on")
    line = page.locator(".item").filter(has_text=second)
    assert width(line.locator("img")) == 240
    expect(page.locator(".item").filter(has_text=plain).locator("img")).to_have_count(0)
    line.click()
    photo = page.locator("main img.likeness-large")
    assert width(photo) == 240
    expect(photo).to_have_attribute("alt", bundle["cases"][second]["name"])


def test_leaving_the_show_leaves_no_photo_on_the_phone(
    make: Callable[[], Phone], house: Stage, bundle: dict[str, Any]
) -> None:
    photograph(house, bundle["vehicles"][0]["load"][0])
    phone = make()
    phone.join(house.code)
    phone.work("shop_load", 0)
    phone.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    phone.page.reload()
    phone.until(lambda: kept(phone) == 1, "the photo kept by the worker", 20)
    phone.open("settings")
    phone.page.locator("#leave").click()
    phone.page.locator("#leave-yes").click()
    expect(phone.page.locator("#join")).to_be_visible()
    assert kept(phone) == 0


def kept(phone: Phone) -> int:
    """Return how many photos of cases the phone holds."""
    count: int = phone.page.evaluate(
        "caches.open('photos-of-cases').then(one => one.keys()).then(all => all.length)"
    )
    return count
