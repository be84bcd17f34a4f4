"""Whether an address can be listened on; standard library only, asked before any set-up."""

from __future__ import annotations

import argparse
import errno
import socket
from collections.abc import Mapping, Sequence
from typing import Final

PORT: Final = 8080


def refusal(host: str, port: int) -> str:
    """Return why nothing can listen here, with what to do about it; empty where it can."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as probe:
        if hasattr(socket, "SO_EXCLUSIVEADDRUSE"):
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
        else:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except (OSError, OverflowError) as error:
            return _sentence(host, port, error)
    return ""


def _sentence(host: str, port: int, error: Exception) -> str:
    number = error.errno if isinstance(error, OSError) else None
    if number == errno.EADDRINUSE:
        return f"port {port}: another program is using it; stop that one or choose another: --port"
    if number in {errno.EACCES, errno.EPERM}:
        return f"port {port}: only an administrator may use it; choose one above 1023: --port"
    if number == errno.EADDRNOTAVAIL or isinstance(error, socket.gaierror):
        return f"host {host}: this machine has no such address; leave --host out, or use --lan"
    return f"port {port}: expected a free port (choose one by --port), got {error}"


def refused_words(words: Sequence[str], variables: Mapping[str, str]) -> str:
    """Return `refusal` for the words of `serve`, as far as they can be read without set-up."""
    parser = argparse.ArgumentParser(add_help=False, exit_on_error=False, allow_abbrev=False)
    parser.add_argument("--port", default=variables.get("ROWCALL_PORT") or str(PORT))
    parser.add_argument("--host", default=variables.get("ROWCALL_HOST") or "")
    parser.add_argument("--lan", action="store_true")
    try:
        args, _ = parser.parse_known_args(list(words))
        port = int(args.port)
    except (argparse.ArgumentError, ValueError):
        return ""  # the command itself says what is wrong with them
    if not 1 <= port <= 65_535:
        return ""
    return refusal(args.host or ("0.0.0.0" if args.lan else "127.0.0.1"), port)  # noqa: S104
