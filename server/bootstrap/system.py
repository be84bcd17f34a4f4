"""What the machine itself must have: packages of Debian or Ubuntu, through apt where permitted."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Mapping, Sequence
from pathlib import Path

from server.bootstrap.places import SetUpFailed, say


def run(
    command: Sequence[str | Path], *, cwd: Path | None = None, env: Mapping[str, str] | None = None
) -> None:
    """Run a step quietly; when it fails, raise SetUpFailed with the end of what it said."""
    done = subprocess.run(
        [str(word) for word in command],
        cwd=cwd,
        env=env,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        errors="replace",
        check=False,
    )
    if done.returncode != 0:
        tail = "\n".join(done.stdout.strip().splitlines()[-15:])
        shown = " ".join(str(word) for word in command[:6])
        raise SetUpFailed(f"{tail}\n{shown} ... ended with status {done.returncode}")


def apt_prefix() -> list[str] | None:
    """Return how to call apt-get here without a password, or None when that is not permitted."""
    if shutil.which("apt-get") is None:
        return None
    if os.geteuid() == 0:
        return ["apt-get"]
    if shutil.which("sudo") is None:
        return None
    asked = subprocess.run(["sudo", "-n", "true"], capture_output=True, check=False)  # noqa: S607
    # sudo drops the environment, so what apt must know is given through env.
    return (
        ["sudo", "-n", "env", "DEBIAN_FRONTEND=noninteractive", "apt-get"]
        if (asked.returncode == 0)
        else None
    )


def apt_install(packages: Sequence[str]) -> bool:
    """Install packages of the distribution; return whether that was permitted and went well."""
    apt = apt_prefix()
    if apt is None:
        return False
    env = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    install = [*apt, "install", "-y", "-q", "--no-install-recommends", *packages]
    say(f"Installing {', '.join(packages)} (apt).")
    try:
        run(install, env=env)
    except SetUpFailed:
        # A fresh machine often has no package lists yet, or lists grown stale.
        try:
            run([*apt, "update", "-q"], env=env)
            run(install, env=env)
        except SetUpFailed as failure:
            say(str(failure))
            return False
    return True
