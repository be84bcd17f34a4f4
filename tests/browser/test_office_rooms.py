"""The office's other rooms on the glass: a large fleet, vehicles, kits, copies, new cases."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.office import Office, opened
from tests.support.case_codes import issue_codes

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def office(
    browser: Browser, demo: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Office]:
    """Yield the office at a laptop for all tests here: each makes what it looks at."""
    yield from opened(browser, demo, tmp_path_factory.mktemp("rooms") / "server")


def take_in(office: Office, count: int) -> list[str]:
    """Take in so many cases by the API; return their codes."""
    codes = [str(code) for code in issue_codes("ZZ", 0, count)]
    lines = [f"{code},drum trunk,spares,S{place % 40},30,22.5,24,{50 + place % 90}"
             for place, code in enumerate(codes)]  # fmt: skip
    text = "code,name,department,home,length,width,height,mass\n" + "\n".join(lines)
    answer = office.context.request.post(
        f"{office.server.url}/api/cases/import",
        data=text.encode(),
        headers={"X-Rowcall": "1", "Content-Type": "text/csv"},
    )
    assert answer.ok, answer.text()
    return codes


def test_two_thousand_cases_are_searched_sorted_and_changed_together(
    office: Office, tmp_path: Path
) -> None:
    page = office.page
    before = len(office.ask("/cases"))
    codes = take_in(office, 2_000)
    office.open("fleet", ".long-row .code")
    assert page.locator(".long").get_attribute("aria-rowcount") == str(before + 2_000 + 1)
    assert page.locator(".long-row").count() < 100  # only what is in view is in the page
    page.locator(".long").evaluate("one => one.scrollTo(0, one.scrollHeight)")
    expect(page.locator(".long-row .code").last).to_have_text(codes[-1])
    page.locator("#fleet-search").fill("trunk S7")
    expect(page.get_by_role("status").filter(has_text="shown")).to_have_text("50 shown")
    page.get_by_role("button", name="Sort by Mass").click()
    masses = page.locator(".long-row [role=cell]:nth-child(7)").all_inner_texts()
    assert masses == sorted(masses, key=lambda one: float(one.split()[0]))
    # 50 footprints of 30 x 22.5 in are 234.4 square feet (144 square inches each)
    expect(page.locator("#fleet-sums")).to_contain_text("234 ft² of floor")
    page.locator("#sums summary").click()
    expect(page.locator("#sums tfoot tr")).to_contain_text("In all50")
    page.get_by_label("Pick all that are shown").check()
    with page.expect_download() as labels:
        page.locator("#labels").click()
    labels.value.save_as(tmp_path / "labels.pdf")
    assert (tmp_path / "labels.pdf").read_bytes().startswith(b"%PDF")
    page.locator("#bulk").click()
    page.locator("#bulk-value").fill("Z9")
    page.locator("#bulk-keep").click()
    expect(page.locator(".done")).to_contain_text("50 cases changed")
    assert sum(one["home"] == "Z9" for one in office.ask("/cases")) == 50
    page.locator("#bulk-undo").click()
    expect(page.locator(".done")).to_contain_text("as they were")
    assert sum(one["home"] == "Z9" for one in office.ask("/cases")) == 0


def test_a_case_keeps_what_the_office_notes_of_it(office: Office) -> None:
    page = office.page
    office.open("fleet/RG-001-Q", "#case-note")
    page.locator("#case-weighed_on").fill("2020-02-03")
    expect(page.get_by_text("weigh it again")).to_be_visible()
    page.locator("#case-contents").fill("2 x hoist\nshackle bag")
    page.locator("#keep").click()
    expect(page.locator(".done")).to_contain_text("RG-001-Q is kept")
    notes = office.ask("/cases/RG-001-Q")["notes"]
    assert notes["contents"] == [{"what": "hoist", "count": 2}, {"what": "shackle bag", "count": 1}]


def test_a_new_case_gets_a_free_code_without_anybody_working_it_out(office: Office) -> None:
    page = office.page
    office.open("fleet/new", "#case-code")
    free = page.get_by_role("group", name="Free codes").get_by_role("button")
    expect(free.first).to_be_visible()
    page.locator("#case-code").fill("NW")
    expect(free).to_have_count(1)
    code = str(issue_codes("NW", 0, 1)[0])
    expect(free).to_have_text(code)
    free.click()
    for side in ("length", "width", "height"):
        expect(page.locator(f"#case-{side}")).to_have_value("")  # nobody measured it yet
        page.locator(f"#case-{side}").fill("30")
    page.locator("#keep").click()
    expect(page.locator(".done")).to_contain_text(f"{code} is kept")
    assert office.ask(f"/cases/{code}")["length_um"] == 762_000


def test_a_hired_vehicle_begins_from_a_class_and_goes_out_and_in_as_csv(office: Office) -> None:
    page = office.page
    office.open("vehicles/new", "#vehicle-class")
    expect(page.locator("#vehicle-width")).to_have_value("")
    page.locator("#vehicle-class").select_option("box-16")
    expect(page.locator("#by-class")).to_contain_text("common practice without a source")
    page.locator("#keep").click()
    expect(page.locator("#vehicle-id")).to_be_focused()  # where something is lacking
    page.locator("#vehicle-id").fill("H1")
    told = page.locator("#vehicle-width-wrong")
    for wrong, words in (("wide", "A number above zero"), ("0", "above zero"), ("", "Needed")):
        page.locator("#vehicle-width").fill(wrong)
        page.locator("#keep").click()
        expect(page.locator("#vehicle-width")).to_be_focused()
        expect(told).to_contain_text(words)
    page.locator("#vehicle-width").fill("89.5")
    expect(told).to_have_count(0)
    page.locator("#keep").click()
    expect(page.locator(".done")).to_contain_text("is kept")
    hired = office.ask("/vehicles/H1")
    assert (hired["width_um"], hired["straps"]["count"]) == (2_273_300, 8)
    with page.expect_download() as sheet:
        page.get_by_role("button", name="Export as CSV").click()
    lines = sheet.value.path().read_text(encoding="utf-8-sig").splitlines()
    page.get_by_role("button", name="Import a CSV file").click()
    file: Any = {"name": "v.csv", "mimeType": "text/csv"}
    narrow = lines[0] + "\n" + next(line for line in lines if line.startswith("H1"))
    wrong = narrow.replace(",89.5,", ",wide,")
    page.locator("#csv").set_input_files(file | {"buffer": wrong.encode()})
    expect(page.locator("#wrong-cells tbody tr")).to_contain_text("width")
    right = narrow.replace(",89.5,", ",88,")
    page.locator("#csv").set_input_files(file | {"buffer": right.encode()})
    expect(page.locator("#preview tbody tr")).to_have_text("H1width_in89.588")
    page.locator("#take").click()
    expect(page.locator(".done")).to_contain_text("0 new, 1 changed")
    assert office.ask("/vehicles/H1")["width_um"] == 2_235_200
    put_aside_and_taken_back(page, "H1")


def put_aside_and_taken_back(page: Page, hired: str) -> None:
    """Give a rental back: it is folded away and not offered, until it is unarchived."""
    tile = page.locator(".vehicle-tile").filter(has_text=hired)
    tile.click()
    page.locator("#put-aside").click()
    expect(page.locator(".done")).to_contain_text("is archived")
    expect(tile).not_to_be_visible()
    page.get_by_role("link", name="Shows").click()
    page.locator("#new-show").click()
    expect(page.locator("#book-T1")).to_be_visible()
    expect(page.locator(f"#book-{hired}")).to_have_count(0)
    page.get_by_role("link", name="Vehicles").click()
    page.locator("#aside summary").click()
    tile.click()
    page.locator("#put-aside").click()
    expect(page.locator(".done")).to_contain_text("is unarchived")
    expect(tile).to_be_visible()
    expect(page.locator("#aside")).to_have_count(0)


def fill_show(page: Page, name: str, day: str) -> None:
    """Type name, day and one vehicle of a new show."""
    page.locator("#show-name").fill(name)
    page.locator("#show-date").fill(day)
    page.locator("#book-T1").check()


def test_a_kit_is_called_by_one_tick_and_who_else_has_it_that_day_is_told(office: Office) -> None:
    page = office.page
    day = office.ask("/shows/demo")["date"]
    office.open("shows/new", "#keep-show")
    fill_show(page, "Same day", day)
    expect(page.get_by_text("taken: Harbour lights benefit").first).to_be_visible()
    page.get_by_role("region", name="rigging").locator("input[type=checkbox]").first.check()
    expect(page.locator(".sums")).to_contain_text(
        "are called for another show on one of those days"
    )
    page.locator("#kit-name").fill("All rigging")
    page.locator("#keep-kit").click()
    kit = page.get_by_label("All rigging")
    expect(kit.first).to_be_checked()
    kit.first.uncheck()
    expect(page.locator(".sums")).to_contain_text("0 cases")
    kit.first.check()
    page.locator("#keep-show").click()
    expect(page.locator("#plan")).to_be_visible()
    page.locator("#copy-show").click()
    expect(page.locator("#show-name")).to_have_value("Same day, again")
    page.get_by_role("link", name="Shows").click()
    page.locator("#new-show").click()
    page.locator("#begin-from").select_option(label="Same day, Fri, 14 May 2027")
    expect(page.locator("#show-name")).to_have_value("Same day, again")


def test_footprints_for_a_new_case_are_compared_and_the_best_explained(office: Office) -> None:
    page = office.page
    called: list[dict[str, Any]] = [{"code": code} for code in ("RG-001-Q", "RG-003-M")]
    made = office.context.request.post(
        f"{office.server.url}/api/shows",
        data={"name": "Small", "date": "2027-07-01", "vehicles": ["T1"], "cases": called},
        headers={"X-Rowcall": "1"},
    )
    office.open("fit/buy", "#ask-buy")
    page.locator(f"#by-{made.json()['id']}").check()
    page.locator("#into-T1").check()
    page.locator("#need-0-count").fill("1")
    page.locator("#ask-buy").click()
    expect(page.locator("#footprints")).to_be_visible(timeout=120_000)
    # it stands in the slack of the one row for nothing
    first = page.locator("#footprints tbody tr").first
    expect(first).to_contain_text("0 in")
    expect(first).to_contain_text("least floor, proven")


def test_the_lists_of_checks_and_stops_are_edited(office: Office) -> None:
    page = office.page
    office.open("shop", "#keep-shop")
    for fold in ("The night's walk", "Checks: Put-away"):
        page.locator("summary").filter(has_text=fold).click()
    page.locator("#add-walk").fill("Under the seats")
    page.locator("#add-walk-now").click()
    page.locator("#add-put_away").fill("Key on its hook")
    page.locator("#add-put_away-now").click()
    page.get_by_label("Checks: Put-away 1, when").select_option("during")
    page.get_by_label("Checks: Put-away 1, photo").check()
    page.get_by_label("Checks: Put-away 2, Spanish").fill("¿Aparte?")
    page.locator("#keep-shop").click()
    expect(page.locator(".done")).to_contain_text("Kept")
    walk = office.ask("/shop")["walk"]
    assert walk[-1]["text"]["en"] == "Under the seats"
    assert len({stop["id"] for stop in walk}) == len(walk) > 5
    away = [check for check in office.ask("/shop")["checks"] if check["move"] == "put_away"]
    assert away[-1]["text"]["en"] == "Key on its hook"
    assert (away[0]["moment"], away[0]["photo"]) == ("during", True)
    assert away[1]["text"]["es"] == "¿Aparte?"


def test_a_case_is_scanned_into_its_lane_and_strangers_are_told_apart(office: Office) -> None:
    page = office.page
    office.open("shows/demo/pull", "#stage-code")
    sheet = office.ask("/shows/demo/plans/1")["sheets"][1]
    code = sheet["load"][0]
    for typed, told in (
        (code, f"lane of {sheet['name']}, row 1"),
        ("PW-006-9", "not on this show"),  # in the fleet, but the demo leaves it at home
        ("XX-999-9", "unknown code"),
    ):
        page.locator("#stage-code").fill(typed)
        page.locator("#stage-code").press("Enter")
        expect(page.locator("#staged")).to_contain_text(told)
    lane = page.get_by_role("region", name=f"Lane of {sheet['name']}")
    expect(lane).to_contain_text(f"1 of {len(sheet['load'])} staged")
    facts = office.ask("/shows/demo/events?since=0")["events"]
    assert [one["event"]["body"]["kind"] for one in facts] == ["seen"]
    page.reload()  # the desk is known again, and goes on counting
    page.locator("#stage-code").fill(sheet["load"][1])
    page.locator("#stage-code").press("Enter")
    expect(lane).to_contain_text(f"2 of {len(sheet['load'])} staged")
