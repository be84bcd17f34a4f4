"""Every room of the office by WCAG 2.2 AA with AAA contrast, in both palettes, laptop and tablet.

Rules as in test_accessibility: axe-core, tags wcag2a to wcag22aa, and 7:1 contrast (1.4.6).
"""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.office import LAPTOP, TABLET, Office
from tests.browser.test_accessibility import RUN, WIDER, unsettled
from tests.support.serving import Server

# room → what is there once it is shown
ROOMS = {
    "": ".show-tile",
    "shows/new": "#keep-show",
    "shows/demo": "#kit-name",
    "shows/demo/plan": ".top-view",
    "shows/demo/edit/1": ".edit-drawing",
    "shows/demo/compare/1/1": "#differences",
    "shows/demo/crew": ".qr svg",
    "shows/demo/pull": ".gear",
    "shows/demo/away": ".halves",
    "shows/demo/record": "#record-pdf",
    "fleet": ".long-row .code",
    "fleet/import": "#csv",
    "fleet/new": "#case-code",
    "fleet/RG-001-Q": "#case-note",
    "vehicles": ".vehicle-tile",
    "vehicles/new": "#vehicle-class",
    "vehicles/T1": "#axle-kind",
    "fit": "#fit-table",
    "reports": ".empty",
    "shop": "#keep-shop",
    "account": "#change-password",
}


def judged(page: Page) -> list[str]:
    """Return what axe finds, and whether the page is wider than the glass."""
    unsettled(page)
    wider = page.evaluate(WIDER)
    found: list[str] = page.evaluate(RUN)
    return [*found, *([f"{wider} px wider than the screen"] if wider else [])]


@pytest.mark.parametrize("size", [LAPTOP, TABLET], ids=["laptop", "tablet"])
@pytest.mark.parametrize("palette", ["night", "sun"])
def test_every_room_is_open_to_all(
    browser: Browser, server: Server, palette: str, size: dict[str, int]
) -> None:
    office = Office(browser, server, size)
    page = office.page
    page.goto(f"{server.url}/office")
    faults = [f"gate: {fault}" for fault in judged(page)]
    office.set_up()
    page.evaluate("palette => localStorage.setItem('rowcall.office.palette', palette)", palette)
    for room, there in ROOMS.items():
        office.open(room, there)
        if room.startswith("shows/demo/edit"):
            page.locator(".edit-drawing").first.focus()
            page.keyboard.press("ArrowRight")
        faults += [f"{room}: {fault}" for fault in judged(page)]
    office.context.close()
    assert not faults, "\n".join(faults)
