"""Phones signed out and let in again, papers, lenses, and last time beside tonight (issue 7)."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from playwright.sync_api import Playwright, expect

from server.core.night.record_chain import verify
from server.files.show_file import parse_show
from tests.browser.conftest import PHONE, QUIET
from tests.browser.crew import Crew
from tests.browser.phone import Phone
from tests.browser.stage import PIN, Stage, furnish, small_show
from tests.browser.tour import open_screen

MakePhone = Callable[[], Phone]
CREW_SCREENS = ("choose", "next", "scan", "rows", "not_on", "checks", "more", "link", "settings")


def test_a_phone_signed_out_by_the_chief_says_so_everywhere_and_comes_back_with_its_reports(
    chief: Phone, make: MakePhone, house: Stage
) -> None:
    loader = make()
    loader.join(house.code, "Kit Moss")
    loader.work()
    code = loader.load()[0]
    open_screen(chief.page, "phones")
    chief.page.get_by_role("button", name="Sign out: Kit Moss").click()
    ask = chief.page.locator(".card-hold")
    expect(ask).to_contain_text("Kit Moss")
    # the chief's own phone is in the list, and has no such button
    expect(chief.page.get_by_role("button", name="Sign out: Ana Cruz")).to_have_count(0)
    assert not any(one["out"] for one in _devices(house))
    chief.page.locator("#sign-out").click()
    expect(chief.page.get_by_text("signed out", exact=True)).to_be_visible()
    assert [one["name"] for one in _devices(house) if one["out"]] == ["Kit Moss"]

    loader.scan(code)
    loader.page.locator("#dismiss").click()
    expect(loader.page.locator("#signed-out")).to_be_visible()
    for name in CREW_SCREENS:
        open_screen(loader.page, name)
        expect(loader.page.locator("#signed-out")).to_be_visible()
    device = loader.outbox()[0]["device"]
    loader.page.locator("#rejoin").click()
    expect(loader.page.locator("#join-name")).to_have_value("Kit Moss")
    loader.page.locator("#join").click()
    expect(loader.page.locator("#start")).to_be_visible()
    expect(loader.page.locator("#signed-out")).to_have_count(0)
    loader.until(lambda: not loader.outbox(), "the scan sent after coming back")
    arrived = Crew(house.url, house.code, "Noor Vega", PIN)
    facts = arrived.ask(f"/shows/{house.show}/events?since=0")["events"]
    assert (device, code) in [(one["event"]["device"], one["event"]["body"].get("code"))
                              for one in facts]  # fmt: skip


def _devices(house: Stage) -> list[dict[str, object]]:
    asked = Crew(house.url, house.code, "Ida Roth", PIN)
    found: list[dict[str, object]] = asked.ask(f"/shows/{house.show}/devices")
    return found


def test_the_chief_takes_the_record_away_and_it_verifies(
    chief: Phone, crew: Crew, house: Stage, tmp_path: Path
) -> None:
    crew.put_on(crew.bundle()["vehicles"][0], chief.load()[:2])
    open_screen(chief.page, "more")
    chief.page.get_by_role("button", name="Papers").click()
    buttons = chief.page.locator("main .btn")
    kept = {}
    for place in range(buttons.count()):
        with chief.page.expect_download() as waiting:
            buttons.nth(place).click()
        name = waiting.value.suggested_filename
        waiting.value.save_as(tmp_path / name)
        kept[name.rsplit(".", 1)[-1], place] = (tmp_path / name).read_bytes()
    vehicles = len(crew.bundle()["vehicles"])
    kinds = [kind for kind, _ in kept]
    assert kinds == [*["pdf"] * vehicles, "pdf", "csv", "json"]
    assert all(made.startswith(b"%PDF") for (kind, _), made in kept.items() if kind == "pdf")
    record = json.loads(kept["json", vehicles + 2])
    assert verify(record) == ()
    assert len(record["events"]) == 2


def test_without_a_network_the_papers_say_that_they_need_the_server(chief: Phone) -> None:
    open_screen(chief.page, "papers")
    expect(chief.page.locator("main .btn").first).to_be_visible()
    chief.page.context.set_offline(True)
    chief.page.locator("main .btn").first.click()
    expect(chief.page.get_by_role("status")).to_contain_text("Papers come from the server")


def test_a_loader_prints_a_page_and_is_offered_no_record(make: MakePhone, house: Stage) -> None:
    loader = make()
    loader.join(house.code, "Kit Moss")
    loader.work()
    open_screen(loader.page, "papers")
    expect(loader.page.locator("main .btn")).to_have_count(len(house.plan.vehicles))


def test_the_next_lens_is_taken_and_remembered(
    play: Playwright, chromium_path: str, house: Stage
) -> None:
    args = [one for one in QUIET if not one.startswith("--use-fake-device")]
    args.append("--use-fake-device-for-media-stream=device-count=2")
    browser = play.chromium.launch(executable_path=chromium_path, args=args)
    context = browser.new_context(**play.devices[PHONE], permissions=["camera"])
    phone = Phone(context.new_page(), house.url)
    phone.join(house.code)
    phone.work()
    phone.page.locator("#scan").first.click()
    in_use = "document.querySelector('video').srcObject.getVideoTracks()[0].getSettings().deviceId"
    lens = phone.page.locator("#lens")
    expect(lens).to_contain_text("1 of 2")
    first = phone.page.evaluate(in_use)
    lens.click()
    expect(lens).to_contain_text("2 of 2")
    phone.until(lambda: phone.page.evaluate(in_use) != first, "the other lens")
    second = phone.page.evaluate(in_use)
    kept = "localStorage.getItem('rowcall-lens')"
    phone.until(lambda: phone.page.evaluate(kept) == second, "the lens kept once it shows")
    phone.page.reload()
    phone.page.locator("#start").click()
    phone.page.locator("#scan").first.click()
    expect(lens).to_contain_text("2 of 2")
    assert phone.page.evaluate(in_use) == second
    browser.close()


def test_the_chief_sees_tonight_against_last_time(make: MakePhone, house: Stage) -> None:
    earlier = replace(parse_show(small_show(9, 4)), date="2027-02-03", name="The night before")
    with house.app.app_context():
        record, _ = furnish(house.ports, earlier)
    then = Crew(house.url, record.join_code or "", "Noor Vega", PIN)
    vehicle = then.bundle()["vehicles"][0]
    ons = [{"kind": "on", "code": code, "read": "camera", "row": None}
           for code in vehicle["load"][:2]]  # fmt: skip
    facts = [then.event("shop_load", vehicle["id"], body) for body in ons]
    began = facts[0]["at"] = facts[0]["at"] - 41 * 60_000
    facts[0]["hlc"] = f"{began:013d}-00001-{then.device}"
    sent = then.ask(f"/shows/{record.id}/events",
                    {"device": then.device, "events": facts, "since": 0})  # fmt: skip
    assert not sent["refused"]

    chief = make()
    chief.join(house.code, "Ana Cruz", PIN)
    chief.work()
    open_screen(chief.page, "vehicles")
    expect(chief.page.locator(".last-time")).to_have_text(
        "Last time (Feb 3, 2027): 2 in 41 minutes"
    )
