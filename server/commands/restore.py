"""`python3 server restore FILE`: a backup into an empty database, all of it or nothing.

A copy that was made before a migration (before-....sqlite) takes the database's place instead.
"""

from __future__ import annotations

import argparse
import gzip
import json
import zlib
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any

from server.commands.database import add_database, settings_of
from server.places import make_private
from server.settings import Settings
from server.trouble import BadInput


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("file", type=Path, metavar="FILE")
    parser.add_argument(
        "--passphrase-file", type=Path, metavar="FILE", help="opens a backup that is sealed"
    )
    add_database(parser)


def run(args: argparse.Namespace) -> int:
    """Fill the database; BadInput where it is not empty or the file is not whole."""
    from sqlalchemy.exc import SQLAlchemyError

    from server import create_app, is_sqlite, load
    from server.commands.sealed import read_passphrase

    settings = settings_of(args)
    if is_sqlite(args.file):
        return _put_back(args.file, settings)
    named = args.passphrase_file or settings.backup_passphrase_file
    lines = read_lines(args.file, read_passphrase(Path(named)) if named else None)
    app = create_app(settings)
    try:
        rows = load(app, lines, str(args.file))
    except (SQLAlchemyError, KeyError, TypeError, AttributeError, ValueError) as error:
        expected = "a backup as `python3 server backup` writes it"
        got = f"{type(error).__name__}: {str(error).splitlines()[0][:80]}" if str(error) else error
        raise BadInput(str(args.file), expected, got) from error
    print(f"{args.file}: {rows} rows restored")
    return 0


def _put_back(copy: Path, settings: Settings) -> int:
    """Put a copy that was made before a migration in the place of the database."""
    from server import put_back

    if settings.database:
        raise BadInput("database", "the SQLite file of the data folder for this copy",
                       settings.scheme)  # fmt: skip
    make_private(settings.data)
    aside = put_back(copy, settings.data / "rowcall.sqlite")
    print(f"{copy}: in place again" + (f"; what was there before: {aside}" if aside else ""))
    return 0


def read_lines(file: Path, passphrase: str | None = None) -> Iterator[dict[str, Any]]:
    """Yield the lines of a backup, sealed or not; BadInput names the first that is none."""
    from server.commands.sealed import Unsealing, is_sealed

    number = 0
    try:
        with ExitStack() as layers:
            source: Any = layers.enter_context(file.open("rb"))
            if is_sealed(file):
                if passphrase is None:
                    expected = "--passphrase-file FILE for a backup under a passphrase"
                    raise BadInput(str(file), expected, "none")
                source = layers.enter_context(Unsealing(source, passphrase, str(file)))
            lines = layers.enter_context(gzip.open(source, "rt", encoding="utf-8"))
            for number, line in enumerate(lines, start=1):
                value = json.loads(line)
                if not isinstance(value, dict):
                    raise BadInput(f"{file}: line {number}", "an object", type(value).__name__)
                yield value
    except (gzip.BadGzipFile, EOFError, zlib.error, OSError) as error:
        raise BadInput(str(file), "a whole gzip file", str(error)) from error
    except (ValueError, RecursionError) as error:
        raise BadInput(f"{file}: line {number + 1}", "JSON", str(error)[:80]) from error
