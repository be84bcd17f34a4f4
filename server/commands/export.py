"""`python3 server export DIR|FILE.zip`: everything of the shop as plain files."""

from __future__ import annotations

import argparse
from pathlib import Path

from server.commands.database import add_database, opened


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument(
        "folder",
        type=Path,
        metavar="DIR|FILE.zip",
        help="a folder, made if it is not there, or one zip",
    )
    add_database(parser)


def run(args: argparse.Namespace) -> int:
    """Write the files; secrets (passwords, PINs, keys of phones) are in none of them."""
    from server import exporting

    count = 0
    with opened(args) as (ports, _):
        if args.folder.suffix == ".zip":
            args.folder.write_bytes(exporting.as_zip(ports))
            print(f"{args.folder}: everything, with digests")
            return 0
        for name, content in exporting.entries(ports):
            file = args.folder / name
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_bytes(content)
            count += 1
    print(f"{args.folder}: {count} files")
    return 0
