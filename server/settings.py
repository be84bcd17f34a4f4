"""Settings: everything a server can be told, read once, refused if wrong."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from pathlib import Path
from typing import Final
from urllib.parse import parse_qs, urlsplit

from server.places import ROOT as ROOT  # noqa: PLC0414  (known here to many)
from server.places import data_folder
from server.trouble import BadInput

PREFIX: Final = "ROWCALL_"
OWN: Final = frozenset({"", "localhost", "127.0.0.1", "::1"})  # this very machine


@dataclass(frozen=True, slots=True)
class Settings:
    """How one server process is set up; sizes in bytes, times in seconds.

    `database` empty: an SQLite file in `data`; read from `database_file` where one is named, which
    goes on to other processes in place of what it holds. `host`: the address to listen on; empty:
    this machine alone. `workers`: processes, more than one only on PostgreSQL. `proxies`: how many
    reverse proxies in front may be believed when they forward address and scheme. `address`: how
    phones reach this server, printed into join links; empty: as the request says. `streams`: live
    streams one process holds before it answers 503; where the web server has no loop for them each
    takes one of `threads`, and 16 are left.
    `pool`: connections to the database one process holds at most, `pool_wait`: how long a request
    waits for one before it is answered with 503. `planner`: planning runs in a process of
    its own; off only where a test plans by itself. `hosts`: names by which this server may be
    asked, parted by commas; empty: any. `backups`: a folder for a backup a day, each restored on
    trial; empty: none. `backup_passphrase_file`: holds the passphrase that seals them.
    """

    data: Path = field(default_factory=data_folder)
    database: str = ""
    database_file: str = ""
    client: Path = field(default_factory=lambda: ROOT / "pwa" / "dist")
    host: str = ""
    port: int = 8080
    workers: int = 1
    address: str = ""
    trust_page: str = ""
    proxies: int = 0
    threads: int = 96
    streams: int = 2000
    pool: int = 32
    pool_wait: int = 10
    body_limit: int = 2_000_000
    photo_limit: int = 25_000_000
    photo_pixels: int = 50_400_000
    planner: bool = True
    hosts: str = ""
    backups: str = ""
    backup_passphrase_file: str = ""

    def __post_init__(self) -> None:
        if self.database and not self.database.startswith(
            ("sqlite:///", "postgresql://", "postgresql+psycopg://")
        ):
            raise BadInput(
                "database", "an address that begins with sqlite:/// or postgresql://", self.scheme
            )
        if self.on_postgres and not _guarded(self.database):
            raise BadInput(
                "database",
                "sslmode=verify-full in the address of a database on another machine",
                "an address without it",
            )
        if not 1 <= self.port <= 65_535:
            raise BadInput("port", "a port from 1 to 65535", self.port)
        if not 1 <= self.workers <= 64:
            raise BadInput("workers", "a number of processes from 1 to 64", self.workers)
        if not 0 <= self.proxies <= 5:
            raise BadInput("behind-proxy", "a number of proxies from 0 to 5", self.proxies)
        if not 4 <= self.threads <= 2000:
            raise BadInput("threads", "a number from 4 to 2000", self.threads)
        if not 1 <= self.streams <= 50_000:
            raise BadInput("streams", "a number from 1 to 50000", self.streams)
        if not 2 <= self.pool <= 1000:
            raise BadInput("pool", "a number from 2 to 1000", self.pool)
        if not 1 <= self.pool_wait <= 60:
            raise BadInput("pool-wait", "a number of seconds from 1 to 60", self.pool_wait)

    @property
    def scheme(self) -> str:
        """Return the kind of database without whatever password its address may hold."""
        return self.database.split(":", 1)[0] or "sqlite"

    @property
    def on_postgres(self) -> bool:
        return self.database.startswith("postgresql")

    @property
    def database_url(self) -> str:
        """Return the address as SQLAlchemy takes it; PostgreSQL always through psycopg 3."""
        if not self.database:
            return f"sqlite:///{self.data / 'rowcall.sqlite'}"
        if self.database.startswith("postgresql://"):
            return "postgresql+psycopg://" + self.database.removeprefix("postgresql://")
        return self.database

    def environment(self) -> dict[str, str]:
        """Return the settings as variables, for a process that this one becomes or starts."""
        hidden = "database" if self.database_file else ""
        told = (one.name for one in fields(self) if one.name != hidden)
        values = {PREFIX + name.upper(): str(getattr(self, name)) for name in told}
        return {**values, PREFIX + "SETTINGS": ""}  # the file is read already


def read_secret(file: str) -> str:
    """Return what a file of one line holds, such as a credential that systemd lends a service."""
    try:
        lines = Path(file).read_text(encoding="utf-8").split()
    except (OSError, UnicodeDecodeError) as error:
        raise BadInput("database-file", "a file to read", f"{file}: {error}") from None
    if len(lines) != 1:
        raise BadInput("database-file", "one address in it", f"{len(lines)} words")
    return lines[0]


def _guarded(database: str) -> bool:
    """Return whether nobody between reads what is said to a database, or stands in for it."""
    parts = urlsplit(database)
    words = parse_qs(parts.query)
    hosts = [*words.get("host", []), parts.hostname or ""]
    here = all(one in OWN or one.startswith("/") for one in ",".join(hosts).split(","))
    return here or words.get("sslmode") in (["verify-full"], ["verify-ca"])


def from_environment(variables: Mapping[str, str] | None = None) -> Settings:
    """Read the settings from the file and the variables; BadInput names the one that is wrong."""
    from server.settings_sources import read_settings

    return read_settings(variables).settings
