"""`python3 server where`: the places of this copy, and what is switched off in it."""

from __future__ import annotations

import argparse
import ctypes.util
import importlib.util

from server.commands.database import add_database, sourced
from server.places import INSTALLED, PROGRAM, ROOT, settings_file
from server.settings_sources import file_of
from server.version import VERSION


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_database(parser)


def run(args: argparse.Namespace) -> int:
    """Print one place a line; nothing is made or changed."""
    found = sourced(args)
    settings = found.settings
    file = settings.data / "rowcall.sqlite"
    database = settings.scheme if settings.database else _or_not_yet(file.exists(), str(file))
    named = file_of(args.settings) or settings_file()
    rows = [
        ("version", VERSION),
        ("program", f"{ROOT} ({'installed' if INSTALLED else 'checkout'})"),
        ("data", _or_not_yet(settings.data.is_dir(), str(settings.data))),
        ("database", database),
        ("settings", _or_not_yet(named.is_file(), str(named))),
        ("phone client", _or_not_yet((settings.client / "index.html").is_file(),
                                     str(settings.client))),
        *[("off", off) for off in switched_off()],
    ]  # fmt: skip
    for name, value in rows:
        print(f"{name:13} {value}")
    return 0


def switched_off() -> list[str]:
    """Return what this copy cannot do, each with what to install for it."""
    off = []
    if importlib.util.find_spec("psycopg") is None:
        off.append(f"PostgreSQL: install rowcall[postgres] for it ({PROGRAM} uses SQLite)")
    if ctypes.util.find_library("zbar") is None:
        off.append("the second label reader: install the library libzbar0 (zbar) for it")
    return off


def _or_not_yet(there: bool, text: str) -> str:
    return text if there else f"{text} (not there yet)"
