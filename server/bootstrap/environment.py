"""The virtual environment inside the checkout, filled from a lock that pins every hash."""

from __future__ import annotations

import ctypes.util
import importlib.util
import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

from server.bootstrap.places import (
    PYTHON,
    ROOT,
    VENV,
    SetUpFailed,
    digest,
    one_at_a_time,
    say,
    stamped,
    write_stamp,
)
from server.bootstrap.system import apt_install, online, run

SERVER_LOCK = ROOT / "server" / "requirements.lock"
TESTS_LOCK = ROOT / "tests" / "requirements.lock"
NODE_LOCK = ROOT / "server" / "requirements-node.lock"
BEGUN = "rowcall-installing"


def make_environment(lock: Path = SERVER_LOCK) -> None:
    """Bring the environment to what a lock says; nothing is done, nor asked, when it is there."""
    value = digest([lock])
    # The stamp lives inside the environment: who removes the one removes the other.
    stamp = VENV / f"rowcall-{lock.parent.name}-{lock.stem}.stamp"
    if stamped(stamp, value) and PYTHON.exists():
        return
    with one_at_a_time():
        if stamped(stamp, value) and PYTHON.exists():
            return
        # What was killed in the middle may have left a package in part, which pip takes for whole.
        begun = VENV / BEGUN
        if begun.exists() or not _works():
            _make_venv()
        begun.parent.mkdir(parents=True, exist_ok=True)
        begun.touch()
        say(f"Installing what {lock.relative_to(ROOT)} lists (once, a minute or two).")
        try:
            _install(lock)
        except SetUpFailed:
            begun.unlink()  # pip ended by itself, and takes back what it has done in part
            raise
        begun.unlink()
        if lock != NODE_LOCK:
            _want_zbar()
        write_stamp(stamp, value)


def _install(lock: Path) -> None:
    """Install exactly what a lock lists: nothing is resolved, so nothing newer is ever chosen."""
    pip: list[str | Path] = [PYTHON, "-m", "pip", "--no-input", "--disable-pip-version-check"]
    try:
        run([*pip, "install", "-q", "--no-deps", "--require-hashes", "--retries", "1", "-r", lock])
    except SetUpFailed as failure:
        raise online(failure, f"What {lock.relative_to(ROOT)} lists") from None
    # Without resolution nobody has looked yet whether the lock is complete.
    run([*pip, "check"])


def inside() -> dict[str, str]:
    """Return the process environment in which our modules are found from any folder."""
    paths = [str(ROOT), *filter(None, [os.environ.get("PYTHONPATH")])]
    return {**os.environ, "PYTHONPATH": os.pathsep.join(paths)}


def become(module: str, words: Sequence[str]) -> NoReturn:
    """Turn this process into a module of ours, run by the environment's Python."""
    # -P: the folder from which a person calls must not shadow our modules.
    os.execve(PYTHON, [str(PYTHON), "-P", "-m", module, *words], inside())


def _works() -> bool:
    """Return whether an environment is there with its pip: half-made ones are made anew."""
    if not PYTHON.exists():
        return False
    asked = subprocess.run(
        [str(PYTHON), "-c", "import pip, sys; sys.exit(sys.version_info < (3, 11))"],
        capture_output=True,
        check=False,
    )
    return asked.returncode == 0


def _make_venv() -> None:
    """Make .venv; Debian ships Python without the part that this needs, so fetch it there."""
    version = f"python{sys.version_info.major}.{sys.version_info.minor}"
    if not _has_ensurepip() and not (
        apt_install([f"{version}-venv"]) or apt_install(["python3-venv"])
    ):
        raise SetUpFailed(
            f"This Python cannot make a virtual environment: install the package {version}-venv "
            f"(apt-get install {version}-venv) and start again."
        )
    say("Making the virtual environment .venv in the checkout.")
    run([sys.executable, "-m", "venv", "--clear", VENV])


def _has_ensurepip() -> bool:
    """Return whether this Python can put pip into an environment; an empty folder cannot."""
    spec = importlib.util.find_spec("ensurepip")
    return spec is not None and spec.origin is not None


def _want_zbar() -> None:
    """Fetch the system library of the second label reader; without it the first works alone."""
    if ctypes.util.find_library("zbar") is None and not apt_install(["libzbar0"]):
        say(
            "The second label reader is off until the library libzbar0 is installed "
            "(apt-get install libzbar0)."
        )
