"""The wheel: exact requirements, the built client inside, and a program that needs no checkout."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import urllib.request
import zipfile
from collections.abc import Iterator
from importlib.metadata import PackageNotFoundError, requires
from pathlib import Path

import pytest
from packaging.requirements import Requirement

from server.places import ROOT
from server.version import VERSION
from tests.support.serving import free_port
from tests.support.wheels import pins_of

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the wheel of this checkout; the client is built already where browsers are tested."""
    folder = tmp_path_factory.mktemp("wheel")
    words = ["-m", "pip", "wheel", "-q", "--no-deps", "--no-build-isolation", "--no-index"]
    subprocess.run(
        [sys.executable, *words, "--wheel-dir", str(folder), str(ROOT)],
        check=True,
        env={**os.environ, "PYTHONDONTWRITEBYTECODE": "1"},
    )
    (found,) = folder.glob("*.whl")
    return found


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """Return the environment of a machine with the wheel, an empty home and an empty PATH."""
    folder = tmp_path_factory.mktemp("installed")
    with zipfile.ZipFile(wheel) as packed:
        packed.extractall(folder)
    home = tmp_path_factory.mktemp("home")
    return {"HOME": str(home), "PATH": "/nowhere", "PYTHONPATH": str(folder)}


def rowcall(machine: dict[str, str], *words: str) -> subprocess.CompletedProcess[str]:
    """Run the installed program as its console script does."""
    return subprocess.run(
        [sys.executable, "-P", "-m", "rowcall", *words],
        env=machine,
        cwd=machine["HOME"],
        capture_output=True,
        text=True,
        check=False,
    )


def test_the_wheel_holds_server_client_and_demo_and_nothing_of_this_machine(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as packed:
        names = packed.namelist()
        metadata = packed.read(f"rowcall-{VERSION}.dist-info/METADATA").decode()
        scripts = packed.read(f"rowcall-{VERSION}.dist-info/entry_points.txt").decode()
    wanted = ("server/cli.py", "pwa/dist/index.html", "pwa/dist/sw.js", "fixtures/demo/show.json",
              "server/typeface/RowcallSans-Bold.ttf", "server/typeface/OFL.txt")  # fmt: skip
    assert {f"rowcall/app/{name}" for name in wanted} <= set(names)
    left_out = re.compile(r"instance|\.sqlite|__pycache__|node_modules|\.env|bootstrap|/tests/")
    assert [name for name in names if left_out.search(name)] == []
    tops = {name.split("/")[0] for name in names}
    assert tops == {"rowcall", f"rowcall-{VERSION}.dist-info"}
    assert "rowcall = rowcall:main" in scripts
    needs = re.findall(r"(?m)^Requires-Dist: (.*)$", metadata)
    assert len(needs) == len(pins_of(ROOT / "server/requirements.lock"))
    assert [need for need in needs if "==" not in need] == []
    heart = {"flask", "flask-sqlalchemy", "pyzbar", "opencv-python-headless"}
    base = {Requirement(need).name for need in needs if "extra ==" not in need}
    assert heart <= base


def test_the_extra_holds_exactly_what_postgresql_alone_needs(wheel: Path) -> None:
    """Computed from the metadata of the installed packages."""
    with zipfile.ZipFile(wheel) as packed:
        metadata = packed.read(f"rowcall-{VERSION}.dist-info/METADATA").decode()
    needs = re.findall(r"(?m)^Requires-Dist: (.*)$", metadata)
    extra = {plain(Requirement(need).name) for need in needs if "extra ==" in need}
    lines = (ROOT / "server/requirements.in").read_text("utf-8").splitlines()
    asked = [Requirement(line.split("#")[0]) for line in lines if line.split("#")[0].strip()]
    base = closure(one for one in asked if one.name not in {"psycopg", "procrastinate"})
    assert extra == closure(asked) - base


def plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def closure(roots: Iterator[Requirement] | list[Requirement]) -> set[str]:
    """Return the names of all that requirements bring in on this system."""
    seen: set[tuple[str, ...]] = set()
    waiting = list(roots)
    while waiting:
        need = waiting.pop()
        key = (plain(need.name), *sorted(need.extras))
        if key in seen:
            continue
        seen.add(key)
        for one in map(Requirement, _requires(need.name)):
            extras = [{"extra": extra} for extra in ("", *need.extras)]
            if one.marker is None or any(one.marker.evaluate(extra) for extra in extras):
                waiting.append(one)
    return {key[0] for key in seen}


def _requires(name: str) -> list[str]:
    try:
        return requires(name) or []
    except PackageNotFoundError:
        return []  # for other systems


def test_an_installed_copy_keeps_its_data_where_the_platform_says(
    installed: dict[str, str],
) -> None:
    """XDG Base Directory Specification 0.8: data in ~/.local/share, settings in ~/.config.

    A Mac has both in its folder of application support (File System Programming Guide).
    """
    support = "Library/Application Support"
    mac = sys.platform == "darwin"
    data, settings = (support, support) if mac else (".local/share", ".config")
    told = rowcall(installed, "where")
    assert told.returncode == 0, told.stderr
    assert f"{installed['HOME']}/{data}/rowcall (not there yet)" in told.stdout
    assert f"{installed['HOME']}/{settings}/rowcall/settings.toml" in told.stdout
    moved = rowcall({**installed, "XDG_DATA_HOME": "/srv/xdg"}, "where")
    assert mac or "/srv/xdg/rowcall" in moved.stdout
    assert rowcall(installed, "--version").stdout == f"Rowcall {VERSION}\n"
    assert "usage: rowcall" in rowcall(installed, "--help").stdout


def test_an_installed_copy_makes_the_demo_and_serves_the_client(installed: dict[str, str]) -> None:
    made = rowcall(installed, "demo")
    assert made.returncode == 0, made.stderr
    data = Path(installed["HOME"]) / ".local/share/rowcall"
    assert data.stat().st_mode & 0o777 == 0o700
    port = free_port()
    with subprocess.Popen(
        [sys.executable, "-P", "-m", "rowcall", "serve", "--port", str(port)],
        env=installed,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    ) as server:
        assert server.stdout is not None
        try:
            for line in server.stdout:
                if "Ctrl-C stops" in line:
                    break
            for path, sign in (("/healthz", ""), ("/", "<html"), ("/office", "<html")):
                assert sign in fetch(f"http://127.0.0.1:{port}{path}")
        finally:
            server.terminate()


def fetch(url: str) -> str:
    """Return a page; the server may still be starting."""
    import time

    for _ in range(600):
        try:
            with urllib.request.urlopen(url, timeout=10) as answer:
                return str(answer.read().decode())
        except OSError:
            time.sleep(0.1)
    raise AssertionError(f"expected an answer from {url}")


def test_a_database_without_its_driver_is_refused_in_one_sentence(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    import importlib.util

    from server import create_app
    from server.settings import Settings
    from server.trouble import BadInput

    real = importlib.util.find_spec
    monkeypatch.setattr(
        importlib.util, "find_spec", lambda name: None if name == "psycopg" else real(name)
    )
    with pytest.raises(BadInput, match=r"pip install 'rowcall\[postgres\]'"):
        create_app(Settings(database="postgresql://localhost/x", planner=False))
