"""`python3 server serve`: open the database, say how to get in, and become the web server."""

from __future__ import annotations

import argparse
import ipaddress
import socket
import sys
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from server.commands.database import add_database, sourced
from server.commands.web import become_web_server
from server.listening import PORT, refusal
from server.places import PROGRAM, make_private
from server.settings import Settings
from server.settings_sources import Sourced
from server.trouble import BadInput

if TYPE_CHECKING:
    from flask import Flask


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_database(parser)
    parser.add_argument("--port", type=int, default=None, help=f"port ({PORT})")
    parser.add_argument("--host", default=None, help="address to listen on (127.0.0.1)")
    parser.add_argument(
        "--lan", action="store_true", help="HTTPS for phones on this network, own authority"
    )
    parser.add_argument(
        "--behind-proxy", type=int, default=None, metavar="N", help="believe N reverse proxies"
    )
    parser.add_argument(
        "--inner-tls", action="store_true", help="HTTPS on this machine too, between proxy and here"
    )
    parser.add_argument(
        "--address",
        default=None,
        metavar="URL",
        help="how phones reach this server, for join links",
    )
    parser.add_argument(
        "--also-host",
        action="append",
        default=[],
        metavar="NAME",
        help="a further name by which this server may be asked (again for more)",
    )
    parser.add_argument("--threads", type=int, default=None, help="threads of a process (96)")
    parser.add_argument("--streams", type=int, default=None, help="live streams at most (2000)")
    parser.add_argument("--workers", type=int, default=None, help="processes, PostgreSQL only (1)")
    parser.add_argument(
        "--pool", type=int, default=None, help="connections to PostgreSQL a process holds (32)"
    )
    parser.add_argument(
        "--show-settings", action="store_true", help="print every setting and where it comes from"
    )
    parser.add_argument(
        "--owner-link",
        action="store_true",
        help="print a link that sets an owner's password (forgotten, or one more owner)",
    )
    parser.add_argument(
        "--backups", metavar="DIR", default=None, help="a backup a day there, restored on trial"
    )
    parser.add_argument(
        "--backup-passphrase-file", metavar="FILE", default=None, help="seals these backups"
    )
    parser.add_argument("--empty", action="store_true", help="no demo in an empty database")


def run(args: argparse.Namespace) -> int:
    """Serve until told to stop; the process becomes the web server."""
    if args.show_settings:
        print("\n".join(of_flags(args).lines()))
        return 0
    settings, host = prepared(args)
    if settings.workers != 1 and not settings.on_postgres:
        raise BadInput("workers", "1 process on SQLite (use --database for more)", settings.workers)
    if refused := refusal(host, settings.port):
        print(refused, file=sys.stderr)
        return 2
    say_how_to_get_in(settings, args)
    tls = settings.data / ("tls" if args.lan else "tls-inside")
    return become_web_server(settings, host, tls if args.lan or args.inner_tls else None)


def of_flags(args: argparse.Namespace, **more: object) -> Sourced:
    """Return the settings of file, environment and flags."""
    flags = {
        "host": args.host,
        "port": args.port,
        "address": args.address,
        "proxies": args.behind_proxy,
        "threads": args.threads,
        "streams": args.streams,
        "workers": args.workers,
        "pool": args.pool,
        "backups": args.backups and str(Path(args.backups).resolve()),
        "backup_passphrase_file": args.backup_passphrase_file
        and str(Path(args.backup_passphrase_file).resolve()),
    }
    return sourced(args, **{**flags, **more})


def prepared(args: argparse.Namespace) -> tuple[Settings, str]:
    """Return the settings and the address to listen on; with --lan the certificate is made."""
    settings = of_flags(args).settings
    host = settings.host or ("0.0.0.0" if args.lan else "127.0.0.1")  # noqa: S104  (asked for)
    if not (args.lan or settings.proxies or own_machine(host)):
        raise BadInput("host", "this machine alone (127.0.0.1), or --lan for HTTPS on the network, "
                       "or --behind-proxy N behind a proxy that speaks HTTPS", host)  # fmt: skip
    if args.inner_tls and (args.lan or not own_machine(host)):
        raise BadInput("inner-tls", "a server that listens to this machine alone", host)
    address = settings.address
    make_private(settings.data)
    if args.lan:
        from server.commands.lan import make_certificates, own_address

        address = address or f"https://{own_address()}:{settings.port}"
        make_certificates(settings.data / "tls")
    if args.inner_tls:
        from server.commands.lan import HERE, make_certificates

        make_certificates(settings.data / "tls-inside", HERE)
    shown = "localhost" if host in {"127.0.0.1", "0.0.0.0"} else host  # noqa: S104
    local = f"http{'s' if args.inner_tls else ''}://{shown}:{settings.port}"
    trust = str(settings.data / "tls" / "authority.crt") if args.lan else ""
    # Behind a proxy nobody but the request knows the name by which phones come.
    known = (address or ("" if settings.proxies else local)).rstrip("/")
    hosts = hosts_of(args, settings, host)
    return of_flags(args, address=known, trust_page=trust, hosts=hosts).settings, host


