"""Bad nights of DESIGN 5.6: rows, phones and hands, in a real browser."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Playwright, expect

from tests.browser import steps
from tests.browser.conftest import PHONE, QUIET
from tests.browser.crew import Crew
from tests.browser.film import label, scene, shoot
from tests.browser.phone import Phone
from tests.browser.stage import Stage
from tests.browser.timing import FROM_KEY_TO_GLASS
from tests.browser.tour import open_screen

MakePhone = Callable[[], Phone]


def test_a_case_found_after_its_row_was_strapped_opens_the_rows_in_order(
    chief: Phone, crew: Crew, bundle: dict[str, Any]
) -> None:
    page, vehicle = chief.page, bundle["vehicles"][0]
    lost = vehicle["rows"][0]["places"][0]["code"]
    crew.put_on(vehicle, [code for code in vehicle["load"] if code != lost])
    crew.strap(vehicle)
    open_screen(page, "not_on")
    expect(page.locator(".group-missing")).to_contain_text(lost, timeout=20_000)
    assert chief.scan(lost) in {"right", "not_next"}
    numbers = [row["number"] for row in vehicle["rows"]]
    outer = ", ".join(str(number) for number in reversed(numbers[1:]))
    expect(page.locator("[data-answer]")).to_contain_text(f"rows {outer}")
    page.locator("#open-rows").click()

    def opened() -> list[int]:
        bodies = [event["body"] for event in sorted(chief.events(), key=lambda one: one["hlc"])]
        return [body["row"] for body in bodies if body["kind"] == "opened"]

    chief.until(lambda: opened() == numbers[:0:-1], "rows opened from the door inwards")
    open_screen(page, "release")
    straps = steps.reasons(page).filter(has_text=re.compile(r"straps: \d of \d"))
    expect(straps).to_have_count(len(numbers))
    steps_of = {row["number"]: row["straps"] for row in vehicle["rows"]}
    for number in numbers:
        open_screen(page, "row", str(number))
        steps.count_straps(page, steps_of[number])
        expect(page.locator(".card-go")).to_be_visible()
    open_screen(page, "release")
    expect(straps).to_have_count(0)


def test_a_phone_dead_in_mid_row_is_taken_over_by_another(
    make: MakePhone, house: Stage, bundle: dict[str, Any]
) -> None:
    vehicle = bundle["vehicles"][0]
    row = next(row for row in vehicle["rows"] if len(row["places"]) > 1)
    codes = [code for code in vehicle["load"] if code in {p["code"] for p in row["places"]}]
    first = make()
    first.join(house.code, "Kit Moss")
    first.work("shop_load", 0)
    open_screen(first.page, "row", str(row["number"]))
    first.page.get_by_role("button", name="I work this row").click()
    open_screen(first.page, "next")
    steps.scan_all(first, codes[:1])
    first.until(lambda: not first.outbox(), "what the first phone did on the server")
    first.page.context.close()

    second = make()
    second.join(house.code, "Ida Roth")
    second.work("shop_load", 0)
    open_screen(second.page, "row", str(row["number"]))
    expect(second.page.locator(".note")).to_contain_text("Kit Moss")
    second.page.get_by_role("button", name="I work this row").click()
    expect(second.page.locator(".note")).to_contain_text("Ida Roth")
    open_screen(second.page, "next")
    expect(second.page.locator(".next-case .code")).to_have_text(codes[1])
    assert second.scan(codes[0]) == "already"
    expect(second.page.locator("[data-answer]")).to_contain_text("Kit Moss")
    steps.dismiss(second.page)
    steps.scan_all(second, codes[1:])


def test_two_loaders_on_one_row_end_with_the_same_state(
    make: MakePhone, house: Stage, bundle: dict[str, Any]
) -> None:
    vehicle = bundle["vehicles"][0]
    row = next(row for row in vehicle["rows"] if len(row["places"]) > 1)
    codes = [place["code"] for place in row["places"]]
    phones = [make(), make()]
    for phone, name in zip(phones, ("Kit Moss", "Ida Roth"), strict=True):
        phone.join(house.code, name)
        phone.work("shop_load", 0)
        phone.page.context.set_offline(True)
    for phone, order in zip(phones, (codes, codes[::-1]), strict=True):
        steps.scan_all(phone, order)
        steps.dismiss(phone.page)
        open_screen(phone.page, "row", str(row["number"]))
    steps.count_straps(phones[0].page, row["straps"])
    steps.count_straps(phones[1].page, row["straps"] + 1)
    for phone in phones:
        phone.online()
    both = 2 * (len(codes) + 1)
    for phone in phones:
        phone.until(lambda: all(len(one.events()) == both for one in phones), f"{both} events each")
        page = phone.page
        # the higher count stays, and the disagreement is shown
        expect(page.locator(".card-go")).to_contain_text(str(row["straps"] + 1))
        expect(page.locator(".trouble")).to_be_visible()


@pytest.mark.alone
def test_a_case_of_the_wrong_vehicle_is_stopped_within_three_tenths_of_a_second(
    play: Playwright,
    chromium_path: str,
    house: Stage,
    bundle: dict[str, Any],
    tmp_path: Path,
) -> None:
    other = bundle["vehicles"][1]
    film = shoot(tmp_path / "wrong.y4m", [scene([(label(other["load"][0], 8), 0.5, 0.5)])], 0.3)
    args = [*QUIET, f"--use-file-for-fake-video-capture={film}"]
    browser = play.chromium.launch(executable_path=chromium_path, args=args)
    context = browser.new_context(**play.devices[PHONE], permissions=["camera"])
    phone = Phone(context.new_page(), house.url)
    phone.join(house.code)
    phone.work("shop_load", 0)
    phone.page.locator("#scan").click()
    stop = phone.page.locator("[data-answer=other_vehicle]")
    expect(stop).to_be_visible(timeout=20_000)
    expect(stop).to_contain_text(other["name"])
    expect(stop.locator(".mark")).to_have_count(1)
    phone.page.locator("#dismiss").click()
    # the same answer by a scanner that types: from its last key to the stop on the glass
    took = phone.page.evaluate(FROM_KEY_TO_GLASS, [other["load"][1], "other_vehicle"])
    assert took < 300, f"expected a stop within 300 ms, took {took:.0f} ms"
    assert not phone.codes()
    browser.close()


def test_a_chief_decides_on_a_wrong_vehicle_by_the_figures_of_both(
    chief: Phone, bundle: dict[str, Any]
) -> None:
    page = chief.page
    here, there = bundle["vehicles"][:2]
    code = there["load"][0]
    card = bundle["cases"][code]
    assert chief.scan(code) == "other_vehicle"
    page.get_by_role("button", name="Chief: decide").click()
    narrow = min(card["length_um"], card["width_um"])
    for vehicle, more_g, more_um in ((there, 0, 0), (here, card["mass_g"], narrow)):
        side = page.get_by_role("region", name=vehicle["name"])
        mass = (vehicle["payload_g"] - vehicle["mass_g"] - more_g) / 453.59237
        floor = (vehicle["length_um"] - vehicle["floor_length_um"] - more_um) / 25_400
        expect(side).to_contain_text(f"{math.floor(mass + 0.01):,} lb left")
        expect(side).to_contain_text(f"{math.floor(floor * 4 + 0.01) / 4:g} in left")
    page.locator("#keep").click()
    chief.until(lambda: code in chief.codes(), "the case on board here")
    bodies = [event["body"] for event in chief.events()]
    assert ("other_vehicle", here["id"]) in [
        (body["why"], body["to_vehicle"]) for body in bodies if body["kind"] == "excused"
    ]


def test_a_wet_ramp_with_too_few_hands_says_no_why_and_what_else(
    chief: Phone, bundle: dict[str, Any]
) -> None:
    page, vehicle = chief.page, bundle["vehicles"][0]
    first = vehicle["load"][0]
    places = {place["code"]: place for row in vehicle["rows"] for place in row["places"]}
    check = places[first]["check"]
    asked = check["people"] + check["spotters"]  # the spotter is in every number
    assert asked >= 1
    open_screen(page, "hands")
    wanted = asked  # enough on a dry ramp, one short on a wet one
    for _ in range(30):
        now = int(page.locator(".steps output").inner_text())
        if now == wanted:
            break
        page.locator(".steps .btn").nth(0 if now > wanted else 1).click()
    page.locator("#hands").click()
    expect(page.locator("#hands")).to_have_count(0)
    open_screen(page, "next")
    expect(page.locator(".next-case .code")).to_have_text(first)
    assert page.locator("#too-few").count() == 0
    open_screen(page, "hands")
    page.locator("#wet").click()
    expect(page.locator(".card-hold .list .item").first).to_be_visible()
    open_screen(page, "next")
    no = page.locator("#too-few")
    expect(no).to_contain_text(f"No: {asked + 1} people are needed, {asked} are here")
    expect(no).to_contain_text("The ramp is wet")
    expect(no).to_contain_text("lift gate")
    expect(page.locator(".next-how")).to_contain_text(f"{asked + 1} people")
    open_screen(page, "hazards")
    expect(page.locator("main")).to_contain_text(vehicle["name"])
