"""`python3 server advise FILE`: the fleet in rows, changes, new cases and hires from one file."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import Any

from server.commands.advise_text import csv_of, lines_of

NO = 1
FORMAT = "rowcall-advice-1"


def add(parser: argparse.ArgumentParser) -> None:
    """Name the arguments of the command."""
    parser.add_argument("file", type=Path, metavar="FILE", help="an advise file, or a show file")
    output = parser.add_mutually_exclusive_group()
    output.add_argument("--json", action="store_true", help="print JSON instead of text")
    output.add_argument(
        "--csv", type=Path, metavar="DIR", help="write a CSV file for each part into a folder"
    )


def run(args: argparse.Namespace) -> int:
    """Answer the file; 1 when no vehicle carries the show that a hire is asked for."""
    from server.core.advisor.advise import advise
    from server.files.advise_file import read_asked
    from server.files.own_units import in_units

    asked, units = read_asked(args.file)
    say = _progress if sys.stderr.isatty() else _silent
    answer: dict[str, Any] = {
        "format": FORMAT,
        "units": {"length": units.length, "mass": units.mass},
        "currency": asked.prices.currency,
        **in_units(advise(asked, say), units),
    }
    if args.json:
        print(json.dumps(answer, indent=1, ensure_ascii=False))
    elif args.csv is not None:
        args.csv.mkdir(parents=True, exist_ok=True)
        for name, text in csv_of(answer).items():
            (args.csv / f"{name}.csv").write_text(text, encoding="utf-8", newline="")
            print(args.csv / f"{name}.csv")
    else:
        print("\n".join(lines_of(answer)))
    hire = answer.get("hire")
    return NO if hire is not None and hire["best"] is None else 0


def _silent(_part: str, _done: int, _of: int) -> bool:
    return True


def _progress(part: str, done: int, of: int) -> bool:
    if of:
        print(f"\r{part}: {done} of {of}  ", end="", file=sys.stderr, flush=True)
    return True
