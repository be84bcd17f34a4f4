"""Tokens for other programs: named, with one scope, expiring, revocable; digests only are kept.

read: look at what the office looks at; change: also change it; metrics: the counters of /metrics;
calendar: the secret address of a calendar, of one show or of all. No token reaches accounts, other
tokens, join codes and PINs, or what a phone of the crew does.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from server.service import office, secrets
from server.service.document_records import ApiToken, Scope
from server.service.ports import Ports
from server.service.records import Session
from server.service.troubles import Conflict, NotAllowed, NotIn, Unknown

PREFIX: Final = "rowcall_"  # so that whoever finds one in a file or a log knows what it is
DAY_MS: Final = 86_400_000
MOST: Final = 100
USED_MS: Final = 60_000  # the last use is written down once a minute at most
# Blueprints that no token reaches, and single routes that give people a way in.
PEOPLE: Final = frozenset(
    {"account", "enter", "tokens", "hooks", "everything", "pictures", "trust"}
)
WAYS_IN: Final = frozenset(
    {
        "shows.join_card",
        "shows.renew_join",
        "shows.set_pin",
        "shows.sign_out_all",
        "crew.sign_out_device",
        "versions.presence",
    }
)


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a new token is for."""

    name: str
    scope: Scope
    days: int
    show: str | None = None


def create(ports: Ports, wanted: Wanted) -> tuple[ApiToken, str]:
    """Make a token; return it with its secret, which is shown this once."""
    if wanted.show is not None:
        office.show_of(ports, wanted.show)
    if len(ports.tokens.all()) >= MOST:
        raise Conflict(f"There are {MOST} tokens already: revoke one that is not used.")
    secret, now = PREFIX + secrets.token(), ports.now()
    token = ApiToken(
        id=secrets.short_id(),
        name=wanted.name,
        scope=wanted.scope,
        show=wanted.show,
        made_by=ports.by,
        created_at=now,
        ends_at=now + wanted.days * DAY_MS,
    )
    ports.tokens.add(token, secrets.digest(secret))
    return token, secret


def found(ports: Ports, secret: str) -> ApiToken:
    """Return the token of a secret; NotIn where there is none, or it has ended."""
    known = None
    if secret.startswith(PREFIX) and len(secret) < 100:
        known = ports.tokens.by_digest(secrets.digest(secret), ports.now())
    if known is None:
        raise NotIn("This token is not known, was revoked, or has ended.")
    if known.used_at is None or ports.now() - known.used_at > USED_MS:
        ports.tokens.used(known.id, ports.now())
    return known


def session_of(token: ApiToken) -> Session:
    """Return a token as one who asks: versions and the audit name it."""
    name = f"{token.name} (token)"[:60]
    return Session(
        token.id, "owner", name, None, "", token.created_at, token.created_at, token.ends_at
    )


def check(token: ApiToken, endpoint: str, *, changes: bool) -> None:
    """Refuse what a token may not do, naming the scope that it would need."""
    if endpoint.split(".", maxsplit=1)[0] in PEOPLE or endpoint in WAYS_IN:
        raise NotAllowed("No token may do this: it is for people who are signed in.")
    if endpoint == "ops.metrics":
        if token.scope != "metrics":
            raise NotAllowed("This needs a token of the scope metrics.")
        return
    needed = "change" if changes else "read"
    if token.scope not in {needed, "change"}:
        raise NotAllowed(f"This needs a token of the scope {needed}; this one has {token.scope}.")


def calendar_show(ports: Ports, secret: str) -> str | None:
    """Return the one show of a calendar's secret address, None for all; Unknown where none is."""
    try:
        token = found(ports, secret)
    except NotIn:
        raise Unknown("There is no such calendar.") from None
    if token.scope != "calendar":
        raise Unknown("There is no such calendar.")
    return token.show
