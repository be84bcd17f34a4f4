"""The plan editor in a real browser: by keyboard, by drag, by form; undone, kept, compared."""

from __future__ import annotations

import time
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, Route, expect

from tests.browser.office import Office, accept_concerns

pytestmark = pytest.mark.slow


@pytest.fixture
def office(sized_office: Office) -> Office:
    """Return the editor with the demo's plan; each test begins from revision 1."""
    sized_office.open("shows/demo/edit/1", ".edit-drawing")
    return sized_office


def kept_as(page: Page) -> int:
    """Return the revision that opens once a draft or a new plan is kept."""
    page.wait_for_url("**/shows/demo/plan/*", timeout=90_000)
    revision = int(page.url.rsplit("/", 1)[1])
    expect(page.get_by_role("heading", name=f"Revision {revision}", exact=True)).to_be_visible()
    return revision


def told(page: Page) -> str:
    """Return what the editor says of the last step."""
    return page.locator("#standing").inner_text()


def places(page: Page) -> list[str]:
    """Return every drawn case of the first vehicle with where it is drawn."""
    boxes = page.locator(".edit-drawing >> nth=0 >> [data-code]")
    found: list[str] = boxes.evaluate_all(
        "all => all.map(one => one.dataset.code + ' ' + one.querySelector('rect').getAttribute('x')"
        " + ' ' + one.querySelector('rect').getAttribute('y'))"
    )
    return sorted(found)


def test_the_main_moves_go_by_keyboard_alone(office: Office) -> None:
    page = office.page
    before = places(page)
    # Tab from the last button of the head into the first drawing
    page.locator("#keep-draft").focus()
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.dataset.edit") == "T1"
    page.keyboard.press("ArrowRight")
    page.keyboard.press("r")
    page.keyboard.press("Shift+ArrowRight")
    expect(page.locator("#standing")).to_contain_text("row 1 of T1 towards the door")
    assert places(page) != before
    page.keyboard.press("r")
    page.keyboard.press("t")
    expect(page.locator("#standing")).to_contain_text("turned")
    page.keyboard.press("Shift+ArrowLeft")
    expect(page.locator("#standing")).to_contain_text("towards the bulkhead")
    page.keyboard.press("Delete")
    expect(page.locator("#left-out")).to_contain_text("taken out of the plan by hand")
    for _ in range(4):
        page.keyboard.press("z")
    expect(page.locator("#standing")).to_contain_text("Nothing moved yet")
    expect(page.locator("#undo")).to_have_attribute("aria-disabled", "true")
    assert places(page) == before
    page.keyboard.press("Shift+Z")
    expect(page.locator("#standing")).to_contain_text("row 1 of T1 towards the door")


def test_a_case_is_dragged_into_another_row_and_a_row_to_another_place(office: Office) -> None:
    page = office.page
    sheet = office.ask("/shows/demo/plans/1")["sheets"][0]
    case = next(place for place in sheet["rows"][-1]["places"] if not place["on"])
    drag(page, f'.edit-drawing [data-code="{case["code"]}"]', '.edit-drawing [data-row="1"] rect')
    expect(page.locator("#standing")).to_contain_text(f"{case['code']} to T1, row 1")
    expect(page.locator("#faults")).to_be_visible()
    handles = ".edit-drawing >> nth=0 >> [data-row-handle]"
    drag(page, f"{handles} >> nth=0", '.edit-drawing [data-row="3"] rect')
    expect(page.locator("#standing")).to_contain_text("row 1 of T1 to T1, row 3")


def drag(page: Page, what: str, where: str) -> None:
    """Drag the middle of one thing to the middle of another; wide drawings scroll on the way."""
    frame, start, end = (page.locator(one).first for one in (".edit-drawing", what, where))
    frame.evaluate("one => one.scrollIntoView({ block: 'center' })")
    start.evaluate("one => one.scrollIntoView({ block: 'nearest', inline: 'center' })")
    box = frame.bounding_box()
    assert box is not None
    left, right = box["x"], box["x"] + box["width"]
    page.mouse.move(*middle(start))
    page.mouse.down()
    deadline = time.monotonic() + 30
    while not left + 60 < middle(end)[0] < right - 60:
        assert time.monotonic() < deadline, "expected the drawing to scroll to where the drag goes"
        x, y = middle(end)
        page.mouse.move(left + 8 if x < left + 60 else right - 8, y)
        page.wait_for_timeout(50)
    page.mouse.move((left + right) / 2, middle(end)[1])
    page.mouse.move(*middle(end), steps=6)
    page.mouse.up()


