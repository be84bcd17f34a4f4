"""What is dear to make and the same for all tests: made by one worker of a run, for each of them.

As pytest-xdist's guide has it (https://pytest-xdist.readthedocs.io/en/stable/how-to.html,
"Making session-scoped fixtures execute only once"): a file under a lock beside the workers' own.
"""

from __future__ import annotations

import os
import pickle
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from filelock import FileLock

Found = TypeVar("Found")


def shared_folder(own: Path) -> Path:
    """Return the folder that all workers of this run see; `own`: the worker's base folder."""
    return own.parent if "PYTEST_XDIST_WORKER" in os.environ else own


def made_once(shared: Path, name: str, make: Callable[[Path], object]) -> Path:
    """Return the folder `name`, filled by the first worker that asks; it must not be changed."""
    folder, unfinished = shared / name, shared / f"{name}-unfinished"
    with FileLock(shared / f"{name}.lock"):
        if not folder.exists():
            shutil.rmtree(unfinished, ignore_errors=True)
            make(unfinished)
            unfinished.rename(folder)
    return folder


def reckoned_once(shared: Path, name: str, reckon: Callable[[], Found]) -> Found:
    """Return what `reckon` gave to the first worker that asked."""

    def keep(folder: Path) -> None:
        folder.mkdir()
        (folder / "found").write_bytes(pickle.dumps(reckon()))

    found: Found = pickle.loads((made_once(shared, name, keep) / "found").read_bytes())
    return found
