"""What the machine itself must have: packages of Debian or Ubuntu, through apt where permitted."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Final

from server.bootstrap.places import HELD, SetUpFailed, say

# Words of pip, npm and the resolver of names when there is no way out of this machine.
NO_NETWORK: Final = (
    "Temporary failure in name resolution",
    "Name or service not known",
    "nodename nor servname",
    "getaddrinfo failed",
    "Failed to establish a new connection",
    "NameResolutionError",
    "NewConnectionError",
    "ConnectTimeoutError",
    "Network is unreachable",
    "Cannot connect to proxy",
    "ENOTFOUND",
    "EAI_AGAIN",
    "ECONNREFUSED",
    "ENETUNREACH",
    "ETIMEDOUT",
)


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
        # When this process is killed, the next start waits until the installer has ended as well.
        pass_fds=HELD if os.name == "posix" else (),
    )
    if done.returncode != 0:
        tail = "\n".join(done.stdout.strip().splitlines()[-15:])
        shown = " ".join(str(word) for word in command[:6])
        raise SetUpFailed(f"{tail}\n{shown} ... ended with status {done.returncode}")


def online(failure: SetUpFailed, what: str) -> SetUpFailed:
    """Return a failure in one sentence where the words of a tool mean that it met no network."""
    said = str(failure)
    if not any(sign in said for sign in NO_NETWORK):
        return failure
    return SetUpFailed(
        f"{what} could not be downloaded: this machine does not reach the network. "
        "Connect it and start again; what is already installed is kept."
    )


def apt_prefix() -> list[str] | None:
    """Return how to call apt-get here without a password, or None when that is not permitted."""
    if shutil.which("apt-get") is None:
        return None
    if getattr(os, "geteuid", lambda: 1)() == 0:
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
