"""What a request has at hand: the ports, who asks, from where."""

from __future__ import annotations

from typing import Final, cast

from flask import current_app, g, request

from server.service import enter
from server.service.ports import Ports
from server.service.records import Session
from server.service.troubles import NotIn

EXTENSION: Final = "rowcall"


def ports() -> Ports:
    """Return the world outside, as create_app wired it."""
    return cast("Ports", current_app.extensions[EXTENSION])


def cookie_name() -> str:
    """Return the cookie's name; the prefix binds it to this host, and needs TLS."""
    return "__Host-rowcall" if request.is_secure else "rowcall"


def who() -> Session | None:
    """Return who asks, or None; looked up once a request."""
    if "session" not in g:
        token = request.cookies.get(cookie_name(), "")
        g.session = enter.current(ports(), token) if 20 <= len(token) <= 100 else None
    return cast("Session | None", g.session)


def someone() -> Session:
    """Return who asks; NotIn when nobody is."""
    session = who()
    if session is None:
        raise NotIn("Join the show or sign in first.")
    return session


def address() -> str:
    """Return the address of the other end, through as many proxies as the settings believe."""
    return request.remote_addr or "unknown"
