"""The owner chooses by which rules straps and people are counted (issue 4)."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, expect

from tests.browser.office import Office
from tests.support.serving import Server


@pytest.fixture
def office(browser: Browser, server: Server) -> Iterator[Office]:
    """Yield the office, the owner in."""
    opened = Office(browser, server)
    opened.set_up()
    yield opened
    opened.context.close()


def test_the_rules_that_the_owner_chooses_are_those_of_the_plans_figures(office: Office) -> None:
    page = office.page
    page.locator("#new-show").click()
    page.locator("#show-name").fill("Winter ball")
    page.locator("#show-date").fill("2027-12-11")
    page.locator("#book-T1").check()
    page.get_by_role("region", name="power").locator("input[type=checkbox]").first.check()
    page.locator("#rule-securing").select_option("en-12195")
    page.locator("#rule-straps").fill("2")
    page.locator("#rule-hands").select_option("mixed")
    page.locator("#keep-show").click()
    expect(page.locator("#plan")).to_be_visible()
    show = page.url.split("/shows/")[1].split("/")[0]
    rules = office.ask(f"/shows/{show}")["rules"]
    assert (rules["securing"], rules["straps_min"], rules["hands"]) == ("en-12195", 2, "mixed")
    page.locator("#plan-seconds").select_option("5")
    page.locator("#plan").click()
    expect(page.locator("#progress")).to_have_attribute("data-state", "done", timeout=60_000)
    rows = office.ask(f"/shows/{show}/plans/1")["sheets"][0]["rows"]
    for row in rows:
        assert row["straps"] >= 2
        assert "EN 12195-1" in row["why"]["source"]
        for place in row["places"]:
            push = place["cards"][0]["figure"]
            assert "HSE 15 kgf each to start" in push["derivation"] or push["value"] is None
