"""A client of one version and a server of another do each other no harm (issue 6)."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.crew import Crew
from tests.browser.phone import Phone
from tests.browser.stage import Stage
from tests.browser.steps import dismiss
from tests.browser.tour import open_screen

NEWER = {"of_a_later_version": {"deep": [1, {"more": None}]}}
# what servers before this one did not say
OLDER = ("check", "brief", "numbering", "gaps", "notes", "now", "device", "last_n", "unsent")
SCREENS = ("next", "rows", "not_on", "checks", "briefing", "vehicles", "release", "phones", "hands")


def newer(value: Any) -> Any:
    """Return an answer with unknown keys in every object, but where names are the keys."""
    if isinstance(value, list):
        return [newer(one) for one in value]
    if not isinstance(value, dict):
        return value
    return {key: newer(one) for key, one in value.items()} | (NEWER if "id" in value else {})


def older(value: Any) -> Any:
    """Return an answer without what older servers did not say."""
    if isinstance(value, list):
        return [older(one) for one in value]
    if not isinstance(value, dict):
        return value
    return {key: older(one) for key, one in value.items() if key not in OLDER}


def answer_as(page: Page, change: Callable[[Any], Any]) -> None:
    """Let every answer of the server come in another version."""

    def pass_on(route: Route) -> None:
        answer = route.fetch()
        kind = answer.headers.get("content-type", "")
        if answer.status == 200 and "application/json" in kind:
            changed = change(answer.json())
            if isinstance(changed, dict) and change is newer:
                changed |= NEWER
            route.fulfill(response=answer, body=json.dumps(changed))
        else:
            route.fulfill(response=answer)

    for part in ("join", "session", "shows/*/bundle", "shows/*/events*", "shows/*/heartbeat"):
        page.route(f"**/api/{part}", pass_on)


@pytest.mark.parametrize("change", [newer, older], ids=["newer server", "older server"])
def test_a_phone_works_with_a_server_of_another_version(
    make: Callable[[], Phone],
    house: Stage,
    crew: Crew,
    bundle: dict[str, Any],
    change: Callable[[Any], Any],
) -> None:
    phone = make()
    faults: list[str] = []
    phone.page.on("pageerror", lambda error: faults.append(str(error)))
    answer_as(phone.page, change)
    phone.join(house.code, "Ana Cruz", "482913")
    phone.work("shop_load", 0)
    vehicle = bundle["vehicles"][0]
    # a phone of a later version reports what this one does not know
    crew.report("shop_load", vehicle["id"], {"kind": "sung", "code": vehicle["load"][2], "song": 7})
    crew.put_on(vehicle, vehicle["load"][:1])
    phone.until(lambda: phone.codes() == vehicle["load"][:1], "the other phone's scan", 30)
    # what is stored is on the screen a moment later
    expect(phone.page.locator(".next-case .code")).to_have_text(vehicle["load"][1])
    assert phone.scan(vehicle["load"][0]) == "already"
    dismiss(phone.page)
    assert phone.scan(vehicle["load"][1]) == "right"
    dismiss(phone.page)
    phone.until(lambda: not phone.outbox(), "the scan sent", 20)
    assert {"kind": "sung", "code": vehicle["load"][2], "song": 7} in [
        event["body"] for event in phone.events()
    ]
    open_screen(phone.page, "case", vehicle["load"][2])
    expect(phone.page.locator("h2").first).to_be_visible()
    for screen in SCREENS:
        open_screen(phone.page, screen)
        expect(phone.page.locator(".frame .strip").first).to_be_visible()
    assert not faults, faults


def test_a_client_of_an_older_version_is_served_as_before(crew: Crew) -> None:
    bundle = crew.bundle()
    vehicle = bundle["vehicles"][0]
    crew.put_on(vehicle, vehicle["load"][:2])
    # it does not say up to which fact it has read, and gets what comes after its number
    told = crew.ask(f"/shows/{crew.show}/events?since=1")
    assert [one["seq"] for one in told["events"]] == [2]
    # keys that it never knew are beside those that it reads
    assert {"format", "revision", "vehicles", "cases", "checks", "walk"} <= bundle.keys()
    assert bundle["format"] == "rowcall-bundle-1"
    for name in ("push", "lift", "cards", "side", "stance"):
        assert name in vehicle["rows"][0]["places"][0]
