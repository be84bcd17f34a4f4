"""Tokens of other programs, and calendars at secret addresses."""

from __future__ import annotations

from typing import Any, Final, Literal

from apiflask import APIBlueprint
from flask import Response, request
from pydantic import BaseModel, Field, RootModel

from server.api.bookings import CALENDAR, ics
from server.api.context import address, ports, someone
from server.api.models import Answers, Name, Nothing, Strict
from server.service import account, tokens
from server.service.document_records import ApiToken
from server.service.troubles import Unknown

FEED: Final[Answers] = {**CALENDAR, 404: {"description": "No calendar has this address"}}
bp: Final = APIBlueprint("tokens", __name__, url_prefix="/api", tag="office")


class NewToken(Strict):
    """A token for another program; the owner's password is asked again.

    `show`: for a calendar, the one show that it tells; absent: all shows.
    """

    password: str = Field(max_length=256)
    name: Name
    scope: Literal["read", "change", "metrics", "calendar"]
    days: int = Field(90, ge=1, le=730)
    show: str | None = Field(None, max_length=32)


class TokenLine(BaseModel):
    """A token as it is listed; its secret is not kept."""

    id: str
    name: str
    scope: str
    show: str | None
    made_by: str
    created_at: int
    ends_at: int
    used_at: int | None


class TokenAnswer(TokenLine):
    """A new token with its secret, shown this once; `url`: where a calendar subscribes."""

    secret: str
    url: str | None


class TokensAnswer(RootModel[list[TokenLine]]):
    """Every token that was not revoked, the newest first."""


class RevokeToken(Strict):
    """A token to revoke; the owner's password is asked again."""

    password: str = Field(max_length=256)


def _line(token: ApiToken) -> dict[str, Any]:
    return {name: getattr(token, name) for name in TokenLine.model_fields}


@bp.get("/tokens")
@bp.output(TokensAnswer)
@bp.doc(summary="Tokens of other programs", responses=[401, 403])
def all_tokens() -> TokensAnswer:
    """Return every token: name, scope, end, last use."""
    return TokensAnswer([TokenLine(**_line(one)) for one in ports().tokens.all()])


@bp.post("/tokens")
@bp.input(NewToken, arg_name="body")
@bp.output(TokenAnswer, status_code=201)
@bp.doc(summary="A token for another program", responses=[401, 403, 404, 409])
def add_token(body: NewToken) -> dict[str, Any]:
    """Make a token; its secret is shown this once."""
    account.confirm(ports(), someone(), body.password, address())
    wanted = tokens.Wanted(body.name.strip(), body.scope, body.days, body.show)
    made, secret = tokens.create(ports(), wanted)
    account.note(ports(), someone(), address(), "made token", f"{made.name}, {made.scope}")
    base = ports().limits.address or request.host_url.rstrip("/")
    url = f"{base}/api/calendar/{secret}.ics" if made.scope == "calendar" else None
    return {**_line(made), "secret": secret, "url": url}


@bp.post("/tokens/<token>/revoke")
@bp.input(RevokeToken, arg_name="body")
@bp.output(Nothing)
@bp.doc(summary="Revoke a token", responses=[401, 403, 404])
def revoke_token(token: str, body: RevokeToken) -> dict[str, Any]:
    """Revoke a token: it opens nothing any more."""
    account.confirm(ports(), someone(), body.password, address())
    if not ports().tokens.remove(token):
        raise Unknown("There is no such token.")
    account.note(ports(), someone(), address(), "revoked token", token)
    return {}


@bp.get("/calendar/<secret>.ics")
@bp.doc(summary="The shows for a calendar that subscribes", responses=FEED)
def subscribed(secret: str) -> Response:
    """Return the calendar of a secret address (RFC 5545): all shows, or the one it was made for."""
    return ics(tokens.calendar_show(ports(), secret))
