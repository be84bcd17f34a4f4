"""`python3 server verify RECORD`: say whether the record of a night is unchanged."""

from __future__ import annotations

import argparse
from pathlib import Path


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("record", type=Path, metavar="RECORD.json")


def run(args: argparse.Namespace) -> int:
    """Say where it was changed; 0 unchanged, 1 changed, 2 no record."""
    from server.core.night.record_chain import verify
    from server.files.show_file import read_json

    document = read_json(args.record)
    found = verify(document)
    for one in found:
        print(f"{args.record}: event {one.number} ({one.event or 'none'}): {one.what}")
    if found:
        return 1
    digests = document["digests"]
    sealed = f", sealed by {digests[-1][:16]}" if digests else ""
    print(f"{args.record}: unchanged, {len(digests)} events{sealed}")
    return 0
