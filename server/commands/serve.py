"""`python3 server serve`: open the database, say how to get in, and become the web server."""

from __future__ import annotations

import argparse
import ipaddress
import os
import socket
import sys
from typing import TYPE_CHECKING, Final
from urllib.parse import urlsplit

from server.commands.database import add_database, settings_of
from server.settings import ROOT, Settings
from server.trouble import BadInput

if TYPE_CHECKING:
    from flask import Flask

PORT: Final = 8080


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_database(parser)
    parser.add_argument("--port", type=port, default=PORT, help=f"port ({PORT})")
    parser.add_argument("--host", default=None, help="address to listen on (127.0.0.1)")
    parser.add_argument(
        "--lan", action="store_true", help="HTTPS for phones on this network, own authority"
    )
    parser.add_argument(
        "--behind-proxy", type=int, default=0, metavar="N", help="believe N reverse proxies"
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
    parser.add_argument("--threads", type=int, default=96, help="threads of a process (96)")
    parser.add_argument("--workers", type=int, default=1, help="processes, PostgreSQL only (1)")
    parser.add_argument(
        "--pool", type=int, default=None, help="connections to PostgreSQL a process holds (32)"
    )
    parser.add_argument(
        "--owner-link",
        action="store_true",
        help="print a link that sets an owner's password (forgotten, or one more owner)",
    )
    parser.add_argument("--empty", action="store_true", help="no demo in an empty database")


def port(text: str) -> int:
    """Read a port number."""
    value = int(text)
    if not 1 <= value <= 65_535:
        raise argparse.ArgumentTypeError(f"expected a port from 1 to 65535, got {text}")
    return value


def run(args: argparse.Namespace) -> int:
    """Serve until told to stop; the process becomes gunicorn."""
    settings, host = prepared(args)
    if args.workers != 1 and not settings.on_postgres:
        raise BadInput("workers", "1 process on SQLite (use --database for more)", args.workers)
    free_or_say(host, args.port)
    say_how_to_get_in(settings, args)
    become_gunicorn(settings, host, args)
    return 0


def prepared(args: argparse.Namespace) -> tuple[Settings, str]:
    """Return the settings and the address to listen on; with --lan the certificate is made."""
    host = args.host or ("0.0.0.0" if args.lan else "127.0.0.1")  # noqa: S104  (asked for)
    if not (args.lan or args.behind_proxy or own_machine(host)):
        raise BadInput("host", "this machine alone (127.0.0.1), or --lan for HTTPS on the network, "
                       "or --behind-proxy N behind a proxy that speaks HTTPS", host)  # fmt: skip
    if args.inner_tls and (args.lan or not own_machine(host)):
        raise BadInput("inner-tls", "a server that listens to this machine alone", host)
    streams = max(1, args.threads - 16)
    given = {"proxies": args.behind_proxy, "threads": args.threads, "streams": streams}
    if args.pool is not None:
        given["pool"] = args.pool
    settings = settings_of(args, **given)
    address = args.address or settings.address
    if args.lan:
        from server.commands.lan import make_certificates, own_address

        address = address or f"https://{own_address()}:{args.port}"
        make_certificates(settings.data / "tls")
    if args.inner_tls:
        from server.commands.lan import HERE, make_certificates

        make_certificates(settings.data / "tls-inside", HERE)
    shown = "localhost" if host in {"127.0.0.1", "0.0.0.0"} else host  # noqa: S104
    local = f"http{'s' if args.inner_tls else ''}://{shown}:{args.port}"
    trust = str(settings.data / "tls" / "authority.crt") if args.lan else ""
    return (
        settings_of(
            args,
            **given,
            # Behind a proxy nobody but the request knows the name by which phones come.
            address=(address or ("" if args.behind_proxy else local)).rstrip("/"),
            trust_page=trust,
            hosts=hosts_of(args, host, address),
        ),
        host,
    )


def hosts_of(args: argparse.Namespace, host: str, address: str) -> str:
    """Return the names by which phones and browsers may ask; a page of another name is refused.

    Behind a proxy without --address only the proxy knows them: there it is the one to check.
    """
    if args.behind_proxy and not address:
        return ""
    names = {"localhost", "127.0.0.1", "[::1]", urlsplit(address).hostname or "localhost"}
    if host not in {"0.0.0.0", "::"}:  # noqa: S104  (compared, not bound)
        names.add(f"[{host}]" if ":" in host else host)
    if args.lan:
        from server.commands.lan import own_address

        names |= {own_address(), socket.gethostname(), f"{socket.gethostname()}.local"}
    return ",".join(sorted(names | set(filter(None, args.also_host))))


def own_machine(host: str) -> bool:
    """Return whether only programs of this machine reach an address: then no TLS is needed."""
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def free_or_say(host: str, number: int) -> None:
    """Refuse a port that another program holds, before anything is started."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, number))
        except OSError as error:
            raise BadInput(f"port {number}", "a free port (choose one by --port)",
                           error.strerror) from error  # fmt: skip


def say_how_to_get_in(settings: Settings, args: argparse.Namespace) -> None:
    """Migrate, fill in the demo where all is empty, print address, join QR, PIN, owner's link."""
    from server import alone_with_database, bring_up_to_date, create_app, warn_of_connections

    app = create_app(settings)
    # A second server started in the same moment finds all done.
    with alone_with_database(app):
        bring_up_to_date(app)
        _say(app, settings, args)
    told = warn_of_connections(app, args.workers, settings.pool)
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
    address = settings.address or f"http://localhost:{args.port}"
    print(f"\nRowcall serves at {address}")
    shows = [show for show in ports.shows.all() if show.join_code and show.closed_at is None]
    if shows:
        link = f"{address}/join#{shows[0].join_code}"
        print(f"\nThe crew joins “{shows[0].name}” here:\n\n  {link}\n")
        print(terminal.qr(link))
        pin = demo.remembered_pin(settings.data) if shows[0].id == demo.SHOW_ID else None
        if pin is not None:
            print(f"Chief's PIN of the demo: {pin}")
    if args.lan:
        print(f"Phones trust this server once they have seen {address}/trust")
    if args.owner_link or not ports.people.has_owner():
        token = enter.invite_owner(ports)
        print(f"The owner sets a password here (once, within a day):\n  "
              f"{address}/office#setup={token}")  # fmt: skip
    print("\nCtrl-C stops.")


def become_gunicorn(settings: Settings, host: str, args: argparse.Namespace) -> None:
    """Turn this process into gunicorn: threads, one worker unless told otherwise."""
    bind = f"[{host}]:{args.port}" if ":" in host else f"{host}:{args.port}"
    words = [
        sys.executable, "-P", "-m", "gunicorn", "--config", "python:server.commands.gunicorn_conf",
        "--bind", bind, "--workers", str(args.workers), "--threads", str(settings.threads),
    ]  # fmt: skip
    if args.lan or args.inner_tls:
        tls = settings.data / ("tls" if args.lan else "tls-inside")
        words += ["--certfile", str(tls / "server.crt"), "--keyfile", str(tls / "server.key")]
    words.append("server:create_app()")
    paths = os.pathsep.join([str(ROOT), *filter(None, [os.environ.get("PYTHONPATH")])])
    environment = {**os.environ, **settings.environment(), "PYTHONPATH": paths}
    os.execve(sys.executable, words, environment)  # noqa: S606  (no shell is meant)
