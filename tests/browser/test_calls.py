"""Spoken calls in the earbud, without a network, in the crew's language (issue 7).

No browser here has a voice: what the page hands to it is heard in its place.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, Page, Playwright, Route, expect

from tests.browser.conftest import PHONE
from tests.browser.phone import Phone
from tests.browser.stage import Stage
from tests.browser.tour import LANGUAGES, open_screen

HEAR: Final = """window.heard = [];
speechSynthesis.speak = call => { window.heard.push([call.lang, call.text]); };"""
WORDS: Final[dict[str, dict[str, str]]] = {
    "en": {"row": "Row", "driver": "Driver side", "middle": "Middle", "kerb": "Kerb side",
           "full": "Wall to wall", "upright": "Wheels down"},
    "es": {"row": "Fila", "driver": "Lado del conductor", "middle": "En medio",
           "kerb": "Lado de la acera", "full": "De pared a pared", "upright": "Ruedas abajo"},
}  # fmt: skip


def heard(page: Page) -> list[str]:
    """Return the last call and its language."""
    calls: list[list[str]] = page.evaluate("window.heard")
    return calls[-1] if calls else ["", ""]


def is_called(page: Page, language: str, said: str) -> bool:
    """Return whether the last call is in this language and begins so."""
    return heard(page)[0] == language and heard(page)[1].startswith(said)


@pytest.mark.parametrize("language", LANGUAGES)
def test_each_next_case_is_called_without_a_network(
    make: Callable[[], Phone], house: Stage, bundle: dict[str, Any], language: str
) -> None:
    phone = make()
    page = phone.page
    page.add_init_script(HEAR)
    page.goto(house.link())
    page.get_by_role("radio").nth(LANGUAGES.index(language)).click()
    phone.join(house.code)
    phone.work("shop_load", 0)
    open_screen(page, "settings")
    page.locator("main .pair").last.locator(".btn").nth(1).click()
    open_screen(page, "next")
    page.context.set_offline(True)
    vehicle = bundle["vehicles"][0]
    places = {place["code"]: (row["number"], place)
              for row in vehicle["rows"] for place in row["places"]}  # fmt: skip
    words = WORDS[language]
    for at, code in enumerate(vehicle["load"][:3]):
        row, place = places[code]
        assert place["stance"] == "upright"
        said = f"{words['row']} {row}, {words[place['side']]}, {words['upright']}"
        people = str(place["check"]["people"] + place["check"]["spotters"])
        called = partial(is_called, page, language, said)
        phone.until(called, f"the call of case {at + 1}: {said}")
        assert people in heard(page)[1].removeprefix(said)
        phone.scan(code)


def test_what_was_typed_survives_the_words_of_another_language_coming_late(
    play: Playwright, browser: Browser, house: Stage
) -> None:
    # a service worker that is quick would have the words already
    context = browser.new_context(**play.devices[PHONE], service_workers="block")
    phone = Phone(context.new_page(), house.url)
    page, held = phone.page, list[Route]()
    page.route("**/es-*.js", lambda words: held.append(words))  # noqa: PLW0108
    page.goto(house.link())
    page.get_by_role("radio").nth(LANGUAGES.index("es")).click()
    page.locator("#join-name").fill("Ana Cruz")
    phone.until(lambda: bool(held), "the words of Spanish to be asked for")
    held.pop().continue_()
    expect(page.locator("html")).to_have_attribute("lang", "es")
    expect(page.locator("#join")).to_contain_text("Entrar")
    expect(page.locator("#join-name")).to_have_value("Ana Cruz")
    expect(page.locator("#join-code")).to_have_value(house.code)
    context.close()
