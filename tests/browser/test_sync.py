"""Two phones, one server, bad links: nothing lost, nothing doubled (issue 6)."""

from __future__ import annotations

import json
import shutil
import time
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import Route, expect

from tests.browser.phone import Phone
from tests.support.serving import Server


def test_what_one_phone_scans_is_seen_on_the_other(
    server: Server, new_phone: Callable[[], Phone]
) -> None:
    ana, ben = new_phone(), new_phone()
    ana.join(server.join_code, "Ana Cruz")
    ben.join(server.join_code, "Ben Ode")
    ana.work()
    ben.work()
    codes = ana.load()
    assert ana.scan(codes[0]) == "right"
    ben.until(lambda: ben.codes() == codes[:1], "the scan on the other phone")
    assert ben.scan(codes[0]) == "already"
    assert ben.outbox() == []


def test_a_busy_server_and_an_answer_lost_on_its_way_double_nothing_and_lose_nothing(
    server: Server, phone: Phone
) -> None:
    phone.join(server.join_code)
    phone.work()
    codes = phone.load()
    taken: list[int] = []
    busy: list[float] = []

    def lose_the_answer(route: Route) -> None:
        if route.request.method == "POST" and not busy:
            # as the server says it when no connection to its database came free
            busy.append(time.monotonic())
            route.fulfill(status=503, headers={"Retry-After": "3"}, json={"status": 503})
        elif len(taken) < 3 and route.request.method == "POST":
            busy.append(time.monotonic())
            taken.append(route.fetch().status)
            route.abort()
        else:
            route.continue_()

    phone.page.context.route("**/api/shows/*/events", lose_the_answer)
    phone.scan(codes[0])
    phone.until(lambda: len(busy) == 1, "the server busy")
    assert len(phone.outbox()) == 1
    phone.until(lambda: len(busy) > 1, "asked again")
    assert busy[1] - busy[0] > 2.5
    phone.scan(codes[1])
    phone.until(lambda: len(taken) == 3 and not phone.outbox(), "all sent after lost answers", 30)
    assert set(taken) == {200}
    sequences = [row["seq"] for row in phone.held("log")]
    phone.until(
        lambda: None not in [row["seq"] for row in phone.held("log")], "every event numbered"
    )
    assert len(sequences) == 2
    assert phone.codes() == codes[:2]


def test_a_server_killed_in_mid_batch_goes_on_where_it_was(server: Server, phone: Phone) -> None:
    phone.join(server.join_code)
    phone.work()
    codes = phone.load()
    phone.scan(codes[0])
    phone.until(lambda: not phone.outbox(), "the first event sent")
    server.kill()
    for code in codes[1:5]:
        phone.scan(code)
    assert len(phone.outbox()) == 4
    server.start()
    phone.online()
    phone.until(lambda: not phone.outbox(), "the rest sent after the restart", 30)
    phone.until(
        lambda: sorted(row["seq"] or 0 for row in phone.held("log")) == [1, 2, 3, 4, 5],
        "five events, each numbered once",
    )


def test_two_tabs_of_one_phone_share_numbers_and_one_outbox(server: Server, phone: Phone) -> None:
    phone.join(server.join_code)
    phone.work()
    codes = phone.load()
    other = Phone(phone.page.context.new_page(), server.url)
    other.page.goto(server.url)
    other.page.locator("#start").click()
    for tab, code in zip([phone, other] * 3, codes[:6], strict=True):
        tab.scan(code)
    phone.until(lambda: not phone.outbox(), "all sent by whichever tab leads")
    assert sorted(event["n"] for event in phone.events()) == [1, 2, 3, 4, 5, 6]
    assert phone.codes() == codes[:6]


def test_a_server_restored_from_a_backup_gets_back_what_it_lost(
    server: Server, phone: Phone, tmp_path: Path
) -> None:
    phone.join(server.join_code)
    phone.work()
    codes = phone.load()
    server.stop()
    shutil.copytree(server.folder, tmp_path / "backup")
    server.start()
    for code in codes[:3]:
        phone.scan(code)
    phone.until(lambda: not phone.outbox(), "three events sent", 30)
    server.stop()
    shutil.rmtree(server.folder)
    shutil.copytree(tmp_path / "backup", server.folder)
    server.start()
    phone.scan(codes[3])
    phone.online()
    phone.until(lambda: not phone.outbox(), "everything offered again", 30)
    phone.until(
        lambda: sorted(row["seq"] or 0 for row in phone.held("log")) == [1, 2, 3, 4],
        "four events, numbered anew",
    )


def test_a_restored_server_that_grew_past_a_phone_hears_from_it_what_was_lost(
    server: Server, new_phone: Callable[[], Phone], tmp_path: Path
) -> None:
    ana, ben = new_phone(), new_phone()
    for phone, name in ((ana, "Ana Cruz"), (ben, "Ben Ode")):
        phone.join(server.join_code, name)
        phone.work()
    codes = ana.load()
    server.stop()
    shutil.copytree(server.folder, tmp_path / "backup")
    server.start()
    for code in codes[:3]:
        ana.scan(code)
    ana.until(lambda: not ana.outbox(), "three events sent", 30)
    ben.until(lambda: ben.codes() == codes[:3], "three events on the second phone", 40)
    ben.page.context.set_offline(True)
    ana.page.context.close()
    server.stop()
    shutil.rmtree(server.folder)
    shutil.copytree(tmp_path / "backup", server.folder)
    server.start()
    # a phone that knows nothing of the time before lets the server grow past the other's number
    di = new_phone()
    di.join(server.join_code, "Di Renn")
    di.work()
    for code in codes[3:]:  # what stands on a case that was lost is not taken at first
        if len(di.codes()) < 5:
            di.scan(code)
    di.until(lambda: len(di.codes()) >= 5 and not di.outbox(), "five facts after the restore", 30)
    every = {*codes[:3], *di.codes()}
    ben.online()
    ben.until(lambda: set(ben.codes()) == every, "all facts on the second phone", 40)
    di.until(lambda: set(di.codes()) == every, "what was lost comes back to all", 40)
    ben.until(
        lambda: sorted(row["seq"] or 0 for row in ben.held("log")) == [*range(1, len(every) + 1)],
        "all events, each under the number that it has now",
        40,
    )


def test_what_the_server_will_never_take_leaves_the_outbox_and_counts_nowhere(
    server: Server, phone: Phone
) -> None:
    phone.join(server.join_code)
    phone.work()
    codes = phone.load()

    def spoil(route: Route) -> None:
        body = json.loads(route.request.post_data or "{}")
        for event in body.get("events", []):
            event["show"] = "nowhere"
        route.continue_(post_data=json.dumps(body))

    phone.page.context.route("**/api/shows/*/events", spoil)
    phone.scan(codes[0])
    phone.until(lambda: len(phone.held("refused")) == 1, "the spoilt event refused")
    phone.page.context.unroute("**/api/shows/*/events")
    # its number will never come, and the phone says so, that nobody waits for it
    phone.until(lambda: not phone.outbox(), "the number withdrawn", 30)
    said = [row["event"]["body"] for row in phone.held("log")]
    assert said == [{"kind": "withdrawn", "numbers": [1]}]
    # it is as if it had never been said: the same case may be scanned once more
    assert phone.scan(codes[0]) == "right"
    phone.until(lambda: not phone.outbox(), "the good event sent")
    assert len(phone.held("refused")) == 1
    phone.open("link")
    expect(phone.page.locator(".card-hold")).to_contain_text("another show")
