"""What some parts need of the machine: Chromium, and the programs of a PostgreSQL server."""

from __future__ import annotations

import os
import shutil
from pathlib import Path
from typing import NoReturn

import pytest

from server.bootstrap.places import SetUpFailed, say
from server.bootstrap.system import apt_install

CHROMIUM_NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")


def find_chromium() -> Path | None:
    """Return the Chromium of the variable CHROMIUM, or of the PATH."""
    named = os.environ.get("CHROMIUM")
    found = named or next(filter(None, map(shutil.which, CHROMIUM_NAMES)), None)
    return Path(found) if found else None


def want_chromium() -> None:
    """Install Chromium through apt where that is permitted; else say what to install."""
    if find_chromium() is None:
        apt_install(["chromium"])
    if find_chromium() is None:
        raise SetUpFailed(
            "There is no Chromium for the browser tests: install the package chromium "
            "(apt-get install chromium), or name one in the variable CHROMIUM."
        )


def want_engines() -> None:
    """Install Firefox and WebKitGTK through apt where permitted; without them their tests skip."""
    tools = ("firefox-esr", "WebKitWebDriver", "xvfb-run", "dbus-run-session")
    if all(map(shutil.which, tools)):
        return
    packages = ("firefox-esr", "webkit2gtk-driver", "xvfb", "dbus")
    if not apt_install(packages):
        say(
            "Some of the tests in Firefox and WebKitGTK are skipped: install the packages "
            f"{', '.join(packages)} (apt-get install {' '.join(packages)})."
        )


def find_postgres() -> Path | None:
    """Return the folder of initdb and postgres, the newest version first."""
    folders = [Path(found).parent for found in filter(None, [shutil.which("initdb")])]
    debian = sorted(
        Path("/usr/lib/postgresql").glob("*/bin"),
        key=lambda folder: int("0" + "".join(filter(str.isdigit, folder.parent.name))),
        reverse=True,
    )
    both = (folder for folder in [*debian, *folders] if (folder / "initdb").is_file())
    return next((folder for folder in both if (folder / "postgres").is_file()), None)


def postgres() -> Path:
    """Return the folder of PostgreSQL's programs; without one the test is skipped."""
    found = find_postgres()
    if found is None:
        lacking("PostgreSQL server", "postgresql")
    return found


def want_postgres() -> None:
    """Install a PostgreSQL server through apt where permitted; without it its tests skip."""
    if find_postgres() is None:
        apt_install(["postgresql"])
    if find_postgres() is None:
        say(
            "The PostgreSQL half of the store tests is skipped: install the package postgresql "
            "(apt-get install postgresql)."
        )


def want_nginx() -> None:
    """Install nginx through apt where that is permitted; without it its test skips."""
    there = shutil.which("nginx") or Path("/usr/sbin/nginx").exists()
    if not there and not apt_install(["nginx-light"]):
        say("The test behind nginx is skipped: apt-get install nginx-light brings it.")


def want_caddy() -> None:
    """Install Caddy through apt where that is permitted; without it its test skips."""
    if shutil.which("caddy") is None and not apt_install(["caddy"]):
        say("The test behind Caddy is skipped: apt-get install caddy brings it.")


def lacking(program: str, packages: str) -> NoReturn:
    """Skip a test for want of a program.

    `python3 tests` installs every one of them; this is for machines where apt is not permitted and
    for tests called one by one. The summary counts what was skipped.
    """
    pytest.skip(f"no {program} here: apt-get install {packages}")
