"""A server with the demo shop, a Chromium of the size of a phone, films for its camera."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, BrowserContext, Playwright, expect, sync_playwright

from server import create_app, ports_of
from server.settings import Settings
from tests.browser.crew import Crew
from tests.browser.office import LAPTOP, TABLET, Office, opened
from tests.browser.phone import Phone
from tests.browser.stage import (
    PIN,
    Stage,
    ask_nothing_first,
    furnish_in,
    small_show,
    stage,
)
from tests.support.needs import find_chromium
from tests.support.once import made_once, shared_folder
from tests.support.serving import Server

expect.set_options(timeout=20_000)  # a busy machine is slow, not wrong

PHONE: Final = "Pixel 7"
QUIET: Final = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--use-fake-ui-for-media-stream",
    "--use-fake-device-for-media-stream",
)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Everything in this folder drives a browser."""
    here = Path(__file__).parent
    for item in items:
        if here in item.path.parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def play() -> Iterator[Playwright]:
    """Return what drives browsers."""
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="session")
def chromium_path() -> str:
    """Return the system's Chromium; the command that runs the tests has installed it."""
    found = find_chromium()
    assert found is not None, "expected Chromium on this machine: python3 tests installs it"
    return str(found)


@pytest.fixture(scope="session", autouse=True)
def _stages(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Let the workers share what they furnish."""
    furnish_in(shared_folder(tmp_path_factory.getbasetemp()))


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with the demo shop, planned once; a server works on a copy of it."""
    shared = shared_folder(tmp_path_factory.getbasetemp())
    return made_once(shared, "demo", lambda folder: Server(folder).start().stop())


@pytest.fixture(scope="session")
def crew_demo(demo: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with the demo shop, whose checks let the first case move."""
    folder = tmp_path_factory.mktemp("crew") / "demo"
    shutil.copytree(demo, folder, ignore=shutil.ignore_patterns("*.log"))
    app = create_app(Settings(data=folder, planner=False))
    with app.app_context():
        ask_nothing_first(ports_of(app))
    return folder


@pytest.fixture
def server(crew_demo: Path, tmp_path: Path) -> Iterator[Server]:
    """Return a running server with the demo shop, ready for the first case."""
    folder = tmp_path / "server"
    shutil.copytree(crew_demo, folder, ignore=shutil.ignore_patterns("*.log"))
    running = Server(folder).start()
    yield running
    running.stop()


@pytest.fixture(scope="session")
def browser(play: Playwright, chromium_path: str) -> Iterator[Browser]:
    """Return a Chromium whose camera shows nothing of ours."""
    started = play.chromium.launch(executable_path=chromium_path, args=list(QUIET))
    yield started
    started.close()


@pytest.fixture
def new_phone(play: Playwright, browser: Browser, server: Server) -> Iterator[Callable[[], Phone]]:
    """Return a maker of phones that share nothing but the server."""
    contexts: list[BrowserContext] = []

    def make() -> Phone:
        context = browser.new_context(**play.devices[PHONE])
        contexts.append(context)
        return Phone(context.new_page(), server.url)

    yield make
    for context in contexts:
        context.close()


@pytest.fixture
def phone(new_phone: Callable[[], Phone]) -> Phone:
    """Return one phone that has not joined yet."""
    return new_phone()


@pytest.fixture
def phone_with_film(
    play: Playwright, chromium_path: str, server: Server
) -> Iterator[Callable[[Path], Phone]]:
    """Return a maker of phones whose camera shows a film."""
    started: list[Browser] = []

    def make(film: Path) -> Phone:
        args = [*QUIET, f"--use-file-for-fake-video-capture={film}"]
        running = play.chromium.launch(executable_path=chromium_path, args=args)
        started.append(running)
        context = running.new_context(**play.devices[PHONE], permissions=["camera"])
        return Phone(context.new_page(), server.url)

    yield make
    for running in started:
        running.close()


@pytest.fixture
def house(tmp_path: Path) -> Iterator[Stage]:
    """Return a served show of two vehicles with few cases."""
    with stage(tmp_path, small_show(9, 4)) as served:
        yield served


@pytest.fixture
def crew(house: Stage) -> Crew:
    """Return a chief without a screen, for what happens elsewhere."""
    return Crew(house.url, house.code, "Noor Vega", PIN)


@pytest.fixture
def bundle(crew: Crew) -> dict[str, Any]:
    """Return what every phone of the show gets."""
    return crew.bundle()


@pytest.fixture
def make(play: Playwright, browser: Browser, house: Stage) -> Iterator[Callable[[], Phone]]:
    """Return a maker of phones of this show."""
    contexts: list[BrowserContext] = []

    def phone() -> Phone:
        context = browser.new_context(**play.devices[PHONE])
        context.set_default_timeout(10_000)
        contexts.append(context)
        return Phone(context.new_page(), house.url)

    yield phone
    for context in contexts:
        context.close()


@pytest.fixture
def chief(make: Callable[[], Phone], house: Stage) -> Phone:
    """Return the chief's phone at the first vehicle, loading at the shop."""
    phone = make()
    phone.join(house.code, "Ana Cruz", PIN)
    phone.work("shop_load", 0)
    return phone


@pytest.fixture(scope="module", params=[LAPTOP, TABLET], ids=["laptop", "tablet"])
def sized_office(
    request: pytest.FixtureRequest,
    browser: Browser,
    demo: Path,
    tmp_path_factory: pytest.TempPathFactory,
) -> Iterator[Office]:
    """Yield the office of one size for all tests of a module: each makes what it looks at."""
    yield from opened(browser, demo, tmp_path_factory.mktemp("office") / "server", request.param)
