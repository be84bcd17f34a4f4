"""The owner's minimum, on the glass: fleet from CSV, a show, a plan drawn to scale, the crew in."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Playwright, expect

from tests.browser.conftest import PHONE
from tests.browser.office import Office, accept_concerns
from tests.browser.phone import Phone
from tests.support.case_codes import issue_codes

HEAD = "code,name,department,home,length,width,height,mass,turn,stances,lid_load,rides\n"
WRONG = HEAD + "PW-031-7,feeder trunk,power,B2,45,22.5,30,420,perhaps,upright,300,no\n"
WRONG += "ZZ-001-A,work box,power,B2,45,-3,30,420,yes,upright,300,no\n"
GOOD = HEAD + "ZZ-100-0,spare trunk,spares,Z1,45,22.5,30,120,yes,upright,300,no\n"
GOOD += "RG-001-Q,chain hoist case,rigging,R9,30,22.5,24,255,yes,upright,400,no\n"


@pytest.fixture
def office(sized_office: Office) -> Office:
    """Return the office of either size, the owner in."""
    return sized_office


def take_file(page: Page, text: str) -> None:
    """Choose a CSV file of this content."""
    file: Any = {"name": "fleet.csv", "mimeType": "text/csv", "buffer": text.encode()}
    page.locator("#csv").set_input_files(file)


def test_a_wrong_file_is_told_by_row_and_column_and_a_right_one_shows_its_changes(
    office: Office,
) -> None:
    page = office.page
    office.open("fleet/import", "#csv")
    before = len(office.ask("/cases"))
    take_file(page, WRONG)
    cells = page.locator("#wrong-cells tbody tr")
    expect(cells.filter(has_text="turn")).to_contain_text("yes or no")
    expect(cells.filter(has_text="width").locator("td").first).to_have_text("3")
    expect(page.locator("#take")).to_have_count(0)
    assert len(office.ask("/cases")) == before
    take_file(page, GOOD.replace("ZZ-100-0", str(issue_codes("ZZ", 99, 1)[0])))
    expect(page.locator("#preview")).to_contain_text("RG-001-Q")
    change = page.locator("#preview tbody tr").filter(has_text="home")
    expect(change).to_contain_text("R1")
    expect(change).to_contain_text("R9")
    page.locator("#take").click()
    expect(page.locator(".done")).to_contain_text("1 new, 1 changed")
    assert len(office.ask("/cases")) == before + 1


def make_show(page: Page, departments: tuple[str, ...]) -> str:
    """Make a show of whole departments in the first vehicle; return its id."""
    page.locator("#new-show").click()
    page.locator("#show-name").fill("Winter ball")
    page.locator("#show-date").fill("2027-12-11")
    page.locator("#book-T1").check()
    for department in departments:
        page.get_by_role("region", name=department).locator("input[type=checkbox]").first.check()
    page.locator("#keep-show").click()
    expect(page.locator("#plan")).to_be_visible()
    return page.url.split("/shows/")[1].split("/")[0]


def is_to_scale(page: Page, sheet: dict[str, Any]) -> None:
    """Compare each drawn floor case with its place: same millimetres."""
    for row in sheet["rows"]:
        for place in row["places"]:
            box = page.locator(f'.top-view [data-code="{place["code"]}"] rect').first
            gap = 2 * (26 if place["z"] else 8)
            wide, tall = (float(box.get_attribute(key) or 0) for key in ("width", "height"))
            assert abs(wide + gap - place["dy"] / 1000) < 0.1, place
            assert abs(tall + gap - place["dx"] / 1000) < 0.1, place


def test_a_show_is_made_planned_drawn_and_issued_and_a_phone_joins_it(
    office: Office, play: Playwright, browser: Browser
) -> None:
    page = office.page
    office.open("", "#new-show")
    show = make_show(page, ("rigging", "power"))
    page.locator("#plan-seconds").select_option("5")
    page.locator("#plan").click()
    expect(page.locator("#progress")).to_have_attribute("data-state", "done", timeout=60_000)
    expect(page.locator(".top-view")).to_be_visible()
    plan = office.ask(f"/shows/{show}/plans/1")
    assert plan["faults"] == []
    is_to_scale(page, plan["sheets"][0])
    assert page.locator(".door-view").count() == len(plan["sheets"][0]["rows"])
    page.locator("#issue").click()
    accept_concerns(page)
    expect(page.locator("#issued")).to_be_visible()
    page.get_by_role("link", name="Crew").click()
    expect(page.locator(".qr svg")).to_be_visible()
    page.locator("#new-pin").click()
    pin = page.locator("#pin").inner_text()
    code = office.ask(f"/shows/{show}/join")["code"]
    context = browser.new_context(**play.devices[PHONE])
    phone = Phone(context.new_page(), office.server.url)
    phone.join(code, "Ana Cruz", pin)
    phone.work()
    context.close()


def test_planning_is_stopped_and_keeps_the_best(office: Office) -> None:
    page = office.page
    office.open("", "#new-show")
    show = make_show(page, ("backline", "lighting", "production"))
    page.locator("#plan-seconds").select_option("120")
    page.locator("#plan").click()
    expect(page.locator("#progress")).to_contain_text("of floor", timeout=30_000)
    stop = page.locator("#stop-plan")
    if stop.count():  # a planner that has proven its plan has ended by itself
        stop.click()
    expect(page.locator("#progress")).to_have_attribute("data-state", "done", timeout=30_000)
    assert office.ask(f"/shows/{show}/plans")[0]["floor_length_um"] > 0


def test_who_is_not_the_owner_stays_outside(office: Office, browser: Browser) -> None:
    other = Office(browser, office.server)
    other.page.goto(f"{office.server.url}/office/fleet")
    other.page.locator("#owner-name").fill("Olive")
    other.page.locator("#owner-password").fill("not the password")
    other.page.locator("#enter").click()
    expect(other.page.locator(".trouble")).to_be_visible()
    other.sign_in()
    expect(other.page.get_by_role("heading", name="Shows")).to_be_visible()
    other.context.close()
