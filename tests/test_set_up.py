"""Set-up on other days and other machines: newer releases, no network, a folder without rights."""

from __future__ import annotations

import json
import os
import re
import socket
import subprocess
import sys
from importlib.metadata import PackageNotFoundError, requires
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.version import Version

from server.bootstrap import client, environment, places
from tests.support.wheels import pins_of, write_wheel

ROOT = places.ROOT
LOCKS = (environment.SERVER_LOCK, environment.TESTS_LOCK)
NEWER = "9999.0"


@pytest.fixture
def other_machine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a folder with an index of its own, into which the real command of set-up installs."""
    (tmp_path / "index").mkdir()
    monkeypatch.setattr(places, "STATE", tmp_path / "state")
    monkeypatch.setattr(environment, "VENV", tmp_path / "stamps")
    monkeypatch.setattr(environment, "PYTHON", Path(sys.executable))
    monkeypatch.setattr(environment, "ROOT", tmp_path)
    monkeypatch.setattr(places, "ROOT", tmp_path)
    monkeypatch.setattr(environment, "_want_zbar", lambda: None)
    monkeypatch.setenv("PIP_CONFIG_FILE", os.devnull)
    monkeypatch.setenv("PIP_NO_INDEX", "1")
    monkeypatch.setenv("PIP_FIND_LINKS", str(tmp_path / "index"))
    # pip reads this as its option --target, so that no second environment need be made.
    monkeypatch.setenv("PIP_TARGET", str(tmp_path / "installed"))
    return tmp_path


@pytest.mark.slow
def test_set_up_installs_what_the_locks_say_although_all_has_newer_releases(
    other_machine: Path,
) -> None:
    """Every package of both locks has a release 9999.0, and asks for any version of the next."""
    index, lock = other_machine / "index", other_machine / "all.lock"
    every = {pin.name: pin for one in LOCKS for pin in pins_of(one)}
    del every["pip"]  # which does the work here
    assert len(every) > 90
    names, lines = list(every), []
    for name, following in zip(names, [*names[1:], names[0]], strict=True):
        pin = every[name]
        needs = [f"{following}{every[following].extras}>=0 {every[following].marker}".strip()]
        digest = write_wheel(index, name, pin.version, needs)
        write_wheel(index, name, NEWER, needs)
        lines.append(f"{name}{pin.extras}=={pin.version} {pin.marker} --hash=sha256:{digest}\n")
    lock.write_text("".join(lines))
    environment.make_environment(lock)
    where = ["--path", str(other_machine / "installed")]
    asked = [sys.executable, "-m", "pip", "list", "--format", "json", *where]
    listed = json.loads(subprocess.run(asked, capture_output=True, check=True).stdout)
    installed = {one["name"].lower().replace("_", "-"): one["version"] for one in listed}
    wanted = {
        name: pin.version
        for name, pin in every.items()
        if Requirement(f"x {pin.marker}").marker is None
        or Requirement(f"x {pin.marker}").marker.evaluate()  # type: ignore[union-attr]
    }
    assert {name: Version(installed[name]) for name in wanted} == {
        name: Version(version) for name, version in wanted.items()
    }


def test_a_lock_that_lacks_a_package_is_noticed_at_set_up(
    other_machine: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PYTHONPATH", str(other_machine / "installed"))
    digest = write_wheel(other_machine / "index", "first", "1.0", ["second>=1"])
    lock = other_machine / "all.lock"
    lock.write_text(f"first==1.0 --hash=sha256:{digest}\n")
    with pytest.raises(places.SetUpFailed, match=r"first 1\.0 requires second"):
        environment.make_environment(lock)
    assert not list((other_machine / "stamps").glob("*.stamp"))


def test_extras_stand_in_the_locks_with_all_that_they_ask_for() -> None:
    """Each extra's requirements are read from the installed package (core metadata)."""
    for lock in LOCKS:
        pins = {pin.name: pin for pin in pins_of(lock)}
        lost = [
            f"{lock.name}: {pin.name}[{extra}] asks for {need.name}"
            for pin in pins.values()
            for extra in re.findall(r"[\w-]+", pin.extras)
            for need in map(Requirement, _requires(pin.name))
            if need.marker is not None
            and need.marker.evaluate({"extra": extra})
            and not need.marker.evaluate({"extra": ""})
            and need.name.lower().replace("_", "-") not in pins
        ]
        assert not lost
    with_extras = {pin.name for pin in pins_of(environment.TESTS_LOCK) if pin.extras}
    assert "coverage" in with_extras, "expected extras to be written into the lock"