def middle(thing: Locator) -> tuple[float, float]:
    """Return the middle of a thing on the screen."""
    box = thing.bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def test_a_form_moves_a_case_and_the_draft_is_kept_and_compared(office: Office) -> None:
    page = office.page
    sheets: list[dict[str, Any]] = office.ask("/shows/demo/plans/1")["sheets"]
    code = next(p for p in sheets[0]["rows"][-1]["places"] if not p["on"])["code"]
    page.locator("#edit-case").select_option(code)
    page.locator("#move-row").select_option("new 1")
    expect(page.locator("#move-where")).to_contain_text("driver side wall")
    page.locator("#move-it").click()
    expect(page.locator("#move-row")).to_have_value("1")  # where it stands now
    expect(page.locator("#standing")).to_contain_text("more than before")
    # 100 ms on a quiet machine (measured by the bench); here only that it was measured
    expect(page.locator("#standing")).not_to_have_attribute("data-judged", "0")
    assert int(page.locator("#standing").get_attribute("data-drawn") or 0) > 0
    page.locator("#keep-draft").click()
    assert kept_as(page) > 1
    expect(page.locator("#faults")).to_be_visible()
    page.locator("#issue").click()
    accept_concerns(page)
    expect(page.locator(".trouble").first).to_contain_text("unlawful")
    page.get_by_role("button", name="Compare").click()
    expect(page.locator("#differences")).to_contain_text(code)
    expect(page.locator("#differences tbody tr").filter(has_text=code)).to_contain_text("row 1")
    page.get_by_role("link", name="Plan", exact=True).click()  # opens what the crew has
    which = page.locator("#which")
    expect(which).to_contain_text("Revision 1, the crew's")
    expect(page.get_by_role("heading", name="Revision 1", exact=True)).to_be_visible()
    which.get_by_role("link", name="The newest").click()
    expect(which).to_contain_text("not issued")
    which.get_by_role("link", name="The crew's: revision 1").click()
    expect(page.locator("#issued")).to_be_visible()


def stands(row: dict[str, Any]) -> list[tuple[Any, ...]]:
    """Return where every case of a row stands."""
    keys = ("code", "x", "y", "z", "dx", "dy", "dz", "stance", "turned", "on")
    return [tuple(str(place[key]) for key in keys) for place in row["places"]]


def test_rows_stay_where_they_are_pinned_while_the_planner_does_the_rest(office: Office) -> None:
    page = office.page
    before = office.ask("/shows/demo/plans/1")["sheets"][0]["rows"]
    for number in (1, 2):
        page.locator(f"#pin-T1-{number}").click()
    # and one by keyboard: the first case of the vehicle, then along to the fourth row
    page.locator(".edit-drawing").first.focus()
    for key in (*["ArrowRight"] * 4, "p"):
        page.keyboard.press(key)
    expect(page.locator("#pin-T1-4")).to_have_attribute("aria-pressed", "true")
    expect(page.locator("[data-pinned]")).to_have_count(3)
    page.locator("#plan-rest").click()
    after = office.ask(f"/shows/demo/plans/{kept_as(page)}")["sheets"][0]["rows"]
    assert [stands(row) for row in after[:2]] == [stands(row) for row in before[:2]]
    assert [stands(row) for row in after] == [stands(row) for row in before]
    expect(page.locator(".done")).to_contain_text("No case moves")


def test_steps_are_drawn_at_once_and_end_as_the_judge_has_them(office: Office) -> None:
    page = office.page
    held: list[Route] = []
    free: list[bool] = []

    def judge(route: Route) -> None:
        if free:
            route.continue_()
        else:
            held.append(route)

    page.route("**/api/shows/demo/edit", judge)
    page.locator(".edit-drawing").first.focus()
    before = places(page)
    page.keyboard.press("ArrowRight")
    page.keyboard.press("r")
    for _ in range(3):  # without waiting: each is drawn while the judge has answered none
        page.keyboard.press("Shift+ArrowRight")
    expect(page.locator("#standing")).to_contain_text("The judge is looking.")
    drawn = places(page)
    assert drawn != before
    free.append(True)
    for route in held:
        route.continue_()
    expect(page.locator("#standing")).not_to_contain_text("The judge is looking.")
    assert places(page) == drawn
    page.keyboard.press("z")
    page.keyboard.press("z")
    page.keyboard.press("z")
    assert places(page) == before
    page.unroute("**/api/shows/demo/edit")
