"""The files of this checkout, as git knows them."""

from __future__ import annotations

import subprocess
from functools import cache
from pathlib import Path

import pytest

from server.bootstrap.places import ROOT


@cache
def files() -> tuple[Path, ...]:
    """Return every file that is, or is about to be, under version control.

    An unpacked archive has no such list: there the tests that ask for it are skipped.
    """
    words = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    try:
        listed = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=True)
    except (FileNotFoundError, subprocess.CalledProcessError):
        pytest.skip("git does not list the files of this folder: it is no checkout")
    every = (ROOT / name for name in listed.stdout.split("\0") if name)
    return tuple(file for file in every if file.is_file())
