"""What a request has at hand: the ports, who asks, from where."""

from __future__ import annotations

from dataclasses import replace
from typing import Final, cast

from flask import current_app, g, request

from server.service import enter, tokens
from server.service.ports import Ports
from server.service.records import Session
from server.service.troubles import NotIn

EXTENSION: Final = "rowcall"


def ports() -> Ports:
    """Return the world outside, as create_app wired it, for whoever asks."""
    known = cast("Ports", current_app.extensions[EXTENSION])
    session = g.get("session")
    if session is None:
        return known
    if g.get("ports") is None:
        g.ports = replace(known, by=session.name)
    return cast("Ports", g.ports)


def cookie_name() -> str:
    """Return the cookie's name; the prefix binds it to this host, and needs TLS."""
    return "__Host-rowcall" if request.is_secure else "rowcall"


def who() -> Session | None:
    """Return who asks, or None; looked up once a request."""
    if "session" not in g:
        g.session = _asking()
    return cast("Session | None", g.session)


def bearer() -> str:
    """Return the token that another program sent (RFC 6750, 2.1), empty where none was."""
    kind, _, secret = request.headers.get("Authorization", "").partition(" ")
    return secret.strip() if kind.lower() == "bearer" else ""


def _asking() -> Session | None:
    """Return who asks: by a token alone where one was sent, else by the cookie."""
    secret = bearer()
    if secret:
        g.token = tokens.found(ports(), secret)
        return tokens.session_of(g.token)
    cookie = request.cookies.get(cookie_name(), "")
    return enter.current(ports(), cookie) if 20 <= len(cookie) <= 100 else None


def someone() -> Session:
    """Return who asks; NotIn when nobody is."""
    session = who()
    if session is None:
        raise NotIn("Join the show or sign in first.")
    return session


def address() -> str:
    """Return the address of the other end, through as many proxies as the settings believe."""
    return request.remote_addr or "unknown"
