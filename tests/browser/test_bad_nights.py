"""Bad nights of DESIGN 5.6: cases and plans that are not as they were, in a real browser."""

from __future__ import annotations

import time
from dataclasses import replace
from typing import Any, Final

from playwright.sync_api import expect

from server.service.records import FleetVehicle
from tests.browser import stage as house_of
from tests.browser import steps
from tests.browser.crew import Crew
from tests.browser.phone import Phone
from tests.browser.stage import Stage
from tests.browser.tour import open_screen

STRANGE: Final = "X7741-B"
SCALED = {"kind": "weighed", "code": STRANGE, "mass_g": 30_000, "how": "scale"}


def test_a_case_swapped_for_a_spare_at_the_shop(chief: Phone, bundle: dict[str, Any]) -> None:
    page, vehicle = chief.page, bundle["vehicles"][0]
    dead = vehicle["load"][0]
    spare = next(code for code, card in bundle["cases"].items() if card["drop"] is None)
    open_screen(page, "excuse", dead)
    page.get_by_role("radio").nth(2).click()
    page.locator("#spare").fill(spare)
    page.locator("#excuse").click()
    expect(page.locator("#excuse")).to_have_count(0)
    open_screen(page, "next")
    assert chief.scan(dead) == "swapped"
    expect(page.locator("[data-answer]")).to_contain_text(spare)
    steps.dismiss(page)
    open_screen(page, "not_on")
    expect(page.locator(".group-swapped")).to_contain_text(dead)
    expect(page.locator(".group-swapped")).to_contain_text(spare)
    assert chief.scan(spare) in {"right", "not_next"}
    expect(page.locator(".answer-row")).to_contain_text("1")


def test_a_sub_hired_case_is_added_at_the_dock_without_network_and_goes_home_with_its_owner(
    chief: Phone, house: Stage
) -> None:
    page = chief.page
    page.context.set_offline(True)
    began = time.monotonic()
    assert chief.scan(STRANGE) == "unknown"
    page.locator(".answer .btn").filter(has_not=page.locator("#dismiss")).first.click()
    expect(page.locator("#add-code")).to_have_value(STRANGE)
    page.locator("#add-name").fill("wedge pair")
    page.locator("#add-owner").fill("Dockside Sound")
    page.get_by_role("radio").nth(1).click()
    page.locator("#add").click()
    expect(page.locator(".facts")).to_contain_text("Dockside Sound")
    assert time.monotonic() - began < 20, "expected to add a case in 20 seconds"
    added = [event["body"] for event in chief.events() if event["body"]["kind"] == "added"]
    assert added == [
        {
            "kind": "added",
            "code": STRANGE,
            "name": "wedge pair",
            "owner": "Dockside Sound",
            "travels": False,
        }
    ]
    # it returns from here: nobody misses it on the way home
    open_screen(page, "next")
    steps.choose(chief, "load_out", 0)
    steps.tab(page, 1)
    expect(page.locator("main")).not_to_contain_text(STRANGE)
    chief.online()
    chief.until(lambda: not chief.outbox(), "an empty outbox")


def test_a_case_damaged_and_left_on_purpose(chief: Phone, bundle: dict[str, Any]) -> None:
    page, vehicle = chief.page, bundle["vehicles"][0]
    code = vehicle["load"][2]
    open_screen(page, "case", code)
    page.get_by_role("button", name="It is damaged").click()
    page.locator("#damage").fill("a caster is off")
    page.locator(".card-hold .btn-stop").click()
    expect(page.locator(".trouble")).to_contain_text("a caster is off")
    open_screen(page, "next")
    assert chief.scan(code) == "damaged"
    steps.dismiss(page)
    open_screen(page, "case", code)
    steps.leave_on_purpose(page, "the house", "Friday noon")
    open_screen(page, "not_on")
    left = page.locator(".group-left_on_purpose")
    expect(left).to_contain_text(code)
    expect(left).to_contain_text("the house")
    expect(left).to_contain_text("Friday noon")
    open_screen(page, "release")
    expect(page.locator("main")).not_to_contain_text(code)


