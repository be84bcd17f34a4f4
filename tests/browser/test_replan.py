"""A plan re-issued while phones are offline on the old revision (issue 6)."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from playwright.sync_api import expect

from server.service import edit_plan, office
from server.service.plan_show import keep, work_off
from tests.browser.crew import Crew
from tests.browser.phone import Phone
from tests.browser.stage import Stage
from tests.browser.steps import count_straps, dismiss, scan_all
from tests.browser.tour import open_screen


def reissued(house: Stage, vehicle: str, rows: int, without: str) -> None:
    """Call a case no longer, plan anew behind the rows that are loaded, and issue that."""
    with house.app.app_context():
        ports = house.ports
        record = office.show_of(ports, house.show)
        called = [one for one in ports.shows.called(house.show) if one.code != without]
        ports.shows.put(record, ports.shows.vehicles(house.show), called)
        base = office.revision_of(ports, house.show, 1)
        differs = {"loaded": {vehicle: rows}}
        show, made = edit_plan.replan_from(ports, base, differs, 1.0, lambda: False)
        kept = keep(ports, house.show, show, made.plan)
        assert kept.faults == ()
        words = {one.key: "staged" for one in office.concerns_of(ports, house.show, kept.revision)}
        office.issue(ports, house.show, kept.revision, None, "127.0.0.1", words=words)


def spot(bundle: dict[str, Any], code: str) -> tuple[str, int, str] | None:
    """Return vehicle, row and side that a plan gives a case."""
    for vehicle in bundle["vehicles"]:
        for row in vehicle["rows"]:
            for place in row["places"]:
                if place["code"] == code:
                    return vehicle["id"], row["number"], place["side"]
    return None


def test_a_phone_offline_on_the_old_revision_keeps_what_is_loaded_and_shows_the_moves(
    make: Callable[[], Phone], house: Stage, crew: Crew, bundle: dict[str, Any]
) -> None:
    vehicle = bundle["vehicles"][0]
    first = vehicle["rows"][0]
    loaded = [code for code in vehicle["load"] if code in {one["code"] for one in first["places"]}]
    last = vehicle["rows"][-1]["places"][0]["code"]
    ana, ben = make(), make()
    for phone, name in ((ana, "Ana Cruz"), (ben, "Ben Ode")):
        phone.join(house.code, name)
        phone.work("shop_load", 0)
    ben.page.context.set_offline(True)
    # offline on revision 1: the first row is loaded and strapped
    scan_all(ben, loaded)
    dismiss(ben.page)
    open_screen(ben.page, "row", str(first["number"]))
    count_straps(ben.page, first["straps"])
    expect(ben.page.locator(".card-go")).to_be_visible()
    open_screen(ben.page, "next")
    # meanwhile the owner cancels a case and plans the rest anew behind that row
    reissued(house, vehicle["id"], rows=1, without=last)
    expect(ana.page.locator(".btn-ask")).to_be_visible(timeout=20_000)
    assert len(ben.outbox()) == len(loaded) + 1
    # one more on the old plan, before the network is back
    extra = vehicle["rows"][1]["places"][0]["code"]
    ben.scan(extra)
    dismiss(ben.page)
    ben.online()
    news = ben.page.locator(".btn-ask")
    expect(news).to_be_visible(timeout=20_000)
    ben.until(lambda: not ben.outbox(), "everything sent", 20)
    sheet = ben.held("bundles")[0]["bundle"]
    assert sheet["revision"] == 2
    # loaded rows are untouched, on the plan and as the crew left them
    assert sheet["vehicles"][0]["rows"][0] == first
    assert {event["revision"] for event in ben.events()} == {1}
    news.click()
    moved = ben.page.locator("#moved")
    codes = {code for one in (bundle, sheet) for each in one["vehicles"] for code in each["load"]}
    wanted = {
        code
        for code in codes
        if (old := spot(bundle, code)) != (new := spot(sheet, code))
        and vehicle["id"] in {place[0] for place in (old, new) if place}
    }
    assert last in wanted
    for code in wanted:
        expect(moved).to_contain_text(code)
    expect(moved.locator("li").filter(has_text=last)).to_contain_text("not on this plan")
    for code in loaded:
        expect(moved).not_to_contain_text(code)
    ben.page.locator(".thumb .btn-main").click()
    expect(news).to_have_count(0)
    for phone in (ana, ben):
        open_screen(phone.page, "row", str(first["number"]))
        expect(phone.page.locator(".card-go")).to_be_visible(timeout=20_000)
    open_screen(ben.page, "rows")
    assert ben.scan(loaded[0]) == "already"
    assert ben.scan(extra) == "already"


def test_the_chief_leaves_a_case_here_and_issues_the_plan_from_the_phone(
    chief: Phone, make: Callable[[], Phone], house: Stage, bundle: dict[str, Any]
) -> None:
    page, vehicle = chief.page, bundle["vehicles"][0]
    first, last = vehicle["rows"][0], vehicle["rows"][-1]["places"][-1]["code"]
    loader = make()
    loader.join(house.code, "Ben Ode")
    loader.work("shop_load", 0)
    scan_all(chief, [vehicle["load"][0]])
    dismiss(page)
    open_screen(page, "plan_again")
    page.locator("#wish-leave").click()
    page.locator("#spare").fill(last)
    expect(page.locator("#wishes")).to_contain_text(last)
    page.locator("#plan-again").click()

    def proposed() -> bool:
        with house.app.app_context():
            work_off(house.ports)
        return page.locator("#work").is_visible()

    chief.until(proposed, "a proposal", 60)
    # the row in which something stands is named, and so is the only work
    expect(page.locator("#work")).to_contain_text(f"row {first['number']} stays")
    expect(page.locator("#again-moves")).to_contain_text(last)
    assert page.locator("section .floor").count() >= 2, "expected the floor before and after"
    page.locator("#issue-again").click()
    chief.until(lambda: chief.held("bundles")[0]["bundle"]["revision"] == 2, "the new plan here")
    sheet = chief.held("bundles")[0]["bundle"]
    assert spot(sheet, last) is None
    assert sheet["vehicles"][0]["rows"][0]["places"] == first["places"]
    expect(loader.page.locator(".btn-ask").first).to_be_visible(timeout=20_000)
