"""Two people in two real browsers change one show and one vehicle: nothing is lost."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from server.service import enter
from tests.browser.office import LAPTOP, PASSWORD
from tests.browser.stage import Stage


@pytest.fixture
def pair(browser: Browser, house: Stage) -> Iterator[tuple[Page, Page]]:
    """Yield the offices of two owners, each in a browser of its own."""
    made = [entered(browser, house, name) for name in ("Olive", "Mia")]
    yield made[0], made[1]
    for page in made:
        page.context.close()


def entered(browser: Browser, house: Stage, name: str) -> Page:
    with house.app.app_context():
        token = enter.invite_owner(house.ports)
    page = browser.new_context(viewport=dict(LAPTOP)).new_page()  # type: ignore[arg-type]
    page.on("dialog", lambda dialog: dialog.accept())
    page.goto(f"{house.url}/office#setup={token}")
    page.locator("#owner-name").fill(name)
    page.locator("#owner-password").fill(PASSWORD)
    page.locator("#enter").click()
    expect(page.locator(".rail")).to_be_visible()
    return page


def ask(page: Page, house: Stage, path: str) -> Any:
    return page.request.get(f"{house.url}/api{path}").json()


def keep(page: Page, field: str, value: str, button: str) -> None:
    page.locator(field).fill(value)
    page.locator(button).click()


def test_fields_of_two_people_meet_in_every_order(pair: tuple[Page, Page], house: Stage) -> None:
    vehicle = ask(pair[0], house, "/vehicles")[0]["id"]
    rooms = (
        (f"vehicles/{vehicle}", ("#vehicle-name", "#vehicle-bars"), "#keep", ("name", "bars")),
        (f"shows/{house.show}", ("#show-name", "#show-date"), "#keep-show", ("name", "date")),
    )
    count = itertools.count(10)
    for (room, fields, button, names), order in itertools.product(rooms, ((0, 1), (1, 0))):
        number = next(count)
        values: list[Any] = [f"Called {number}", str(number)]
        if names[1] == "date":
            values[1] = f"2027-03-{number}"
        for page in pair:  # both look before either keeps
            page.goto(f"{house.url}/office/{room}")
            expect(page.locator(fields[0])).to_be_visible()
        for who in order:
            keep(pair[who], fields[who], values[who], button)
            expect(pair[who].locator(".done")).to_contain_text("is kept")
        now = ask(pair[0], house, f"/{room}")
        assert [str(now[name]) for name in names] == values
        assert len(now.get("cases", [1])) > 0


def test_the_same_field_gets_a_page_with_both_values(pair: tuple[Page, Page], house: Stage) -> None:
    room = f"shows/{house.show}"
    for chosen in ("mine", "theirs"):
        for page in pair:
            page.goto(f"{house.url}/office/{room}")
            expect(page.locator("#show-name")).to_be_visible()
        keep(pair[0], "#show-name", f"Theirs {chosen}", "#keep-show")
        expect(pair[0].locator(".done")).to_contain_text("is kept")
        keep(pair[1], "#show-name", f"Mine {chosen}", "#keep-show")
        asked = pair[1].locator("#conflict")
        expect(asked).to_contain_text(f"Yours: Mine {chosen}")
        expect(asked).to_contain_text(f"Theirs {chosen}")
        expect(asked).to_contain_text("Olive")
        asked.locator(f"input[value={chosen}]").check()
        pair[1].locator("#keep-chosen").click()
        expect(pair[1].locator(".done")).to_contain_text("is kept")
        kept = ask(pair[0], house, f"/{room}")["name"]
        assert kept == f"{chosen.title()} {chosen}"


def test_letters_on_drawings_are_nine_pixels_high_at_every_width(
    pair: tuple[Page, Page], house: Stage
) -> None:
    page = pair[0]
    page.goto(f"{house.url}/office/shows/{house.show}/plan")
    expect(page.locator(".top-view").first).to_be_visible()
    expect(page.locator("#quality")).to_contain_text("of floor")
    show = ask(page, house, f"/shows/{house.show}")
    assert page.title().startswith(show["name"])
    for width in (360, 820, 1280, 1920):
        page.set_viewport_size({"width": width, "height": 900})
        sizes = page.evaluate(
            """() => [...document.querySelectorAll("svg[class*=-view] text")].map((text) => {
                const map = text.getScreenCTM();
                return Math.hypot(map.a, map.b) * Number(text.getAttribute("font-size"));
            })"""
        )
        assert len(sizes) > 20
        assert min(sizes) > 8.99, width
        assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0, width