def replaced(house: Stage, width: int | None = None, length: int | None = None) -> None:
    """Give the first vehicle other sides in inches, plan anew and issue that."""
    inch = 25_400
    with house.app.app_context():
        ports = house.ports
        first, *others = ports.fleet.vehicles()
        sides = {"width_um": width, "length_um": length}
        new = {name: value * inch for name, value in sides.items() if value}
        changed = replace(first.vehicle, **new)  # type: ignore[arg-type]
        ports.fleet.put_vehicles([FleetVehicle(changed, first.mark), *others], ports.now())
        house_of.issue(ports, house.show)


def test_the_truck_replaced_by_a_narrower_one_an_hour_before(
    chief: Phone, house: Stage, bundle: dict[str, Any]
) -> None:
    page = chief.page
    replaced(house, width=bundle["vehicles"][0]["width_um"] // 25_400 - 22)
    news = page.locator(".btn-ask")
    expect(news).to_be_visible(timeout=20_000)
    news.click()
    still = page.locator("main .list .item")
    expect(still).to_have_count(len(bundle["vehicles"][0]["load"]))
    assert page.locator("#no-place").count() == 0
    page.locator(".thumb .btn-main").click()
    sheet = chief.held("bundles")[0]["bundle"]
    assert sheet["revision"] == 2
    own = bundle["vehicles"][0]["id"]
    now = next(vehicle for vehicle in sheet["vehicles"] if vehicle["id"] == own)
    assert now["width_um"] < bundle["vehicles"][0]["width_um"]
    assert chief.scan(now["load"][0]) == "right"


def test_the_truck_replaced_by_one_that_cannot_carry_everything(
    chief: Phone, house: Stage, bundle: dict[str, Any]
) -> None:
    page = chief.page
    replaced(house, length=60)
    page.locator(".btn-ask").wait_for(timeout=20_000)
    page.locator(".btn-ask").click()
    # never a false "fits": what has no place is named
    sheet = chief.held("bundles")[0]["bundle"]
    placed = {code for vehicle in sheet["vehicles"] for code in vehicle["load"]}
    over = [code for code, card in sheet["cases"].items() if card["drop"] and code not in placed]
    assert over
    expect(page.locator("#no-place .item")).to_have_count(len(over))
    for code in over:
        expect(page.locator("#no-place")).to_contain_text(code)
    page.locator(".thumb .btn-main").click()
    assert chief.scan(over[0]) == "stray"
    expect(page.locator("[data-answer]")).to_contain_text("no place")


def test_a_late_case_added_in_mid_load(
    chief: Phone, house: Stage, crew: Crew, bundle: dict[str, Any]
) -> None:
    page, vehicle = chief.page, bundle["vehicles"][0]
    crew.put_on(vehicle, vehicle["load"][:3])
    late = {"kind": "added", "code": STRANGE, "name": "late trunk", "owner": "", "travels": True}
    crew.report("shop_load", vehicle["id"], late)
    open_screen(page, "not_on")
    expect(page.locator(".group-not_yet")).to_contain_text(STRANGE, timeout=20_000)
    crew.put_on(vehicle, vehicle["load"][3:])
    crew.strap(vehicle)
    crew.check(vehicle, bundle["checks"], "shop_load")
    open_screen(page, "release")
    expect(steps.reasons(page)).to_have_count(1, timeout=20_000)
    expect(steps.reasons(page)).to_contain_text(STRANGE)
    open_screen(page, "next")
    assert chief.scan(STRANGE) in {"right", "not_next"}
    steps.dismiss(page)
    open_screen(page, "release")
    expect(steps.reasons(page)).to_contain_text(STRANGE)  # nobody knows what it weighs
    crew.report("shop_load", vehicle["id"], SCALED)
    expect(page.locator("#sign")).to_be_visible(timeout=20_000)
