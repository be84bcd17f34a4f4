"""A whole evening on the glass, from the shop to the closed show (issues 2 and 7).

The vehicle of the first test is loaded by the live camera over printed labels; the second evening
runs with the network off from the moment the phone has joined.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, Playwright, expect

from tests.browser import steps
from tests.browser.conftest import PHONE, QUIET
from tests.browser.crew import Crew
from tests.browser.film import label, scene, shoot
from tests.browser.phone import Phone
from tests.browser.stage import PIN, Stage, small_show, stage

pytestmark = pytest.mark.slow


@pytest.fixture
def house(tmp_path: Path) -> Iterator[Stage]:
    """Return a served show of two vehicles with few cases."""
    with stage(tmp_path, small_show()) as served:
        yield served


@pytest.fixture
def bundle(house: Stage) -> dict[str, Any]:
    """Return what every phone of the show gets."""
    return Crew(house.url, house.code, "Bo Lind").bundle()


@pytest.fixture
def phone(
    play: Playwright, chromium_path: str, house: Stage, bundle: dict[str, Any], tmp_path: Path
) -> Iterator[Phone]:
    """Return a phone whose camera sees every label of the first vehicle but the last."""
    codes = bundle["vehicles"][0]["load"][:-1]
    views = [scene([(label(code, 6), 0.5, 0.5)], 640, 480) for code in codes]
    film = shoot(tmp_path / "labels.y4m", views, 1.0)
    args = [*QUIET, f"--use-file-for-fake-video-capture={film}"]
    browser = play.chromium.launch(executable_path=chromium_path, args=args)
    context = browser.new_context(**play.devices[PHONE], permissions=["camera"])
    context.set_default_timeout(10_000)
    yield Phone(context.new_page(), house.url)
    browser.close()


def load_by_camera(phone: Phone, codes: list[str]) -> None:
    """Hold the camera to the labels until every case is on."""
    phone.page.locator("#scan").click()
    put_off = phone.page.locator("#later")

    def all_on() -> bool:
        # The scanner asks for the straps of every row that is full; here they come afterwards.
        if put_off.is_visible() and not phone.page.locator("[data-answer]").count():
            put_off.click()
        return set(phone.codes()) >= set(codes)

    phone.until(all_on, f"{len(codes)} cases on board", 90)
    assert {event["body"]["read"] for event in phone.events()} == {"camera"}
    phone.page.go_back()
    steps.dismiss(phone.page)


def stop_a_wrong_case(phone: Phone, other: dict[str, Any]) -> None:
    """Scan a case of the other vehicle: the glass says stop and names that vehicle."""
    before = len(phone.events())
    assert phone.scan(other["load"][0]) == "other_vehicle"
    expect(phone.page.locator(".answer-mark")).to_contain_text(other["name"])
    steps.dismiss(phone.page)
    assert len(phone.events()) == before, "expected a stopped case to leave no trace on board"


def be_refused(page: Page, bundle: dict[str, Any], move: str, missing: str) -> None:
    """Try to release: every reason stands there, and nothing can be signed."""
    steps.open_release(page)
    limit = bundle["rules"]["slack_limit_um"]
    rows = [
        row
        for row in bundle["vehicles"][0]["rows"]
        if any(place["code"] != missing for place in row["places"])
    ]
    straps = sum(row["straps"] > 0 for row in rows)
    slack = sum(limit is not None and row["slack_um"] > limit for row in rows)
    checks = sum(check["move"] == move for check in bundle["checks"])
    held = steps.reasons(page)
    expect(held.filter(has_text=missing)).to_have_count(1)
    expect(held).to_have_count(1 + straps + slack + checks)
    assert page.locator("#sign").count() == 0
    page.go_back()


def ship(phone: Phone, bundle: dict[str, Any], move: str, gone: str) -> None:
    """Strap, answer, be refused where something is missing, account for it, release."""
    missing = gone if move == "shop_load" else None
    page, vehicle = phone.page, bundle["vehicles"][0]
    if missing:
        be_refused(page, bundle, move, missing)
        steps.tab(page, 0)
    steps.strap_rows(phone, vehicle, but=gone)
    steps.answer_checks(page)
    if missing:
        steps.open_release(page)
        expect(steps.reasons(page)).to_have_count(1)
        steps.reasons(page).first.get_by_role("button").first.click()
        steps.leave_on_purpose(page, "Kim at the stage door", "Tue 10:00")
        page.go_back()
        page.go_back()
    steps.release(page)
    page.locator("main .btn").last.click()


def second_vehicle(phone: Phone, bundle: dict[str, Any], move: str) -> None:
    """Load, strap, check and release the other vehicle by a scanner that types."""
    page, vehicle = phone.page, bundle["vehicles"][1]
    steps.choose(phone, move, 1)
    steps.scan_all(phone, vehicle["load"])
    steps.dismiss(page)
    steps.strap_rows(phone, vehicle)
    steps.answer_checks(page)
    steps.release(page, 1)
    page.locator("main .btn").last.click()


def unload(phone: Phone, bundle: dict[str, Any], gone: str) -> None:
    """Take everything off at the venue, door first."""
    for place, vehicle in enumerate(bundle["vehicles"][:2]):
        steps.choose(phone, "load_in", place)
        steps.scan_all(phone, [code for code in vehicle["unload"] if code != gone])
        steps.dismiss(phone.page)
        expect(phone.page.locator("main .card-go")).to_be_visible()


def sign_the_night(page: Page) -> None:
    """Walk the venue, then sign: refused before the walk, taken after it."""
    steps.tab(page, 4)
    page.locator("main .pair").last.get_by_role("button").nth(1).click()
    expect(steps.reasons(page).first).to_be_visible()
    steps.reasons(page).first.get_by_role("button").first.click()
    steps.walk(page)
    page.go_back()
    steps.sign(page)
    expect(page.locator(".digest")).to_be_visible()
    page.go_back()


def put_away(phone: Phone, bundle: dict[str, Any], gone: str) -> None:
    """At the shop door: every case scanned to its home, checks answered, vehicle after vehicle."""
    page = phone.page
    for place, vehicle in enumerate(bundle["vehicles"][:2]):
        steps.choose(phone, "put_away", place)
        codes = [code for code in vehicle["unload"] if code != gone]
        say_damaged(phone, codes[0])
        phone.scan(codes[0])
        expect(page.locator("[data-answer]")).to_contain_text(bundle["cases"][codes[0]]["home"])
        expect(page.locator("[data-answer]")).to_contain_text("set it aside. A hinge")
        steps.scan_all(phone, codes[1:])
        steps.dismiss(page)
        expect(page.locator("main .card-go")).to_be_visible()
        if place == 0:
            be_asked_before_closing(page, bundle["vehicles"][1]["name"])
        steps.answer_checks(page)


def say_damaged(phone: Phone, code: str) -> None:
    """Note on the screen of a case what is broken."""
    page = phone.page
    phone.open("case", code)
    page.get_by_role("button", name="It is damaged").click()
    page.locator("#damage").fill("A hinge")
    page.locator("main .btn-stop").click()
    expect(page.locator("main .trouble")).to_contain_text("A hinge")
    phone.open("next")


def be_asked_before_closing(page: Page, other: str) -> None:
    """While the other vehicle is still full, closing names it and asks once more."""
    page.locator("#to-closing").click()
    expect(page.locator("#still-open")).to_contain_text(other)
    page.locator("#close").click()
    expect(page.locator("#close.btn-stop")).to_be_visible()
    expect(page.locator("#closed")).to_have_count(0)
    page.go_back()


def close_the_show(page: Page, damaged: str) -> None:
    """All is home: what is damaged is named, and one tap closes."""
    steps.tab(page, 0)
    page.locator("#to-closing").click()
    expect(page.locator("#still-open")).to_have_count(0)
    expect(page.locator("main .card").filter(has_text="damaged")).to_contain_text(damaged)
    page.locator("#close").click()
    expect(page.locator("#closed")).to_contain_text("Ana Cruz")


def evening(phone: Phone, bundle: dict[str, Any]) -> None:
    """From the shop to the signed night, in the order of the clock."""
    first, second = bundle["vehicles"][:2]
    missing = first["load"][-1]
    phone.work("shop_load", 0)
    load_by_camera(phone, first["load"][:-1])
    stop_a_wrong_case(phone, second)
    ship(phone, bundle, "shop_load", missing)
    second_vehicle(phone, bundle, "shop_load")
    unload(phone, bundle, missing)
    steps.choose(phone, "load_out", 0)
    steps.scan_all(phone, first["load"][:-1])
    steps.dismiss(phone.page)
    ship(phone, bundle, "load_out", missing)
    second_vehicle(phone, bundle, "load_out")
    sign_the_night(phone.page)


def test_an_evening_from_the_shop_to_the_closed_show(
    phone: Phone, house: Stage, bundle: dict[str, Any]
) -> None:
    phone.join(house.code, "Ana Cruz", PIN)
    evening(phone, bundle)
    first, second = bundle["vehicles"][:2]
    put_away(phone, bundle, first["load"][-1])
    close_the_show(phone.page, second["unload"][0])
    phone.until(lambda: not phone.outbox(), "an empty outbox")
    stored = {event.id for event in stored_events(house)}
    assert stored >= {event["id"] for event in phone.events()}
    assert closed(house)


def test_the_same_evening_with_the_network_off_after_joining(
    phone: Phone, house: Stage, bundle: dict[str, Any]
) -> None:
    phone.join(house.code, "Ana Cruz", PIN)
    phone.page.context.set_offline(True)
    evening(phone, bundle)
    assert not stored_events(house)
    made = {event["id"] for event in phone.outbox()}
    assert len(made) > 60
    phone.online()
    phone.until(lambda: not phone.outbox(), "an empty outbox once the network is back", 30)
    assert {event.id for event in stored_events(house)} == made


def closed(house: Stage) -> bool:
    """Return whether the show is closed on the server and nobody can join it any more."""
    with house.app.app_context():
        show = house.ports.shows.show(house.show)
    assert show is not None
    return show.closed_at is not None and show.join_code is None


def stored_events(house: Stage) -> list[Any]:
    """Return every fact that the server has stored."""
    with house.app.app_context():
        return list(house.ports.log.all(house.show))
