"""The live camera: every label in view, once each, without a network too (issue 5)."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.browser.film import label, moved, scene, shoot
from tests.browser.phone import Phone
from tests.support.serving import Server


def _loading(server: Server, new_phone: Callable[[], Phone]) -> list[str]:
    """Ask an ordinary phone for the loading order of the first vehicle."""
    first = new_phone()
    first.join(server.join_code)
    return first.load()


def test_of_all_labels_in_the_picture_only_the_one_aimed_at_counts_offline_too(
    server: Server,
    new_phone: Callable[[], Phone],
    phone_with_film: Callable[[Path], Phone],
    tmp_path: Path,
) -> None:
    order = _loading(server, new_phone)
    aimed, around = order[2], [order[0], order[1], *order[3:7]]
    # the screen shows the middle of the picture only: two labels lie outside it, two in its corners
    places = [(0.06, 0.5), (0.94, 0.5), (0.36, 0.12), (0.64, 0.9), (0.5, 0.1), (0.5, 0.92)]
    beside = [(label(code, 4), *place) for code, place in zip(around, places, strict=True)]
    clear = scene([(label(aimed, 6), 0.5, 0.5), *beside])
    smeared = scene([(moved(label(order[8], 6), 60), 0.5, 0.5), *beside])
    phone = phone_with_film(shoot(tmp_path / "dock.y4m", [clear, smeared], 1.5))
    phone.join(server.join_code)
    phone.work()
    phone.page.context.set_offline(True)
    phone.page.locator("#scan").first.click()
    phone.until(lambda: phone.codes() == [aimed], "the label aimed at on board", 20)
    expect(phone.page.locator(".seen-outside").first).to_be_attached()
    expect(phone.page.locator("#view-say")).to_contain_text("Blurred")
    assert phone.codes() == [aimed]
    [event] = phone.events()
    assert event["body"]["read"] == "camera"
    across, down, size = event["body"]["aim"]
    assert abs(across - 500) < 40, "expected the label in the middle of the frame"
    assert abs(down - 500) < 40
    assert size > 100
    assert len(phone.outbox()) == 1
    phone.online()
    phone.until(lambda: not phone.outbox(), "an empty outbox once the network is back")


def test_two_labels_as_near_to_the_centre_are_a_choice_by_tap(
    server: Server,
    new_phone: Callable[[], Phone],
    phone_with_film: Callable[[Path], Phone],
    tmp_path: Path,
) -> None:
    one, two = _loading(server, new_phone)[:2]
    picture = scene([(label(one, 5), 0.45, 0.5), (label(two, 5), 0.55, 0.5)])
    phone = phone_with_film(shoot(tmp_path / "two.y4m", [picture], 0.5))
    phone.join(server.join_code)
    phone.work()
    phone.page.locator("#scan").first.click()
    choice = phone.page.locator("#which")
    expect(choice).to_be_visible()
    assert phone.codes() == []
    choice.get_by_role("button", name=two).click()
    phone.until(lambda: phone.codes() == [two], "the label that was tapped on board")


@pytest.mark.slow
def test_a_label_held_for_ten_seconds_counts_once(
    server: Server,
    new_phone: Callable[[], Phone],
    phone_with_film: Callable[[Path], Phone],
    tmp_path: Path,
) -> None:
    code = _loading(server, new_phone)[0]
    phone = phone_with_film(shoot(tmp_path / "one.y4m", [scene([(label(code, 8), 0.5, 0.5)])], 0.3))
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
