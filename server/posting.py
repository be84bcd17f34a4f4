"""Sending a web hook: to public addresses only, without redirects, within a few seconds."""

from __future__ import annotations

import http.client
import ipaddress
import socket
import ssl
from typing import Final
from urllib.parse import urlsplit

SECONDS: Final = 5.0  # to connect, and again for the answer
READ: Final = 1_024


class Refused(OSError):
    """An address that no hook is sent to."""


def post(url: str, headers: dict[str, str], body: bytes, allow_private: bool) -> int:
    """Send a body; return the status of the answer. OSError where there is none.

    The name is looked up once and the connection goes to that address, so that a name which
    answers differently the second time reaches nothing inside.
    """
    parts = urlsplit(url)
    host = parts.hostname or ""
    secure = parts.scheme == "https"
    port = parts.port or (443 if secure else 80)
    where = address_of(host, port, allow_private=allow_private)
    made: http.client.HTTPConnection
    if secure:
        made = http.client.HTTPSConnection(
            host, port, timeout=SECONDS, context=ssl.create_default_context()
        )
    else:
        made = http.client.HTTPConnection(host, port, timeout=SECONDS)
    made._create_connection = lambda _, *rest: socket.create_connection(  # type: ignore[attr-defined] # noqa: SLF001
        (where, port), *rest
    )
    path = (parts.path or "/") + (f"?{parts.query}" if parts.query else "")
    try:
        made.request("POST", path, body, {"user-agent": "Rowcall", **headers})
        answer = made.getresponse()
        answer.read(READ)
    except http.client.HTTPException as error:
        raise OSError(f"no answer by HTTP: {type(error).__name__}") from error
    finally:
        made.close()
    return answer.status


def address_of(host: str, port: int, *, allow_private: bool) -> str:
    """Return the address of a host; Refused where any of its addresses is not a public one."""
    found = {str(one[4][0]) for one in socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)}
    for text in sorted(found):
        address = ipaddress.ip_address(text.split("%")[0])
        mapped = getattr(address, "ipv4_mapped", None)
        if not allow_private and not (mapped or address).is_global:
            raise Refused(f"{host} is {text}, an address inside a network: allow it at the hook")
        if address.is_multicast or address.is_unspecified:
            raise Refused(f"{host} is {text}, which is no address of a receiver")
    return min(found)
