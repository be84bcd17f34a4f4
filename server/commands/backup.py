"""`python3 server backup FILE`: the whole database into one file, while the server runs.

With a passphrase the file is sealed. `--daily` makes FILE a folder: today's backup is made there,
restored into a scratch database and compared, and old ones are deleted by the rule.
"""

from __future__ import annotations

import argparse
import gzip
import json
import os
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO, cast

from server.commands.database import add_database, settings_of

if TYPE_CHECKING:
    from flask import Flask


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("file", type=Path, metavar="FILE", help="e.g. rowcall.jsonl.gz")
    parser.add_argument(
        "--passphrase-file", type=Path, metavar="FILE", help="seal it with what this file holds"
    )
    parser.add_argument(
        "--daily",
        action="store_true",
        help="FILE is a folder: make today's backup there, restore it on trial, delete old ones",
    )
    add_database(parser)


def run(args: argparse.Namespace) -> int:
    """Write the file; it is there only once it is whole."""
    from server import bring_up_to_date, create_app
    from server.commands.sealed import read_passphrase

    settings = settings_of(args)
    named = args.passphrase_file or settings.backup_passphrase_file
    passphrase = read_passphrase(Path(named)) if named else None
    app = create_app(settings)
    bring_up_to_date(app)
    if args.daily:
        from server.commands.rehearsal import daily

        return daily(app, args.file, passphrase)
    rows = write(app, args.file, passphrase)
    print(f"{args.file}: {rows} rows, {args.file.stat().st_size / 1e6:.1f} MB")
    return 0


def write(app: Flask, file: Path, passphrase: str | None, cost: Any = None) -> int:
    """Write a backup, sealed where there is a passphrase; return how many rows it has."""
    from server import dump
    from server.commands.sealed import Sealing

    fresh = file.with_name(file.name + ".new")
    # Hashes of passwords and keys of phones are in it: for this user alone.
    with os.fdopen(os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "wb") as raw:
        rows = -2  # the head and the count are no rows
        with ExitStack() as layers:
            target: Any = raw
            if passphrase is not None:
                target = layers.enter_context(Sealing(cast("BinaryIO", raw), passphrase, cost))
            out = layers.enter_context(gzip.open(target, "wt", encoding="utf-8", compresslevel=6))
            for line in dump(app):
                rows += 1
                out.write(json.dumps(line, ensure_ascii=False, separators=(",", ":")) + "\n")
        raw.flush()
        os.fsync(raw.fileno())
    fresh.replace(file)
    return rows
