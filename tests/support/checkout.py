"""The files of this checkout, as git knows them."""

from __future__ import annotations

import fnmatch
import os
import subprocess
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from server.bootstrap.places import ROOT


@cache
def files() -> tuple[Path, ...]:
    """Return every file that is, or is about to be, under version control."""
    words = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    try:
        listed = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=True)
    except (FileNotFoundError, subprocess.CalledProcessError):
        return tuple(_found())  # an unpacked archive
    every = (ROOT / name for name in listed.stdout.split("\0") if name)
    return tuple(file for file in every if file.is_file())


def _found() -> Iterator[Path]:
    """Yield the files below the folder, but for what .gitignore names."""
    lines = (ROOT / ".gitignore").read_text(encoding="utf-8").splitlines()
    rules = [line.strip("/") for line in lines if line and not line.startswith("#")]
    ignored = [".git", *rules]
    for folder, inside, names in os.walk(ROOT):
        here = Path(folder)

        def left_out(name: str, here: Path = here) -> bool:
            path = (here / name).relative_to(ROOT).as_posix()
            return any(fnmatch.fnmatch(one, rule) for rule in ignored for one in (name, path))

        inside[:] = [name for name in inside if not left_out(name)]
        yield from (here / name for name in names if not left_out(name))
