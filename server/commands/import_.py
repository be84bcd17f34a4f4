"""`python3 server import LIST|DIR`: import cases or vehicles, or a whole export."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable
from pathlib import Path

from server.commands.database import add_database, opened


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument(
        "file",
        type=Path,
        metavar="LIST|DIR|ZIP",
        help="cases, or vehicles (their heading has an id), or an export as folder or zip",
    )
    parser.add_argument("--dry-run", action="store_true", help="only print what would change")
    parser.add_argument(
        "--propose",
        action="store_true",
        help="print what the columns, units and lines of any case list mean; change nothing",
    )
    parser.add_argument("--json", action="store_true", help="with --propose: print JSON")
    parser.add_argument("--sheet", help="with --propose: the sheet of a workbook to read")
    add_database(parser)


def run(args: argparse.Namespace) -> int:
    """Import the file; every wrong cell is named, and then nothing is imported (status 2)."""
    if args.propose:
        return _propose(args)
    if args.file.is_dir() or args.file.suffix == ".zip":
        return _folder(args)
    from server.service.csv_table import BadCsv, looks_like
    from server.service.shop import import_fleet, import_vehicles
    from server.service.vehicle_csv import LAYOUT

    content = args.file.read_bytes()
    with opened(args) as (ports, _):
        try:
            take = import_vehicles if looks_like(content, LAYOUT) else import_fleet
            done = take(ports, content, dry_run=args.dry_run)
        except BadCsv as bad:
            for one in bad.faults:
                print(
                    f"{args.file}: row {one.row}, {one.column}: expected {one.expected}, "
                    f"got {one.got}",
                    file=sys.stderr,
                )
            more = f" and {bad.more} more" if bad.more else ""
            print(f"{len(bad.faults)} wrong{more}: nothing was imported.", file=sys.stderr)
            return 2
    would = "would be " if args.dry_run else ""
    print(f"{done.new} {would}new, {done.changed} {would}changed, {done.same} as they were")
    return 0


def _propose(args: argparse.Namespace) -> int:
    """Print what a list means; neither a database nor the file is touched."""
    from server.files.lists.propose import Choices, plain, propose

    choices = Choices(sheet=args.sheet)
    found = plain(propose(args.file.read_bytes(), str(args.file), choices))
    if args.json:
        print(json.dumps(found, ensure_ascii=False, indent=1))
        return 0
    for role, column in found["columns"].items():
        unit = found["units"].get(role, "")
        sample = " | ".join(column["sample"])
        print(
            f"{role:11} column {column['column']:2} {column['heading'] or '-':24} {unit:3} {sample}"
        )
    print(f"{len(found['cases'])} cases, {len(found['ask'])} questions")
    for one in found["ask"]:
        print(f"line {one['line']}, {one['code'] or 'the list'}: {one['why']}")
    return 0


def _folder(args: argparse.Namespace) -> int:
    """Bring back a whole export, digests compared; 1 where the database is not empty."""
    from server import exporting
    from server.service import bring_back
    from server.service.troubles import Conflict

    if args.file.is_dir():
        names = [one.relative_to(args.file).as_posix() for one in args.file.rglob("*.*")]
        read = _of_folder(args.file)
        if exporting.DIGESTS in names:  # an export of an older version has none
            files = {name: read(name) or b"" for name in names if (args.file / name).is_file()}
            exporting.compare(files, str(args.file))
    else:
        read = exporting.opened_zip(args.file.read_bytes(), str(args.file))
        names = exporting.names_of(read)
    export = bring_back.read(exporting.documents(names, read))
    if args.dry_run:
        print(f"{args.file}: {len(export.cases)} cases, {len(export.nights)} shows can come back")
        return 0
    with opened(args) as (ports, _):
        try:
            shows = bring_back.bring_back(ports, export, read)
        except Conflict as refused:
            print(refused.detail, file=sys.stderr)
            return 1
    print(f"{args.file}: {len(export.cases)} cases and {shows} shows are back")
    return 0


def _of_folder(folder: Path) -> Callable[[str], bytes | None]:
    """Return what reads a file of an export by its name."""

    def read(name: str) -> bytes | None:
        file = folder / name
        return file.read_bytes() if file.is_file() else None

    return read
