"""Wheels that hold nothing but a name and a version, for a package index made on the spot."""

from __future__ import annotations

import hashlib
import re
import zipfile
from collections.abc import Iterable
from pathlib import Path
from typing import Final, NamedTuple

ENTRY: Final = re.compile(
    r"(?m)^(?P<name>[a-z0-9-]+)(?P<extras>\[[^\]]+\])?==(?P<version>[^\s;]+)(?P<marker>\s*;[^\\\n]+)?"
)


class Pin(NamedTuple):
    """One entry of a lock; extras and marker as they stand there."""

    name: str
    extras: str
    version: str
    marker: str


def pins_of(lock: Path) -> list[Pin]:
    """Return every entry of a lock."""
    found = ENTRY.finditer(lock.read_text(encoding="utf-8"))
    return [Pin(**{key: (one[key] or "").strip() for key in Pin._fields}) for one in found]


def write_wheel(folder: Path, name: str, version: str, needs: Iterable[str] = ()) -> str:
    """Write an empty wheel; return its SHA-256."""
    stem = f"{name.replace('-', '_')}-{version}"
    info = f"{stem}.dist-info"
    lines = ["Metadata-Version: 2.1", f"Name: {name}", f"Version: {version}"]
    lines += [f"Requires-Dist: {need}" for need in needs]
    files = {
        f"{info}/METADATA": "\n".join(lines) + "\n",
        f"{info}/WHEEL": "Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
    }
    record = "".join(f"{path},,\n" for path in [*files, f"{info}/RECORD"])
    file = folder / f"{stem}-py3-none-any.whl"
    with zipfile.ZipFile(file, "w") as wheel:
        for path, text in {**files, f"{info}/RECORD": record}.items():
            wheel.writestr(path, text)
    return hashlib.sha256(file.read_bytes()).hexdigest()
