"""Coming in and going out."""

from __future__ import annotations

from typing import Any, Final

from apiflask import APIBlueprint
from flask import Response, jsonify, make_response, request

from server.api.context import address, cookie_name, ports, someone, who
from server.api.models import (
    HereAnswer,
    Join,
    JoinAnswer,
    Nothing,
    SessionAnswer,
    SetUp,
    SignIn,
)
from server.service import enter as service
from server.service import keys
from server.service.records import Session

KNOWN_S: Final = 365 * 24 * 3600
bp: Final = APIBlueprint("enter", __name__, url_prefix="/api", tag="enter")


def shown(session: Session) -> dict[str, Any]:
    """Return what a client may know of its session."""
    return SessionAnswer(
        id=session.id, name=session.name, role=session.role, show=session.show
    ).model_dump()


def with_cookie(response: Response, token: str, session: Session) -> Response:
    """Give the browser its cookie; no script reads it, no other site sends it."""
    response.set_cookie(
        cookie_name(),
        token,
        max_age=(session.ends_at - session.created_at) // 1000,
        secure=request.is_secure,
        httponly=True,
        samesite="Lax",
        path="/",
    )
    return response


def known_name() -> str:
    """Return the name of the cookie by which a browser shows that an owner was in here."""
    return f"{cookie_name()}-known"


def with_known(response: Response, session: Session) -> Response:
    """Let the browser show later that this owner was in here: guesses elsewhere do not lock it."""
    owner = ports().accounts.owner(session.owner)
    if owner is not None:
        response.set_cookie(
            known_name(),
            keys.known(ports(), owner),
            max_age=KNOWN_S,
            secure=request.is_secure,
            httponly=True,
            samesite="Strict",
            path="/",
        )
    return response


@bp.post("/join")
@bp.input(Join, arg_name="body")
@bp.output(JoinAnswer)
@bp.doc(summary="Join a show by its code", responses=[403, 409, 429])
def join(body: Join) -> Response:
    """Let a phone in, as chief where the PIN is right."""
    asked = service.JoinRequest(
        body.code, body.name.strip(), body.device, body.pin or "", body.device_key or ""
    )
    joined = service.join(ports(), asked, who(), address())
    answer = jsonify(session=shown(joined.session), device_key=joined.device_key)
    return with_cookie(answer, joined.token, joined.session)


@bp.post("/owner/setup")
@bp.input(SetUp, arg_name="body")
@bp.output(SessionAnswer)
@bp.doc(summary="Set the owner's password by a set-up link", responses=[403, 429])
def set_up(body: SetUp) -> Response:
    """Make the owner's account and let the owner in."""
    person = (body.name.strip(), body.password)
    session, token = service.set_up_owner(ports(), body.token, person, who(), address())
    return with_known(with_cookie(jsonify(shown(session)), token, session), session)


@bp.post("/owner/login")
@bp.input(SignIn, arg_name="body")
@bp.output(SessionAnswer)
@bp.doc(summary="Sign in as owner", responses=[403, 429])
def sign_in(body: SignIn) -> Response:
    """Let an owner in."""
    known = request.cookies.get(known_name(), "")[:200]
    person = (body.name.strip(), body.password)
    session, token = service.sign_in(ports(), person, who(), address(), known)
    return with_known(with_cookie(jsonify(shown(session)), token, session), session)


@bp.get("/session")
@bp.output(HereAnswer)
@bp.doc(summary="Who am I", responses=[401])
def session() -> dict[str, Any]:
    """Say who is in, and what this phone said last of what it holds."""
    here = someone()
    phone = ports().people.device(here.show, here.device) if here.show else None
    return {
        **shown(here),
        "device": here.device or None,
        "last_n": phone.last_n if phone else 0,
        "unsent": phone.unsent if phone else 0,
    }


@bp.delete("/session")
@bp.output(Nothing)
@bp.doc(summary="Sign out", responses=[401])
def sign_out() -> Response:
    """End this session and forget the cookie."""
    here = someone()
    ports().people.end_session(here.id, ports().now())
    ports().audit.add(at=ports().now(), who=here, address=address(), action="signed out")
    answer = make_response(jsonify({}))
    # A cookie of this prefix may only be removed the way it was set.
    answer.delete_cookie(
        cookie_name(), path="/", secure=request.is_secure, httponly=True, samesite="Lax"
    )
    # Pictures that the browser kept go too. Not its storage: a phone's unsent facts lie there.
    answer.headers["Clear-Site-Data"] = '"cache"'
    return answer
