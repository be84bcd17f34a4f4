"""An owner's own account: password, sessions, passkeys, and the other owners."""

from __future__ import annotations

from typing import Any, Final

from apiflask import APIBlueprint
from flask import Response, jsonify, request

from server.api.account_models import (
    AccountAnswer,
    AddPasskey,
    ChangePassword,
    Credential,
    DemandPasskeys,
    EndSessions,
    OptionsAnswer,
    Password,
    RemoveOwner,
    RemovePasskey,
    UsePasskey,
)
from server.api.context import address, ports, someone, who
from server.api.enter import shown, with_cookie
from server.api.models import Nothing, SessionAnswer
from server.service import account as service
from server.service import passkeys
from server.service.troubles import Conflict

bp: Final = APIBlueprint("account", __name__, url_prefix="/api/owner", tag="office")


def site() -> passkeys.Site:
    """Return the site whose passkeys count for this request."""
    return passkeys.site(ports().limits.address, request.url_root)


def renewed(token: str) -> Response:
    """Answer with the session's new cookie."""
    return with_cookie(jsonify({}), token, someone())


def plain(credential: Credential) -> dict[str, Any]:
    """Return a credential as the library reads it."""
    return credential.model_dump(exclude_none=True)


@bp.get("/account")
@bp.output(AccountAnswer)
@bp.doc(summary="The owner's own account", responses=[401, 403])
def account() -> dict[str, Any]:
    """Return who is in by this account, its passkeys, and who else is owner."""
    here, accounts = someone(), ports().accounts
    owner = service.owner_of(ports(), here)
    try:
        site()
        reason = ""
    except Conflict as trouble:
        reason = trouble.detail
    return AccountAnswer.model_validate(
        {
            "name": owner.name,
            "sessions": [
                {
                    "id": one.id,
                    "show": one.show,
                    "created_at": one.created_at,
                    "used_at": one.used_at,
                    "ends_at": one.ends_at,
                    "here": one.id == here.id,
                }
                for one in accounts.sessions(owner.id, ports().now())
            ],
            "passkeys": [
                {
                    "id": one.id,
                    "name": one.name,
                    "created_at": one.created_at,
                    "used_at": one.used_at,
                }
                for one in accounts.passkeys(owner.id)
            ],
            "passkeys_here": reason,
            "passkeys_demanded": accounts.passkeys_demanded(),
            "owners": [
                {"id": one.id, "name": one.name, "own": one.id == owner.id}
                for one in accounts.owners()
            ],
        }
    ).model_dump()


@bp.post("/password")
@bp.input(ChangePassword, arg_name="body")
@bp.output(Nothing)
@bp.doc(summary="Change the password", responses=[401, 403, 429])
def change_password(body: ChangePassword) -> Response:
    """Change the password; the account's other sessions end."""
    return renewed(
        service.change_password(ports(), someone(), body.password, body.fresh, address())
    )


@bp.post("/sessions/end")
@bp.input(EndSessions, arg_name="body")
@bp.output(Nothing)
@bp.doc(summary="End sessions of the own account", responses=[401, 403, 404, 429])
def end_sessions(body: EndSessions) -> Response:
    """End one session, or all but this one."""
    return renewed(service.end_sessions(ports(), someone(), body.password, body.session, address()))


@bp.post("/remove")
@bp.input(RemoveOwner, arg_name="body")
@bp.output(Nothing)
@bp.doc(summary="Remove another owner's account", responses=[401, 403, 404, 409, 429])
def remove_owner(body: RemoveOwner) -> Response:
    """Remove another owner's account and end its sessions."""
    return renewed(service.remove_owner(ports(), someone(), body.password, body.owner, address()))


@bp.post("/passkeys/options")
@bp.input(Password, arg_name="body")
@bp.output(OptionsAnswer)
@bp.doc(summary="Begin adding a passkey", responses=[401, 403, 409, 429, 503])
def begin_adding(body: Password) -> dict[str, Any]:
    """Return what the browser needs to make a passkey."""
    options = passkeys.begin_adding(ports(), someone(), body.password, site(), address())
    return {"options": options}


@bp.post("/passkeys")
@bp.input(AddPasskey, arg_name="body")
@bp.output(Nothing)
@bp.doc(summary="Add a passkey", responses=[401, 403, 409])
def add_passkey(body: AddPasskey) -> Response:
    """Keep a passkey under its name."""
    sent = (body.name.strip(), plain(body.credential))
    return renewed(passkeys.add(ports(), someone(), sent, site(), address()))


@bp.post("/passkeys/remove")
@bp.input(RemovePasskey, arg_name="body")
@bp.output(Nothing)
@bp.doc(summary="Remove a passkey", responses=[401, 403, 404, 429])
def remove_passkey(body: RemovePasskey) -> Response:
    """Remove a passkey."""
    return renewed(passkeys.remove(ports(), someone(), body.password, body.passkey, address()))


@bp.post("/passkeys/demand")
@bp.input(DemandPasskeys, arg_name="body")
@bp.output(Nothing)
@bp.doc(summary="Let passkeys alone open the office", responses=[401, 403, 409, 429])
def demand_passkeys(body: DemandPasskeys) -> Response:
    """Let passkeys alone open the office, or the password too."""
    if body.demand:
        site()  # where none can be used, none can be demanded
    return renewed(
        passkeys.demand(ports(), someone(), body.password, address(), wanted=body.demand)
    )


@bp.post("/passkey/options")
@bp.output(OptionsAnswer)
@bp.doc(summary="Begin signing in by passkey", responses=[409, 503])
def begin_signing_in() -> dict[str, Any]:
    """Return what the browser needs to ask for a passkey."""
    return {"options": passkeys.begin_signing_in(ports(), site())}


@bp.post("/passkey")
@bp.input(UsePasskey, arg_name="body")
@bp.output(SessionAnswer)
@bp.doc(summary="Sign in by passkey", responses=[403, 409, 429])
def sign_in(body: UsePasskey) -> Response:
    """Let an owner in by a passkey."""
    session, token = passkeys.sign_in(ports(), plain(body.credential), site(), who(), address())
    return with_cookie(jsonify(shown(session)), token, session)
