"""The row leads and the record argues: straps asked where one stands, facts beside what is said."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

from playwright.sync_api import Browser, Playwright, expect

from tests.browser import steps
from tests.browser.conftest import PHONE
from tests.browser.crew import Crew
from tests.browser.phone import Phone
from tests.browser.stage import Stage, small_show, stage
from tests.browser.test_speed import many_cases

NARROW: Final = {"width": 320, "height": 640}


def test_the_scanner_itself_asks_for_the_straps_and_remembers_what_was_put_off(
    chief: Phone, bundle: dict[str, Any]
) -> None:
    page, row = chief.page, bundle["vehicles"][0]["rows"][0]
    page.locator("#scan").click()
    steps.scan_all(chief, [place["code"] for place in row["places"]])
    steps.dismiss(page)
    expect(page.locator("#strapped")).to_contain_text(str(row["number"]))
    assert page.locator("#type").count() == 0, "expected the straps in the scanner's place"
    page.locator("#later").click()
    expect(page.locator("#later-rows")).to_be_visible()
    page.reload()
    page.locator("#start").click()
    page.locator("#later-rows").click()
    steps.count_straps(page, row["straps"])
    expect(page.locator("#later-rows")).to_have_count(0)
    expect(page.locator("#strapped")).to_have_count(0)
    bodies = [event["body"] for event in chief.events()]
    assert [body["count"] for body in bodies if body["kind"] == "strapped"] == [row["straps"]]


def test_straps_with_open_slack_are_asked_for_and_a_later_row_says_what_it_would_bury(
    chief: Phone, bundle: dict[str, Any]
) -> None:
    page, vehicle = chief.page, bundle["vehicles"][0]
    limit = bundle["rules"]["slack_limit_um"]
    row = next(one for one in vehicle["rows"][:-1] if one["slack_um"] > limit)
    earlier = [one for one in vehicle["rows"] if one["number"] <= row["number"]]
    steps.scan_all(chief, [place["code"] for one in earlier for place in one["places"]])
    steps.dismiss(page)
    chief.open("row", str(row["number"]))
    for _ in range(row["straps"]):
        page.locator(steps.PLUS).nth(1).click()
    page.locator("#strapped").click()
    expect(page.locator("#slack-open")).to_be_visible()
    assert "strapped" not in {event["body"]["kind"] for event in chief.events()}
    page.locator("#fill-not").click()
    chief.until(lambda: len(strapped(chief)) == 1, "the straps of the row in the record")
    assert strapped(chief)[0]["filled"] is False
    after = vehicle["rows"][row["number"]]["places"][0]["code"]
    assert chief.scan(after) in {"right", "not_next"}
    # put off with open slack, so it is remembered on top and not said again; others are
    others = [str(one["number"]) for one in earlier if one["straps"] and one is not row]
    red = page.locator(".answer-red")
    expect(red).to_have_count(1 if others else 0)
    steps.dismiss(page)


def strapped(phone: Phone) -> list[dict[str, Any]]:
    """Return the straps that the phone knows of."""
    return [one["body"] for one in phone.events() if one["body"]["kind"] == "strapped"]


def tall_show() -> dict[str, Any]:
    """Return equal cases for a vehicle whose floor holds half of them."""
    document = many_cases()
    vehicle = {"id": "T1", "name": "T1", "width": 50, "length": 75, "height": 90, "payload": 4000}
    cases = [case | {"vehicle": "T1"} for case in document["cases"][:9]]
    return document | {"vehicles": [vehicle], "cases": cases}


def test_a_case_of_the_second_tier_waits_for_what_carries_it(
    browser: Browser, play: Playwright, tmp_path: Path
) -> None:
    with stage(tmp_path, tall_show()) as house:
        context = browser.new_context(**play.devices[PHONE])
        phone = Phone(context.new_page(), house.url)
        phone.join(house.code)
        phone.work("shop_load", 0)
        [vehicle] = phone.held("bundles")[0]["bundle"]["vehicles"]
        places = [place for row in vehicle["rows"] for place in row["places"]]
        upper = next(place for place in places if place["on"])
        assert phone.scan(upper["code"]) == "blocked"
        answer = phone.page.locator("[data-answer=blocked]")
        expect(answer).to_contain_text(upper["on"][0])
        assert phone.codes() == []
        phone.page.locator("#stands").click()
        phone.until(lambda: phone.codes() == [upper["code"]], "the case where it stands")
        [event] = phone.events()
        assert event["body"]["why"]
        context.close()


def test_what_the_chief_says_against_the_record_needs_a_reason_and_stands_beside_it(
    make: Callable[[], Phone], house: Stage, crew: Crew, bundle: dict[str, Any]
) -> None:
    vehicle = bundle["vehicles"][0]
    code = vehicle["load"][0]
    crew.load(vehicle)
    crew.unload(vehicle)
    phone = make()
    phone.join(house.code, "Ana Cruz", "482913")
    phone.work("load_out", 0)
    page = phone.page
    phone.until(lambda: len(phone.events()) >= 2 * len(vehicle["load"]), "the crew's facts")
    phone.open("excuse", code)
    page.get_by_role("radio").nth(1).click()
    against = page.locator("#against")
    expect(against).to_contain_text("at the venue")
    expect(against).to_contain_text("Noor Vega")
    expect(page.locator("#excuse")).to_have_attribute("aria-disabled", "true")
    against.get_by_role("button").first.click()
    page.locator("#excuse").click()
    phone.until(lambda: "excused" in {e["body"]["kind"] for e in phone.events()}, "an excuse")
    phone.open("sign_off")
    both = page.locator("#contradictions")
    expect(both).to_contain_text(code)
    expect(both).to_contain_text("at the venue")
    expect(both).to_contain_text("Another case carries this label")
    # a typed text that is no case never becomes a spare
    phone.open("excuse", vehicle["load"][1])
    page.get_by_role("radio").nth(2).click()
    page.locator("#spare").fill("PH-9")
    expect(page.locator(".trouble")).to_contain_text("PH-9")
    expect(page.locator("#excuse")).to_have_attribute("aria-disabled", "true")


def test_no_case_is_booked_before_the_checks_that_come_first(
    play: Playwright, browser: Browser, tmp_path: Path
) -> None:
    with stage(tmp_path, small_show(4, 2), checks_first=True) as house:
        context = browser.new_context(**{**play.devices[PHONE], "viewport": NARROW})
        phone = Phone(context.new_page(), house.url)
        phone.join(house.code)
        phone.work("shop_load", 0)
        page, code = phone.page, phone.load()[0]
        asked = [
            check["id"]
            for check in phone.held("bundles")[0]["bundle"]["checks"]
            if check["move"] == "shop_load" and check["moment"] == "before"
        ]
        assert phone.scan(code) == "blocked"
        expect(page.locator(".answer-check")).to_have_count(len(asked))
        expect(page.locator("#stands")).to_have_count(0)
        if folder := os.environ.get("ROWCALL_LOOK"):
            page.screenshot(path=f"{folder}/checks-first.png")
        assert phone.codes() == [], "expected nothing booked while checks are open"
        page.locator("#to-checks").click()
        for check in asked:
            page.locator(f"[data-check='{check}'] .answers .btn").first.click()
            expect(page.locator(f"[data-check='{check}']")).to_have_count(0)
        assert phone.scan(code) == "right"
        assert phone.codes() == [code]
        context.close()
