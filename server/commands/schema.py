"""`python3 server schema show|plan|advise`: the schema of a file that programs may write."""

from __future__ import annotations

import argparse
import json

NAMES = ("show", "plan", "advise")


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("name", choices=NAMES, help="which file")


def run(args: argparse.Namespace) -> int:
    """Print the schema."""
    from server.files.schemas import schema_of

    print(json.dumps(schema_of(args.name), indent=1))
    return 0