def _requires(name: str) -> list[str]:
    try:
        return requires(name) or []
    except PackageNotFoundError:
        return []  # for other systems


def test_the_clients_lock_has_a_digest_for_every_package_and_runs_nothing() -> None:
    lock = json.loads((places.PWA / "package-lock.json").read_text(encoding="utf-8"))
    packages = {name: one for name, one in lock["packages"].items() if name}
    assert [name for name, one in packages.items() if not one.get("integrity")] == []
    asked = json.loads((places.PWA / "package.json").read_text(encoding="utf-8"))
    wanted = asked["dependencies"] | asked["devDependencies"]
    assert wanted == {name: packages[f"node_modules/{name}"]["version"] for name in wanted}


def test_the_client_is_installed_from_its_lock_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    ran: list[list[str]] = []
    monkeypatch.setattr(client, "run", lambda words, **_: ran.append([str(one) for one in words]))
    client._install(client.Node(Path("/nowhere/node"), ("npm",)))
    assert ran[0][:2] == ["npm", "ci"], "expected the command that never changes the lock"
    assert "--ignore-scripts" in ran[0]


def test_without_a_network_one_sentence_says_so_at_once(
    other_machine: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("PIP_NO_INDEX")
    monkeypatch.delenv("PIP_FIND_LINKS")
    # The top-level name invalid exists nowhere (RFC 6761, section 6.4).
    monkeypatch.setenv("PIP_INDEX_URL", "https://index.invalid/simple")
    lock = other_machine / "all.lock"
    lock.write_text(f"first==1.0 --hash=sha256:{'0' * 64}\n")
    with pytest.raises(places.SetUpFailed) as failure:
        environment.make_environment(lock)
    said = str(failure.value)
    assert said.startswith("What all.lock lists could not be downloaded")
    assert "network" in said
    assert "\n" not in said


def test_a_checkout_without_rights_to_write_is_refused_in_one_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # A file where a folder is wanted: nobody, root included, can make a folder in it.
    monkeypatch.setattr(places, "STATE", Path("/proc/self/rowcall"))
    with pytest.raises(places.SetUpFailed) as failure, places.one_at_a_time():
        pass
    assert "\n" not in str(failure.value)
    for number, told in (
        (30, "copy the checkout"),
        (13, "copy the checkout"),
        (28, "disk is full"),
    ):
        error = OSError(number, os.strerror(number), "/srv/rowcall/.venv")
        assert told in places.unusable(error)
        assert "/srv/rowcall/.venv" in places.unusable(error)


@pytest.mark.parametrize("words", [["--port"], ["serve", "--port"]])
def test_a_port_in_use_is_said_before_any_set_up(words: list[str], tmp_path: Path) -> None:
    """A copy of the front door alone: there is nothing that it could set up from."""
    for name in ("__init__.py", "__main__.py", "listening.py", "version.py"):
        copy(ROOT / "server" / name, tmp_path / "server" / name)
    for file in (ROOT / "server" / "bootstrap").glob("*.py"):
        copy(file, tmp_path / "server" / "bootstrap" / file.name)
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        done = subprocess.run(
            [sys.executable, "server", *words, port],
            cwd=tmp_path,
            capture_output=True,
            text=True,
            check=False,
        )
    assert done.returncode == 2
    assert done.stderr == (
        f"port {port}: another program is using it; stop that one or choose another: --port\n"
    )
    assert not (tmp_path / ".venv").exists()


def copy(file: Path, to: Path) -> None:
    to.parent.mkdir(parents=True, exist_ok=True)
    to.write_bytes(file.read_bytes())


def test_the_version_is_asked_for_without_set_up_and_is_the_only_one() -> None:
    from server.version import VERSION

    asked = [sys.executable, "server", "--version"]
    done = subprocess.run(asked, cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout == f"Rowcall {VERSION}\n"
    package = json.loads((places.PWA / "package.json").read_text(encoding="utf-8"))
    assert "version" not in package
