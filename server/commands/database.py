"""What every command with a database has in common: which one, brought up to date, opened."""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from server.places import data_folder, settings_file
from server.settings import Settings
from server.settings_sources import FILE_VARIABLE, Sourced, read_settings

if TYPE_CHECKING:
    from server.service.ports import Ports


def add_database(parser: argparse.ArgumentParser) -> None:
    """Declare where the settings and the data are."""
    parser.add_argument(
        "--settings", metavar="FILE", default=None, help=f"settings as TOML ({settings_file()})"
    )
    parser.add_argument(
        "--data", type=Path, metavar="DIR", help=f"folder of the data ({data_folder()})"
    )
    parser.add_argument(
        "--database", metavar="URL", default=None, help="postgresql://... instead of an SQLite file"
    )
    parser.add_argument(
        "--database-file", metavar="FILE", default=None, help="file that holds this address"
    )


def settings_of(args: argparse.Namespace, **more: object) -> Settings:
    """Return the settings of file and environment with what the command line says on top."""
    return sourced(args, **more).settings


def sourced(args: argparse.Namespace, **more: object) -> Sourced:
    """Return the settings, each with where it comes from; None in `more`: not given."""
    given = {name: value for name, value in more.items() if value is not None}
    if args.data is not None:
        given["data"] = args.data.resolve()
    if args.database is not None:
        given |= {"database": args.database, "database_file": ""}
    elif args.database_file is not None:
        given |= {"database": "", "database_file": str(Path(args.database_file).resolve())}
    variables = dict(os.environ)
    if args.settings is not None:
        variables[FILE_VARIABLE] = str(Path(args.settings).resolve())
    return read_settings(variables, given)


@contextmanager
def opened(args: argparse.Namespace) -> Iterator[tuple[Ports, Settings]]:
    """Open the database, migrated, with the services at hand."""
    from server import bring_up_to_date, create_app, ports_of

    settings = settings_of(args)
    app = create_app(settings)
    bring_up_to_date(app)
    with app.app_context():
        yield ports_of(app), settings
