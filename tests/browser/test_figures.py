"""Cards of cases and vehicles say who, how and where not.

That every screen with a figure says who decides stands in test_accessibility.py: one walk shows
both.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser import steps
from tests.browser.crew import Crew
from tests.browser.phone import Phone
from tests.browser.stage import Stage, small_show, stage
from tests.browser.tour import open_screen


@pytest.fixture
def house(tmp_path: Path) -> Iterator[Stage]:
    """Return a served show with one case that the house rule gives no hands on a ramp."""
    document = small_show(9, 4)
    document["cases"][0] |= {"mass": 700}  # lb; house rule: above 650 lb a machine
    with stage(tmp_path, document) as served:
        yield served


def test_a_case_says_who_how_and_where_it_may_not_go_what_else(
    chief: Phone, bundle: dict[str, Any]
) -> None:
    page, vehicle = chief.page, bundle["vehicles"][0]
    places = [place for row in vehicle["rows"] for place in row["places"]]
    able = next(one for one in places if one["check"]["may_go"])
    open_screen(page, "case", able["code"])
    card = page.locator("#check-card")
    crew = able["check"]["people"] + able["check"]["spotters"]
    expect(card).to_contain_text(f"{crew} p")
    expect(card).to_contain_text("stands by and does not push")
    expect(card).to_contain_text("Push from behind")
    expect(card.locator(".caution")).to_contain_text("Nobody below a case")
    refused = next((one for one in places if not one["check"]["may_go"]), None)
    assert refused is not None, "expected a case that hands may not move"
    open_screen(page, "case", refused["code"])
    expect(card).to_contain_text("Not as planned")
    for reason in refused["check"]["reasons"]:
        expect(card).to_contain_text(reason)
    expect(card).to_contain_text("Instead:")
    open_screen(page, "next")
    steps.choose(chief, "load_in", 0)
    open_screen(page, "case", able["code"])
    expect(card).to_contain_text("Hold back from the uphill side")


def test_the_briefing_names_hands_hazards_and_rules_of_this_vehicle(
    chief: Phone, crew: Crew, bundle: dict[str, Any]
) -> None:
    page, vehicle = chief.page, bundle["vehicles"][0]
    brief = vehicle["brief"]
    open_screen(page, "briefing")
    tonight = page.locator("#tonight")
    expect(tonight).to_contain_text(f"{brief['hands_needed']} people for the hardest case")
    expect(tonight).to_contain_text(brief["heaviest"])
    expect(tonight).to_contain_text("Ramp: 1 in")
    expect(tonight).to_contain_text("Anyone may stop the work.")
    for code in (*brief["refused"], *brief["lifts"]):
        expect(tonight).to_contain_text(code)
    # heavier than all that was planned, by tonight's scale
    light = next(code for code in vehicle["load"] if code not in str(brief))
    expect(tonight).not_to_contain_text(light)
    scale = {"kind": "weighed", "code": light, "mass_g": 900_000, "how": "scale"}
    crew.report("shop_load", vehicle["id"], scale)
    expect(tonight).to_contain_text(light)
    open_screen(page, "hands")
    page.locator("#wet").click()
    open_screen(page, "briefing")
    expect(tonight.locator(".card-hold")).to_contain_text("The ramp is wet")
    # the ramp as it lies here counts in place of the plan's
    open_screen(page, "hands")
    page.locator("#wet").click()
    page.locator("#measure").click()
    page.locator("#ramp-rise").fill("30")
    page.locator("#ramp-length").fill("20")
    expect(page.locator("#ramp-measure")).to_contain_text("longer than its deck is high")
    page.locator("#ramp-length").fill("300")
    expect(page.locator("#save-ramp")).to_be_disabled()  # the floor is never guessed
    page.locator("#ramp-measure [role=radio]").nth(1).click()
    page.locator("#save-ramp").click()
    # 30 in 300 along the slope: 1 in 9.9, 5.7 degrees
    expect(page.locator("#ramp-measure")).to_contain_text("1 in 9.9 (5.7 degrees), Rough")
    open_screen(page, "briefing")
    expect(tonight).to_contain_text("Measured: 1 in 9.9")


def test_the_chief_sees_the_axles_with_what_is_on_board(
    chief: Phone, crew: Crew, bundle: dict[str, Any]
) -> None:
    page = chief.page
    vehicle = next(one for one in bundle["vehicles"] if one["axles"])
    axles = vehicle["axles"]
    open_screen(page, "vehicles")
    section = page.locator(f"[data-axles='{vehicle['id']}']")
    pound = 453.59237

    def front(codes: list[str]) -> int:
        """Moments about the rear support (statics), in pounds."""
        span = axles["rear_at_um"] - axles["front_at_um"]
        places = {one["code"]: one for row in vehicle["rows"] for one in row["places"]}
        grams: float = axles["empty_front_g"]
        for code in codes:
            middle = places[code]["y"] + places[code]["dy"] / 2
            lever = (axles["rear_at_um"] - middle) / span
            grams += bundle["cases"][code]["mass_g"] * lever
        return round(grams / pound)

    def said() -> int:
        found = re.search(r"(?:axle|Kingpin|Tongue): ([\d,]+) lb", section.inner_text())
        return int(found[1].replace(",", "")) if found else -1

    expect(section).to_contain_text("moments about the two supports")
    assert abs(said() - front([])) <= 1
    crew.put_on(vehicle, vehicle["load"][:4])
    wanted = front(vehicle["load"][:4])
    chief.until(lambda: abs(said() - wanted) <= 1, f"{wanted} lb in front", 20)
    expect(page.locator("section.card .caution").first).to_contain_text(
        "a scale and local law decide"
    )
