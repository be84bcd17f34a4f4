"""The live camera: every label in view, once each, without a network too (issue 5)."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.browser.film import label, shoot, view
from tests.browser.phone import Phone
from tests.support.serving import Server


def _loading(server: Server, new_phone: Callable[[], Phone]) -> list[str]:
    """Ask an ordinary phone for the loading order of the first vehicle."""
    first = new_phone()
    first.join(server.join_code)
    return first.load()


def test_ten_labels_in_one_view_all_count_offline_too(
    server: Server,
    new_phone: Callable[[], Phone],
    phone_with_film: Callable[[Path], Phone],
    tmp_path: Path,
) -> None:
    codes = _loading(server, new_phone)[:10]
    picture = view([label(code, 6) for code in codes], 1280, 720)
    phone = phone_with_film(shoot(tmp_path / "row.y4m", [picture], 0.3))
    phone.join(server.join_code)
    phone.work()
    phone.page.context.set_offline(True)
    phone.page.locator("#scan").first.click()
    phone.until(lambda: set(phone.codes()) == set(codes), "all ten labels on board", 20)
    assert len(phone.codes()) == 10
    assert {event["body"]["read"] for event in phone.events()} == {"camera"}
    assert len(phone.outbox()) == 10
    phone.online()
    phone.until(lambda: not phone.outbox(), "an empty outbox once the network is back")


@pytest.mark.slow
def test_a_label_held_for_ten_seconds_counts_once(
    server: Server,
    new_phone: Callable[[], Phone],
    phone_with_film: Callable[[Path], Phone],
    tmp_path: Path,
) -> None:
    code = _loading(server, new_phone)[0]
    phone = phone_with_film(shoot(tmp_path / "one.y4m", [view([label(code, 8)])], 0.3))
    phone.join(server.join_code)
    phone.work()
    phone.page.locator("#scan").first.click()
    expect(phone.page.locator("[data-answer]")).to_be_visible(timeout=20_000)
    answers = [phone.answer()]
    phone.page.locator("#dismiss").click()
    end = time.monotonic() + 10
    while time.monotonic() < end:
        if phone.page.locator("[data-answer]").count():
            answers.append(phone.answer())
        phone.page.wait_for_timeout(200)
    assert answers == ["right"]
    assert phone.codes() == [code]


def test_a_refused_camera_leaves_the_photo_and_typing(server: Server, phone: Phone) -> None:
    refuse = "navigator.mediaDevices.getUserMedia = () => Promise.reject("
    refuse += "new DOMException('no', 'NotAllowedError'))"
    phone.page.add_init_script(refuse)
    phone.join(server.join_code)
    phone.work()
    code = phone.load()[0]
    phone.page.locator("#scan").first.click()
    expect(phone.page.locator("input[type=file]")).to_be_attached()
    phone.page.locator("#type").click()
    phone.page.locator("#code").press_sequentially(code.replace("-", " ").lower(), delay=80)
    phone.page.locator("#take").click()
    expect(phone.page.locator("[data-answer=right]")).to_be_visible()
    assert [event["body"]["read"] for event in phone.events()] == ["typed"]


def test_a_scanner_that_types_is_heard_inside_a_field_and_leaves_it_clean(
    server: Server, phone: Phone
) -> None:
    phone.join(server.join_code)
    phone.work()
    code = phone.load()[0]
    phone.page.locator("#scan").first.click()
    phone.page.locator("#type").click()
    field = phone.page.locator("#code")
    field.fill("half a th")
    field.focus()
    phone.page.keyboard.insert_text(code)
    phone.wedge(code)
    expect(phone.page.locator("[data-answer=right]")).to_be_visible()
    assert field.input_value() == "half a th"
    assert [event["body"]["read"] for event in phone.events()] == ["wedge"]
