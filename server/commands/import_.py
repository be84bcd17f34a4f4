"""`python3 server import FILE.csv`: take in a fleet, all of it or nothing."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from server.commands.database import add_database, opened


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("file", type=Path, metavar="FILE.csv")
    parser.add_argument("--dry-run", action="store_true", help="only say what would happen")
    add_database(parser)


def run(args: argparse.Namespace) -> int:
    """Take in the file; every wrong cell is named, and then nothing is taken in (status 2)."""
    from server.service.fleet_csv import BadCsv
    from server.service.shop import import_fleet

    content = args.file.read_bytes()
    with opened(args) as (ports, _):
        try:
            done = import_fleet(ports, content, dry_run=args.dry_run)
        except BadCsv as bad:
            for one in bad.faults:
                print(
                    f"{args.file}: row {one.row}, {one.column}: expected {one.expected}, "
                    f"got {one.got}",
                    file=sys.stderr,
                )
            more = f" and {bad.more} more" if bad.more else ""
            print(f"{len(bad.faults)} wrong{more}: nothing was taken in.", file=sys.stderr)
            return 2
    would = "would be " if args.dry_run else ""
    print(f"{done.new} {would}new, {done.changed} {would}changed, {done.same} as they were")
    return 0
