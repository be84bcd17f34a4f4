"""A walk through every screen that the crew may meet, one after the other, on one chief's phone.

`tour` yields the name of each screen when it is open; pictures and the accessibility test use it.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any, Final

from playwright.sync_api import Page, expect

from tests.browser.crew import Crew
from tests.browser.phone import Phone
from tests.browser.stage import PIN, Stage
from tests.browser.steps import sign

LANGUAGES: Final = ("en", "es")
PALETTES: Final = ("night", "sun")
UNKNOWN: Final = "X7741-B"


def open_screen(page: Page, name: str, arg: str = "") -> None:
    """Open a screen as the phone's own back gesture would."""
    state = json.dumps({"name": name, "arg": arg})
    page.evaluate(
        f"history.pushState({state}, '');"
        f"dispatchEvent(new PopStateEvent('popstate', {{ state: {state} }}))"
    )


def tour(phone: Phone, stage: Stage, language: str, palette: str) -> Iterator[str]:
    """Open every screen in one language and palette."""
    page = phone.page
    page.goto(stage.link())
    yield from _joining(phone, stage, language, palette)
    crew = Crew(stage.url, stage.code, "Noor Vega", PIN)
    bundle = crew.bundle()
    one, two = bundle["vehicles"][:2]
    phone.work("shop_load")
    yield "next"
    yield from _answers(phone, crew, bundle)
    yield from _lists(phone, crew, bundle)
    yield from _chief(phone, one["load"][-1], two["load"][-1])
    crew.load(one, but=(one["load"][-1],))
    crew.strap(one)
    _settle(phone, one)
    open_screen(page, "not_on")
    yield "not-on-missing"
    open_screen(page, "release")
    yield "release-held"
    yield from _released(phone, crew, bundle)


def _joining(phone: Phone, stage: Stage, language: str, palette: str) -> Iterator[str]:
    page = phone.page
    page.get_by_role("radio").nth(LANGUAGES.index(language)).click()
    page.get_by_role("radio").nth(len(LANGUAGES) + PALETTES.index(palette)).click()
    expect(page.locator("html")).to_have_attribute("lang", language)
    yield "join"
    page.locator("form button[aria-pressed]").first.click()
    page.locator("#join").click()
    yield "join-refused"
    page.locator("#join-name").fill("Ana Cruz")
    page.locator("#join-pin").fill(PIN)
    page.locator("#join").click()
    expect(page.locator("#start")).to_be_visible()
    yield "choose"


def _answers(phone: Phone, crew: Crew, bundle: dict[str, Any]) -> Iterator[str]:
    """Every answer that a scan may get."""
    page = phone.page
    one, two = bundle["vehicles"][:2]
    first, second = one["load"][0], one["load"][1]
    due = {code for vehicle in bundle["vehicles"] for code in vehicle["load"]}
    stray = next((code for code in bundle["cases"] if code not in due), None)
    crew.report("shop_load", one["id"], {"kind": "damaged", "code": second, "note": "a hinge"})
    swapped, spare = one["load"][3], one["load"][4]
    excuse = {"kind": "excused", "code": swapped, "why": "swapped", "for_code": spare}
    crew.report("shop_load", one["id"], excuse)
    open_screen(page, "case", second)
    expect(page.locator(".trouble")).to_be_visible()
    open_screen(page, "next")
    asked = [
        ("right", first),
        ("already", first),
        ("not_next", one["load"][-2]),
        ("other_vehicle", two["load"][0]),
        ("damaged", second),
        ("swapped", swapped),
        ("unknown", UNKNOWN),
    ]
    for kind, code in [*asked, *([("stray", stray)] if stray else [])]:
        phone.scan(code)
        expect(page.locator(f"[data-answer={kind}]")).to_be_visible()
        yield f"answer-{kind.replace('_', '-')}"
        if page.locator("#dismiss").count():
            page.locator("#dismiss").click()
    crew.report("shop_load", one["id"], {"kind": "unexcused", "code": swapped})
    yield "next-undo"


