"""Who may do what: the one table. What is not in it is refused."""

from __future__ import annotations

from typing import Final, Literal

from flask import g, request

from server.api.context import bearer, someone, who
from server.service import tokens
from server.service.records import RANK
from server.service.troubles import Conflict, NotAllowed, NotIn, Unknown

LOOKING: Final = frozenset({"GET", "HEAD", "OPTIONS"})
Access = Literal["anyone", "loader", "chief", "owner"]

# endpoint → the least role. A crew's session is good for its own show only; the owner's for all.
ACCESS: Final[dict[str, Access]] = {
    "openapi.spec": "anyone",
    "client.page": "anyone",
    "client.file": "anyone",
    "docs_page.page": "anyone",
    "docs_page.style": "anyone",
    "problems.problem_kinds": "anyone",
    "problems.problem_kind": "anyone",
    "ops.healthz": "anyone",
    "schemas.schema": "anyone",
    "ops.metrics": "anyone",
    "host.page": "anyone",
    "trust.page": "anyone",
    "trust.download": "anyone",
    "enter.join": "anyone",
    "enter.set_up": "anyone",
    "enter.sign_in": "anyone",
    "account.begin_signing_in": "anyone",
    "account.sign_in": "anyone",
    "enter.session": "loader",
    "enter.sign_out": "loader",
    "crew.bundle": "loader",
    "crew.take": "loader",
    "crew.events": "loader",
    "crew.notes": "loader",
    "crew.stream": "loader",
    "crew.heartbeat": "loader",
    "pictures.add_photo": "loader",
    "pictures.photo": "loader",
    "pictures.read_labels": "loader",
    "pictures.bind_tag": "chief",
    "crew.devices": "chief",
    "crew.sign_out_device": "chief",
    "crew.record": "chief",
    "crew.record_csv": "chief",
    "papers.sheet": "loader",
    "papers.wall": "loader",
    "papers.driver": "loader",
    "papers.pull": "loader",
    "papers.record": "chief",
    "account.account": "owner",
    "account.change_password": "owner",
    "account.end_sessions": "owner",
    "account.remove_owner": "owner",
    "account.begin_adding": "owner",
    "account.add_passkey": "owner",
    "account.remove_passkey": "owner",
    "account.demand_passkeys": "owner",
    "fleet.shop": "owner",
    "fleet.put_shop": "owner",
    "fleet.change_shop": "owner",
    "fleet.cases": "owner",
    "fleet.add_case": "owner",
    "fleet.case": "owner",
    "fleet.put_case": "owner",
    "fleet.change_case": "owner",
    "fleet.import_cases": "owner",
    "fleet.cases_csv": "owner",
    "removal.delete_case": "owner",
    "removal.delete_vehicle": "owner",
    "removal.delete_show": "owner",
    "removal.remove_demo": "owner",
    "case_lists.propose_list": "owner",
    "case_lists.save_list": "owner",
    "upkeep.standard_lists": "owner",
    "upkeep.backup": "owner",
    "upkeep.how_far": "owner",
    "upkeep.change": "owner",
    "upkeep.labels": "owner",
    "upkeep.test_page": "owner",
    "upkeep.read_test_page": "owner",
    "upkeep.history": "owner",
    "case_photos.every": "owner",
    "case_photos.of_case": "owner",
    "case_photos.add": "owner",
    "case_photos.take": "owner",
    "case_photos.photo": "owner",
    "case_photos.on_show": "loader",
    "case_photos.remove": "owner",
    "fleet.vehicles": "owner",
    "fleet.add_vehicle": "owner",
    "fleet.vehicle": "owner",
    "fleet.put_vehicle": "owner",
    "fleet.change_vehicle": "owner",
    "fleet.import_vehicles": "owner",
    "fleet.vehicles_csv": "owner",
    "shows.all_shows": "owner",
    "shows.add_show": "owner",
    "shows.show": "owner",
    "shows.put_show": "owner",
    "shows.change_show": "owner",
    "everything.take": "owner",
    "everything.bring": "owner",
    "hooks.all_hooks": "owner",
    "hooks.add_hook": "owner",
    "hooks.test_hook": "owner",
    "hooks.remove_hook": "owner",
    "tokens.all_tokens": "owner",
    "tokens.add_token": "owner",
    "tokens.revoke_token": "owner",
    "tokens.subscribed": "anyone",  # the address is the secret
    "versions.document_history": "owner",
    "versions.undo": "owner",
    "versions.presence": "owner",
    "shows.join_card": "chief",
    "shows.renew_join": "owner",
    "shows.set_pin": "owner",
    "shows.sign_out_all": "owner",
    "shows.audit": "owner",
    "plans.plan": "owner",
    "plans.job": "chief",
    "plans.stop": "chief",
    "plans.plans": "owner",
    "plans.revision": "owner",
    "plans.list_concerns": "owner",
    "plans.issue": "owner",
    "bookings.kits": "owner",
    "bookings.put_kits": "owner",
    "bookings.copy": "owner",
    "bookings.conflicts": "owner",
    "bookings.calendar": "owner",
    "bookings.close": "owner",
    "morning.put_away": "owner",
    "morning.reports": "owner",
    "fit.fit": "owner",
    "advice.prices": "owner",
    "advice.put_prices": "owner",
    "advice.ask": "owner",
    "advice.answer": "owner",
    "advice.stop": "owner",
    "editor.edit": "owner",
    "editor.keep": "owner",
    "editor.asked": "owner",
    "editor.replan": "chief",
    "editor.choices": "chief",
    "editor.proposal": "chief",
    "editor.issue_proposal": "chief",
}


# What a loader may still do once the show is closed: hand in what the phone holds, and go.
AFTER_THE_SHOW: Final = frozenset(
    {
        "crew.take",
        "crew.events",
        "crew.notes",
        "crew.heartbeat",
        "pictures.add_photo",
        "enter.session",
        "enter.sign_out",
    }
)


def check() -> None:
    """Refuse whoever may not; runs before every request."""
    if request.endpoint is None:
        return  # no such path: the router answers 404 or 405
    least = ACCESS.get(request.endpoint)
    if least is None:
        raise NotAllowed("Nobody may do this.")
    if least == "anyone" and not bearer():
        return
    session = who()
    if "token" in g:
        tokens.check(g.token, request.endpoint, changes=request.method not in LOOKING)
    if least == "anyone":
        return
    if session is None:
        raise NotIn("Join the show or sign in first.")
    if RANK[session.role] < RANK[least]:
        raise NotAllowed(f"Only the {least} may do this.")
    closed = session.closed_at is not None and session.role == "loader"
    if closed and request.endpoint not in AFTER_THE_SHOW:
        raise Conflict("This show is closed: your phone can still send what it holds.")
    asked = (request.view_args or {}).get("show")
    # One answer for a show of others and for none: a stranger learns nothing.
    if asked is not None and session.role != "owner" and session.show != asked:
        raise Unknown("There is no such show for you.")


def crew_device() -> str:
    """Return the phone that asks; NotAllowed for an owner who has not joined the show."""
    session = someone()
    asked = (request.view_args or {}).get("show")
    if not session.device or session.show != asked:
        raise NotAllowed("Join the show on this phone first.")
    return session.device
