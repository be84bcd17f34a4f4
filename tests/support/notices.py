"""Writes `server/NOTICE.md`: the licence of every library that Rowcall runs with.

    python -m tests.support.notices

Licences are read from the installed packages; `tests/test_docs.py` checks that none is missing.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from importlib.metadata import metadata
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).resolve().parents[2]
PAGE: Final = ROOT / "server" / "NOTICE.md"
HEAD: Final = """# Notice

Rowcall, copyright the Rowcall founders. No licence is granted yet: the founders decide before the
first release.

Rowcall runs with the libraries below, each under its own licence; their full texts lie in the
installed packages. The typeface of client and papers ships with its licence beside it.
"""


def server_packages() -> list[str]:
    """Return the name of every package of the server's lock."""
    lock = (ROOT / "server" / "requirements.lock").read_text(encoding="utf-8")
    return sorted(set(re.findall(r"(?m)^([A-Za-z0-9_.-]+)(?:\[[^\]]*\])?==", lock)), key=str.lower)


def client_packages() -> list[str]:
    """Return the name of every package that the built client holds."""
    document = json.loads((ROOT / "pwa" / "package.json").read_text(encoding="utf-8"))
    return sorted(document["dependencies"])


def licence_of(name: str) -> str:
    """Return the licence that an installed Python package states."""
    facts = metadata(name).json
    stated = [
        line.rsplit(" :: ", 1)[-1]
        for line in facts.get("classifier", [])
        if line.startswith("License ::")
    ]
    first = facts.get("license_expression") or ", ".join(stated) or facts.get("license") or ""
    return str(first).splitlines()[0][:80] if first else "see the package"


def table(rows: Iterator[tuple[str, str]]) -> str:
    """Return a table of names and licences."""
    lines = [f"| {name} | {licence} |" for name, licence in rows]
    return "\n".join(["| package | licence |", "| --- | --- |", *lines, ""])


def page() -> str:
    """Return the whole page."""
    python = ((name, licence_of(name)) for name in server_packages())
    modules = ROOT / "pwa" / "node_modules"
    client = (
        (name, json.loads((modules / name / "package.json").read_bytes()).get("license", "?"))
        for name in client_packages()
    )
    return f"{HEAD}\n## Server\n\n{table(python)}\n## Client\n\n{table(client)}"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