def hosts_of(args: argparse.Namespace, settings: Settings, host: str) -> str:
    """Return the names by which phones and browsers may ask; a page of another name is refused.

    Behind a proxy without --address only the proxy knows them: there it is the one to check.
    """
    if settings.proxies and not settings.address:
        return settings.hosts
    names = {"localhost", "127.0.0.1", "[::1]", urlsplit(settings.address).hostname or "localhost"}
    if host not in {"0.0.0.0", "::"}:  # noqa: S104  (compared, not bound)
        names.add(f"[{host}]" if ":" in host else host)
    if args.lan:
        from server.commands.lan import own_address

        names |= {own_address(), socket.gethostname(), f"{socket.gethostname()}.local"}
    further = {*args.also_host, *settings.hosts.split(",")}
    return ",".join(sorted(names | set(filter(None, further))))


def own_machine(host: str) -> bool:
    """Return whether only programs of this machine reach an address: then no TLS is needed."""
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def say_how_to_get_in(settings: Settings, args: argparse.Namespace) -> None:
    """Migrate, fill in the demo where all is empty, print address, join QR, PIN, owner's link."""
    from server import alone_with_database, bring_up_to_date, create_app, warn_of_connections

    app = create_app(settings)
    # A second server started in the same moment finds all done.
    with alone_with_database(app):
        bring_up_to_date(app)
        _say(app, settings, args)
    told = warn_of_connections(app, settings.workers, settings.pool)
    if told:
        print(f"\n{told}", file=sys.stderr)
    sys.stdout.flush()


def _say(app: Flask, settings: Settings, args: argparse.Namespace) -> None:
    from server import ports_of
    from server.commands import demo, terminal
    from server.service import enter

    ports = ports_of(app)
    if not args.empty and demo.is_empty(ports):
        print("Nothing is here yet: making the demo shop and planning its show.", flush=True)
        demo.fill(ports, settings.data)
    address = settings.address or f"http://localhost:{settings.port}"
    alone = not (args.lan or settings.proxies) and own_machine(urlsplit(address).hostname or "")
    print(f"\nRowcall serves at {address}")
    print(_way_in(settings, address, lan=args.lan, alone=alone))
    shows = [show for show in ports.shows.all() if show.join_code and show.closed_at is None]
    if shows:
        link = f"{address}/join#{shows[0].join_code}"
        print(f"\nThe crew joins “{shows[0].name}” here:\n\n  {link}\n")
        # A QR code is for phones: none for an address that no phone can open.
        if not alone and settings.address:
            print(terminal.qr(link))
        pin = demo.remembered_pin(settings.data) if shows[0].id == demo.SHOW_ID else None
        if pin is not None:
            print(f"Chief's PIN of the demo: {pin}")
    if args.owner_link or not ports.people.has_owner():
        token = enter.invite_owner(ports)
        print(f"The owner sets a password here (once, within a day):\n  "
              f"{address}/office#setup={token}")  # fmt: skip
    print("\nCtrl-C stops.")


def _way_in(settings: Settings, address: str, *, lan: bool, alone: bool) -> str:
    """Return which of the three ways applies, and what a phone must do."""
    if lan:
        return (
            f"Phones on this network reach it, once each has trusted it: {address}/trust\n"
            "They must be in the same Wi-Fi, and this machine's firewall must let them in."
        )
    if alone:
        return (
            "This machine alone: no phone can open this address. For phones on this network: "
            f"{PROGRAM} serve --lan\nFor phones anywhere: a public name, see {address}/host"
        )
    if not settings.address:
        return (f"Phones reach it by the name of the proxy in front (it passes on to port "
                f"{settings.port}); name it with --address to print links that work.")  # fmt: skip
    return "Phones reach it wherever this name leads here."
