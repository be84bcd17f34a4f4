"""An evening on two phones that lose and find the network in turns; the last resort, a file."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from playwright.sync_api import expect

from tests.browser import steps
from tests.browser.phone import Phone
from tests.browser.stage import PIN, Stage
from tests.browser.tour import open_screen

MakePhone = Callable[[], Phone]


def take_turns(chief: Phone, loader: Phone, turn: int) -> None:
    """Give the network to one phone and take it from the other."""
    lit, dark = (chief, loader) if turn % 2 else (loader, chief)
    dark.page.context.set_offline(True)
    lit.online()


def meet(phones: tuple[Phone, Phone]) -> None:
    """Give both the network and wait until both know the same facts."""
    for phone in phones:
        phone.online()

    def same() -> bool:
        known = [{event["id"] for event in phone.events()} for phone in phones]
        return known[0] == known[1] and not any(phone.outbox() for phone in phones)

    phones[0].until(same, "the same facts on both phones", 30)


def release_both(chief: Phone, bundle: dict[str, Any], move: str) -> None:
    """Strap, answer and release each vehicle on the chief's phone."""
    for place, vehicle in enumerate(bundle["vehicles"][:2]):
        steps.choose(chief, move, place)
        steps.strap_rows(chief, vehicle)
        steps.answer_checks(chief.page)
        steps.release(chief.page, place)
        chief.page.locator("main .btn").last.click()


def load_in_turns(chief: Phone, loader: Phone, bundle: dict[str, Any], move: str) -> None:
    """Load both vehicles, each phone its half, one of them always without network."""
    for place, vehicle in enumerate(bundle["vehicles"][:2]):
        order = vehicle["unload" if move == "load_in" else "load"]
        for phone in (chief, loader):
            steps.choose(phone, move, place)
        for turn, code in enumerate(order):
            take_turns(chief, loader, turn)
            steps.scan_all((chief, loader)[turn // 2 % 2], [code])
        for phone in (chief, loader):
            steps.dismiss(phone.page)
    meet((chief, loader))


def test_an_evening_on_two_phones_without_network_in_turns_ends_the_same_everywhere(
    make: MakePhone, house: Stage, bundle: dict[str, Any]
) -> None:
    chief, loader = make(), make()
    chief.join(house.code, "Ana Cruz", PIN)
    loader.join(house.code, "Kit Moss")
    for phone in (chief, loader):
        phone.work("shop_load", 0)
    load_in_turns(chief, loader, bundle, "shop_load")
    release_both(chief, bundle, "shop_load")
    load_in_turns(chief, loader, bundle, "load_in")
    load_in_turns(chief, loader, bundle, "load_out")
    chief.page.context.set_offline(True)
    release_both(chief, bundle, "load_out")
    meet((chief, loader))
    for phone in (chief, loader):
        for place in (0, 1):
            steps.choose(phone, "load_out", place)
            expect(phone.page.locator("main")).to_be_visible()
        on = [event for event in phone.events() if event["body"]["kind"] == "on"]
        every = [code for vehicle in bundle["vehicles"][:2] for code in vehicle["load"]]
        for move in ("shop_load", "load_out"):
            assert sorted(one["body"]["code"] for one in on if one["move"] == move) == sorted(every)
    with house.app.app_context():
        stored = {event.id for event in house.ports.log.all(house.show)}
    assert stored == {event["id"] for event in chief.events()}


def test_what_is_not_sent_can_leave_as_a_file_and_reach_the_server_by_another_phone(
    make: MakePhone, house: Stage, bundle: dict[str, Any], tmp_path: Path
) -> None:
    lost, other = make(), make()
    lost.join(house.code, "Kit Moss")
    lost.work("shop_load", 0)
    lost.page.context.set_offline(True)
    steps.scan_all(lost, bundle["vehicles"][0]["load"][:3])
    steps.dismiss(lost.page)
    made = {event["id"] for event in lost.outbox()}
    open_screen(lost.page, "hand_over")
    with lost.page.expect_download() as saving:
        lost.page.get_by_role("button", name="Save a copy as a file").click()
    file = tmp_path / "unsent.json"
    saving.value.save_as(file)
    assert all(one in file.read_text(encoding="utf-8") for one in made)
    assert json.loads(file.read_text(encoding="utf-8"))
    other.join(house.code, "Ida Roth")
    other.work("shop_load", 0)
    open_screen(other.page, "hand_over")
    other.page.locator("input[type=file]").set_input_files(file)
    other.until(lambda: {one["id"] for one in other.events()} >= made, "the facts of the file")
    other.until(lambda: not other.outbox(), "an empty outbox", 30)
    with house.app.app_context():
        assert {event.id for event in house.ports.log.all(house.show)} >= made
