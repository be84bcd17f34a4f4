"""What a phone has not sent: seen by the chief, told to a phone that was emptied (issue 6)."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import Route, expect

from tests.browser.crew import Crew
from tests.browser.phone import Phone
from tests.browser.stage import PIN, Stage
from tests.browser.steps import scan_all
from tests.browser.tour import open_screen


def holding(phone: Phone, house: Stage, number: int) -> None:
    """Let a phone hold so many scans back, and report it, on a link that loses every batch."""
    phone.join(house.code, "Ben Ode")
    phone.work("shop_load", 0)
    codes = phone.load()[:number]
    phone.page.context.set_offline(True)
    scan_all(phone, codes)

    def lose(route: Route) -> None:
        if route.request.method == "POST":
            route.abort()
        else:
            route.continue_()

    phone.page.context.route("**/api/shows/*/events*", lose)
    phone.online()


def test_the_chief_sees_what_every_phone_holds_back_and_when_it_was_heard(
    chief: Phone, make: Callable[[], Phone], house: Stage
) -> None:
    ben = make()
    holding(ben, house, 3)
    crew = Crew(house.url, house.code, "Noor Vega", PIN)

    def told(number: int) -> bool:
        heard = {one["name"]: one for one in crew.ask(f"/shows/{house.show}/devices")}
        return bool((heard["Ben Ode"]["unsent"], heard["Ben Ode"]["missing"]) == (number, number))

    ben.until(lambda: told(3), "three scans told to the server", 30)
    open_screen(chief.page, "phones")
    line = chief.page.locator(".phone").filter(has_text="Ben Ode")
    expect(line.locator(".tag-hold")).to_have_text("3 unsent")
    expect(line).to_contain_text("Heard")
    ben.page.context.unroute("**/api/shows/*/events*")
    ben.online()
    ben.until(lambda: not ben.outbox(), "everything sent", 30)
    # The facts arrive first, and that none is left is told a moment later.
    ben.until(lambda: told(0), "that told to the server", 30)
    chief.page.locator("main .btn").last.click()
    expect(line.locator(".tag")).to_have_text("all sent", timeout=10_000)
    expect(line.locator(".tag-hold")).to_have_count(0)


def test_a_phone_that_was_emptied_is_told_what_it_may_have_lost_and_refilled(
    make: Callable[[], Phone], house: Stage, crew: Crew
) -> None:
    ben = make()
    holding(ben, house, 2)
    ask = f"/shows/{house.show}/devices"
    ben.until(lambda: any(one["unsent"] == 2 for one in crew.ask(ask)), "two told", 30)
    crew.put_on(crew.bundle()["vehicles"][0], ben.load()[2:5])
    codes = ben.load()
    tools = ben.page.context.new_cdp_session(ben.page)
    stores = {"origin": house.url, "storageTypes": "indexeddb"}
    ben.page.goto("about:blank")
    tools.send("Storage.clearDataForOrigin", stores)
    ben.page.goto(house.url)
    lost = ben.page.locator("[role=alert].trouble")
    expect(lost).to_contain_text("It held 2 unsent")
    ben.page.context.unroute("**/api/shows/*/events*")
    ben.join(house.code, "Ben Ode")
    ben.work("shop_load", 0)
    ben.until(lambda: set(ben.codes()) == set(codes[2:5]), "what the server has comes back")
    # a new start under a new name: nothing of what is scanned now hides behind old numbers
    assert ben.scan(codes[0]) in {"right", "not_next"}
    ben.until(lambda: not ben.outbox(), "the scan sent", 20)