def _lists(phone: Phone, crew: Crew, bundle: dict[str, Any]) -> Iterator[str]:
    """A full row and everything behind the tabs."""
    page = phone.page
    one = bundle["vehicles"][0]
    row = one["rows"][0]
    for place in row["places"]:
        on = {"kind": "on", "code": place["code"], "read": "camera", "row": None}
        crew.report("shop_load", one["id"], on)
    hazard = {"kind": "hazard", "hazard": "h-1", "text": "Cable ramp across the path"}
    crew.report("shop_load", None, hazard)
    open_screen(page, "next")
    expect(page.locator(".card-ask .steps")).to_be_visible()
    expect(page.locator("#hazard-seen")).to_be_visible()
    yield "hazard-news"
    page.locator("#hazard-seen").click()
    yield "strap-now"
    open_screen(page, "wall")
    expect(page.locator(".wall-page")).to_be_visible()
    yield "wall"
    names = ("rows", "not_on", "checks", "more", "briefing", "add", "link", "settings", "papers")
    for name in names:
        open_screen(page, name)
        yield name.replace("_", "-")
    open_screen(page, "row", str(row["number"]))
    page.locator("details").first.evaluate("each => { each.open = true; }")
    yield "row"
    open_screen(page, "case", one["load"][-1])
    yield "case"
    open_screen(page, "hazards")
    expect(page.locator(".card-hold")).to_be_visible()
    yield "hazards"
    open_screen(page, "hand_over")
    yield "hand-over"
    open_screen(page, "scan")
    expect(page.locator("#later")).to_be_visible()
    yield "scan-strap"  # a full row takes the scanner's place until it is strapped or put off
    page.locator("#later").click()
    expect(page.locator("#later-rows")).to_be_visible()
    yield "scan"
    page.locator("#type").click()
    yield "scan-typed"


def _chief(phone: Phone, due: str, other: str) -> Iterator[str]:
    """What only the chief does."""
    page = phone.page
    open_screen(page, "vehicles")
    yield "vehicles"
    open_screen(page, "excuse", due)
    page.get_by_role("radio").first.click()
    yield "excuse"
    open_screen(page, "wrong", other)
    yield "wrong"
    open_screen(page, "hands")
    page.locator(".steps .btn").first.click(click_count=3)
    yield "hands"
    open_screen(page, "phones")
    yield "phones"
    page.get_by_role("button", name="Noor Vega").first.click()
    expect(page.locator("#sign-out")).to_be_visible()
    yield "phones-out"
    open_screen(page, "walk")
    yield "walk"
    open_screen(page, "sign_off")
    yield "sign-off-held"
    open_screen(page, "changes")
    yield "changes"
    open_screen(page, "plan_again")
    yield "plan-again"
    page.locator("#wish-row").click()
    yield "plan-again-row"


def _settle(phone: Phone, vehicle: dict[str, Any]) -> None:
    """Wait until this phone has heard of the straps of the last row."""
    last = vehicle["rows"][-1]["number"]
    heard = {"kind": "strapped", "row": last}

    def known() -> bool:
        bodies = [event["body"] for event in phone.events()]
        return any(heard.items() <= body.items() for body in bodies)

    phone.until(known, f"the straps of row {last} on this phone", 20)


def _released(phone: Phone, crew: Crew, bundle: dict[str, Any]) -> Iterator[str]:
    page = phone.page
    one = bundle["vehicles"][0]
    missing = {"kind": "excused", "code": one["load"][-1], "why": "never_came"}
    crew.report("shop_load", one["id"], missing)
    crew.strap(one)
    crew.check(one, bundle["checks"], "shop_load")
    expect(page.locator("#sign")).to_be_visible(timeout=20_000)
    yield "release-ready"
    sign(page)
    expect(page.get_by_role("timer")).to_be_visible()
    yield "released"
    open_screen(page, "choose")
    phone.work("put_away")
    yield "put-away"
    open_screen(page, "checks")
    expect(page.locator("[data-check]").first).to_be_visible()
    yield "put-away-checks"
    open_screen(page, "choose")
    phone.work("load_in")
    yield "load-in"
    yield from _closing(phone, crew)
    yield from _signed_out(phone, crew)


def _closing(phone: Phone, crew: Crew) -> Iterator[str]:
    """The night is signed, the trucks are home, and not all is put away."""
    page = phone.page
    signer = {"role": "chief", "name": "Noor Vega", "signature": "M1 1L9 9"}
    signed = {
        "kind": "signed_off",
        "signature": "M1 1L9 9",
        "signers": [signer],
        "digest": "0" * 64,
    }
    crew.report("load_out", None, signed)
    open_screen(page, "sign_off")
    expect(page.locator("#still-open")).to_be_visible(timeout=20_000)
    page.locator("#close").click()
    expect(page.locator("#close.btn-stop")).to_be_visible()
    yield "closing"


def _signed_out(phone: Phone, crew: Crew) -> Iterator[str]:
    """Another chief signs this phone out."""
    page = phone.page
    asked = crew.ask(f"/shows/{crew.show}/devices")
    mine = next(one["device"] for one in asked if one["name"] == "Ana Cruz")
    crew.ask(f"/shows/{crew.show}/devices/{mine}/out", {})
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(page.locator("#signed-out")).to_be_visible(timeout=20_000)
    yield "signed-out"
    page.locator("#rejoin").click()
    expect(page.locator("#join-name")).to_have_value("Ana Cruz")
    yield "rejoin"
