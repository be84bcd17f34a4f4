"""What every command with a database has in common: which one, brought up to date, opened."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from server.settings import Settings, from_environment, read_secret

if TYPE_CHECKING:
    from server.service.ports import Ports


def add_database(parser: argparse.ArgumentParser) -> None:
    """Declare where the data is."""
    parser.add_argument(
        "--data", type=Path, metavar="DIR", help="folder of the data (server/instance)"
    )
    parser.add_argument(
        "--database", metavar="URL", default=None, help="postgresql://... instead of an SQLite file"
    )
    parser.add_argument(
        "--database-file", metavar="FILE", default=None, help="file that holds this address"
    )


def settings_of(args: argparse.Namespace, **more: object) -> Settings:
    """Return the settings of the environment with what the command line says on top."""
    from dataclasses import replace

    given = dict(more)
    if args.data is not None:
        given["data"] = args.data.resolve()
    if args.database is not None:
        given |= {"database": args.database, "database_file": ""}
    elif args.database_file is not None:
        file = str(Path(args.database_file).resolve())
        given |= {"database": read_secret(file), "database_file": file}
    return replace(from_environment(), **given)  # type: ignore[arg-type]


@contextmanager
def opened(args: argparse.Namespace) -> Iterator[tuple[Ports, Settings]]:
    """Open the database, migrated, with the services at hand."""
    from server import bring_up_to_date, create_app, ports_of

    settings = settings_of(args)
    app = create_app(settings)
    bring_up_to_date(app)
    with app.app_context():
        yield ports_of(app), settings
