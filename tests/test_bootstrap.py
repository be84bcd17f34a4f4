"""Set-up: what is stamped is not done again, what broke off is, and locks name no host."""

from __future__ import annotations

import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from server.bootstrap import client, environment, places, system

ROOT = places.ROOT
LOCKS = (environment.SERVER_LOCK, environment.TESTS_LOCK, environment.NODE_LOCK)


def test_a_step_counts_as_done_only_for_the_value_it_was_done_for(tmp_path: Path) -> None:
    stamp = tmp_path / "deep" / "a.stamp"
    assert not places.stamped(stamp, "one")
    places.write_stamp(stamp, "one")
    assert places.stamped(stamp, "one")
    assert not places.stamped(stamp, "two")


def test_a_digest_changes_with_contents_and_with_names(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(places, "ROOT", tmp_path)
    first, second = tmp_path / "a", tmp_path / "b"
    first.write_text("1")
    second.write_text("2")
    before = places.digest([first, second])
    assert before == places.digest([second, first])
    second.write_text("3")
    changed = places.digest([first, second])
    second.rename(tmp_path / "c")
    assert len({before, changed, places.digest([first, tmp_path / "c"])}) == 3


def test_a_step_that_fails_leaves_no_stamp_and_is_done_by_the_next_start(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    calls: list[object] = []
    broken = [True]

    def run(words: list[object]) -> None:
        calls.append(words[1:3])
        if broken[0] and "install" in words:
            raise places.SetUpFailed("the network went away")

    monkeypatch.setattr(environment, "VENV", tmp_path)
    monkeypatch.setattr(environment, "run", run)
    monkeypatch.setattr(environment, "_want_zbar", lambda: None)
    with pytest.raises(places.SetUpFailed, match="network"):
        environment.make_environment()
    broken[0] = False
    environment.make_environment()
    environment.make_environment()
    assert len(calls) == 3, "expected one try that failed, one that did it and checked, then none"


KILLED = """
import os, signal, sys, threading
sys.path.insert(0, sys.argv[1])
from pathlib import Path
from server.bootstrap import environment, places
places.STATE = Path(sys.argv[2]) / "state"
environment.VENV = Path(sys.argv[2])
environment._works = lambda: True
environment._make_venv = lambda: print("anew", flush=True)
if sys.argv[3] == "killed":
    def run(words):
        child = "import sys, time; time.sleep(1); open(sys.argv[1], 'w').write('the last file')"
        parent = os.getpid()
        threading.Timer(0.3, os.kill, (parent, signal.SIGKILL)).start()
        installed_by([sys.executable, "-c", child, Path(sys.argv[2]) / "written"])
    from server.bootstrap.system import run as installed_by
    environment.run = run
else:
    def run(words):
        print("written" if (Path(sys.argv[2]) / "written").exists() else "too early", flush=True)
    environment.run = run
    environment._want_zbar = lambda: None
environment.make_environment()
"""


def test_a_set_up_killed_in_the_middle_is_begun_anew_when_its_installer_has_ended(
    tmp_path: Path,
) -> None:
    words = [sys.executable, "-c", KILLED, str(ROOT), str(tmp_path)]
    first = subprocess.run([*words, "killed"], capture_output=True, text=True, check=False)
    assert first.returncode == -signal.SIGKILL, first.stderr
    second = subprocess.run([*words, "again"], capture_output=True, text=True, check=True)
    said = second.stdout.splitlines()
    assert said[-3:] == ["anew", "written", "written"], said
    third = subprocess.run([*words, "again"], capture_output=True, text=True, check=True)
    assert not third.stdout, "expected nothing to do"


def test_a_second_start_waits_for_the_first(tmp_path: Path) -> None:
    code = (
        "import sys, time\n"
        f"sys.path.insert(0, {str(ROOT)!r})\n"
        "from pathlib import Path\n"
        "from server.bootstrap import places\n"
        f"places.STATE = Path({str(tmp_path)!r})\n"
        "log = places.STATE / 'log'\n"
        "with places.one_at_a_time():\n"
        "    log.open('a').write('in ')\n"
        "    time.sleep(0.3)\n"
        "    log.open('a').write('out ')\n"
    )
    starts = [subprocess.Popen([sys.executable, "-c", code]) for _ in range(3)]
    assert [start.wait(20) for start in starts] == [0, 0, 0]
    assert (tmp_path / "log").read_text() == "in out in out in out "


@pytest.mark.parametrize(
    ("version", "taken"),
    [
        ("v20.19.0", True),  # Vite 8 asks for ^20.19 or >=22.12 (its package.json, engines)
        ("v20.18.9", False),
        ("v21.7.3", False),
        ("v22.11.0", False),
        ("v22.12.0", True),
        ("v24.19.0", True),
        ("v8.1.0", False),
        ("nonsense", False),
    ],
)
def test_a_node_is_taken_only_when_vite_takes_it(
    tmp_path: Path, version: str, *, taken: bool
) -> None:
    node = tmp_path / "node"
    node.write_text(f"#!/bin/sh\necho {version}\n")
    node.chmod(0o755)
    assert client._new_enough(str(node)) is taken


def test_a_failed_step_says_the_end_of_what_it_said() -> None:
    with pytest.raises(places.SetUpFailed, match=r"(?s)why it broke.*ended with status 3"):
        system.run(["sh", "-c", "echo why it broke; exit 3"])


def test_without_apt_nothing_is_installed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "/nowhere")
    assert not system.apt_install(["no-such-package"])


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: str(lock.relative_to(ROOT)))
def test_a_lock_pins_every_hash_and_names_no_host(lock: Path) -> None:
    text = lock.read_text(encoding="utf-8")
    assert "://" not in text
    assert "index-url" not in text
    entries = re.split(r"\n(?=\S)", text.strip())
    assert [entry for entry in entries if "--hash=sha256:" not in entry] == []


def test_locks_say_what_the_requirements_ask_and_agree_with_each_other() -> None:
    server, tests = (pins(lock) for lock in LOCKS[:2])
    asked = {
        **pins(environment.SERVER_LOCK.with_suffix(".in")),
        **pins(environment.TESTS_LOCK.with_suffix(".in")),
    }
    assert {name: pin for name, pin in asked.items() if tests.get(name) != pin} == {}
    assert {name: pin for name, pin in server.items() if tests.get(name) != pin} == {}


def pins(file: Path) -> dict[str, str]:
    found = re.findall(r"(?m)^([a-z0-9-]+)(?:\[[\w, -]+\])?==([^\s;]+)", file.read_text("utf-8"))
    return dict(found)


@pytest.mark.parametrize(
    ("words", "builds"),
    [
        ([], True),
        (["serve", "--lan"], True),
        (["--port", "8001"], True),  # options alone mean serve
        (["serve", "--help"], False),
        (["--help"], False),
        (["plan", "show.json"], False),
        (["judge", "show.json", "plan.json"], False),
        (["labels", "PW-031-K"], False),
    ],
)
def test_only_serving_waits_for_the_client(words: list[str], *, builds: bool) -> None:
    import importlib.util

    spec = importlib.util.spec_from_file_location("front_door", ROOT / "server" / "__main__.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    before = list(sys.path)
    spec.loader.exec_module(module)
    sys.path[:] = before
    assert module.serves(words) is builds
