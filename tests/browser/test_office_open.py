"""Every room of the office by WCAG 2.2 AA with AAA contrast, in both palettes, laptop and tablet.

Rules as in test_accessibility: axe-core, tags wcag2a to wcag22aa, and 7:1 contrast (1.4.6).
"""

from __future__ import annotations

import itertools

from playwright.sync_api import Browser, Page, expect

from tests.browser.office import LAPTOP, TABLET, Office
from tests.browser.test_accessibility import CONTRAST, RUN, WIDER, unsettled
from tests.support.serving import Server

# room → what is there once it is shown
ROOMS = {
    "": ".show-tile",
    "shows/new": "#keep-show",
    "shows/demo": "#copy-show",
    "shows/demo/plan": ".top-view",
    "shows/demo/edit/1": ".edit-drawing",
    "shows/demo/compare/1/1": "#differences",
    "shows/demo/crew": ".qr svg",
    "shows/demo/night": "#night-done",
    "shows/demo/pull": ".gear",
    "shows/demo/away": ".halves",
    "shows/demo/record": "#record-pdf",
    "fleet": ".long-row .code",
    "fleet/import": "#csv",
    "fleet/new": "#case-code",
    "fleet/RG-001-Q": "#case-note",
    "vehicles": ".vehicle-tile",
    "vehicles/import": "#csv",
    "vehicles/new": "#vehicle-class",
    "vehicles/T1": "#axle-kind",
    "fit": "#fit-table",
    "fit/year": "#ask-year",
    "fit/buy": "#ask-buy",
    "fit/prices": "#keep-prices",
    "reports": ".empty",
    "shop": "#keep-shop",
    "account": "#change-password",
}
PALETTES = ("night", "sun")
# Within the page, as its own links do: nothing is loaded again.
GO = """to => {
  history.pushState(null, "", `/office/${to}`);
  dispatchEvent(new PopStateEvent("popstate"));
}"""
NOW = "() => document.documentElement.dataset.palette ?? 'night'"


def judged(page: Page, run: str = RUN) -> list[str]:
    """Return what axe finds, and whether the page is wider than the glass."""
    unsettled(page)
    wider = page.evaluate(WIDER)
    found: list[str] = page.evaluate(run)
    return [*found, *([f"{wider} px wider than the screen"] if wider else [])]


def put_aside(office: Office, hired: str) -> None:
    """Keep a vehicle that was given back, so that it is folded away among the others."""
    body = {**office.ask("/vehicles/T1"), "id": hired, "name": "hired box", "aside": True}
    made = office.context.request.post(
        f"{office.server.url}/api/vehicles", data=body, headers={"X-Rowcall": "1"}
    )
    assert made.ok, made.text()
    office.page.reload()
    expect(office.page.locator(".rail")).to_be_visible()


def stir(page: Page, room: str) -> None:
    """Do what makes a room show more than it opens with."""
    if room.startswith("shows/demo/edit"):
        page.locator(".edit-drawing").first.focus()
        page.keyboard.press("ArrowRight")
    if room == "vehicles/new":  # a number that is none, and others that are needed
        page.locator("#vehicle-id").fill("H2")
        page.locator("#vehicle-width").fill("wide")
        page.locator("#keep").click()
        expect(page.locator("#vehicle-length-wrong")).to_be_visible()


def test_every_room_is_open_to_all(browser: Browser, server: Server) -> None:
    office = Office(browser, server)
    page = office.page
    page.goto(f"{server.url}/office")
    faults = [f"gate: {fault}" for fault in judged(page)]
    office.set_up()
    put_aside(office, "H1")
    turn = page.locator(".rail-end button").first  # the palette's own button
    for room, there in {**ROOMS, "vehicles/H1": "#put-aside"}.items():
        page.evaluate(GO, room)
        expect(page.locator(there).first).to_be_visible()
        page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
        stir(page, room)
        for size, palette in itertools.product((LAPTOP, TABLET), PALETTES):
            page.set_viewport_size(size)  # type: ignore[arg-type]
            if page.evaluate(NOW) != palette:
                turn.click()
            assert page.evaluate(NOW) == palette
            # only contrast can differ between two palettes of one size
            run = RUN if palette == PALETTES[0] else CONTRAST
            faults += [f"{room} {size['width']} {palette}: {one}" for one in judged(page, run)]
    office.context.close()
    assert not faults, "\n".join(faults)
