"""`python3 server backup FILE`: the whole database into one file, while the server runs."""

from __future__ import annotations

import argparse
import gzip
import json
import os
from pathlib import Path

from server.commands.database import add_database, settings_of


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("file", type=Path, metavar="FILE", help="e.g. rowcall.jsonl.gz")
    add_database(parser)


def run(args: argparse.Namespace) -> int:
    """Write the file; it is there only once it is whole."""
    from server import bring_up_to_date, create_app, dump

    app = create_app(settings_of(args))
    bring_up_to_date(app)
    fresh = args.file.with_name(args.file.name + ".new")
    # Hashes of passwords and keys of phones are in it: for this user alone.
    with os.fdopen(os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "wb") as raw:
        rows = -2  # the head and the count are no rows
        with gzip.open(raw, "wt", encoding="utf-8", compresslevel=6) as out:
            for line in dump(app):
                rows += 1
                out.write(json.dumps(line, ensure_ascii=False, separators=(",", ":")) + "\n")
        raw.flush()
        os.fsync(raw.fileno())
    fresh.replace(args.file)
    print(f"{args.file}: {rows} rows, {args.file.stat().st_size / 1e6:.1f} MB")
    return 0
