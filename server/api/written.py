"""What owners and chiefs change is written down: who, when, from where, what, on which thing."""

from __future__ import annotations

from typing import Final

from flask import Response, request

from server.api.context import address, ports, who

# endpoint → how the audit calls it
CHANGES: Final[dict[str, str]] = {
    "fleet.put_shop": "changed the shop",
    "fleet.change_shop": "changed the shop",
    "advice.put_prices": "changed the prices",
    "fleet.add_case": "added case",
    "fleet.put_case": "changed case",
    "fleet.change_case": "changed case",
    "pictures.bind_tag": "bound a tag to a case",
    "fleet.import_cases": "took in a fleet file",
    "case_lists.save_list": "imported cases of a list",
    "removal.delete_case": "deleted case",
    "removal.delete_vehicle": "deleted vehicle",
    "removal.delete_show": "deleted show",
    "removal.remove_demo": "removed the demo",
    "fleet.add_vehicle": "added vehicle",
    "fleet.put_vehicle": "changed vehicle",
    "fleet.change_vehicle": "changed vehicle",
    "fleet.import_vehicles": "took in a file of vehicles",
    "upkeep.change": "changed cases together",
    "case_photos.add": "added photo of case",
    "case_photos.take": "took photo from a night",
    "case_photos.remove": "removed photo of case",
    "shows.add_show": "added show",
    "shows.put_show": "changed show",
    "shows.change_show": "changed show",
    "versions.undo": "took back a change",
    "plans.plan": "asked for a plan",
    "plans.stop": "stopped planning",
    "editor.asked": "asked for another plan",
    "editor.replan": "asked for a plan from a revision on",
    "editor.keep": "kept an edited plan",
    "bookings.put_kits": "changed kits",
    "bookings.copy": "copied show",
}
# Their services write it down themselves, with more to say.
TOLD_INSIDE: Final = frozenset(
    {
        "account.change_password",
        "account.end_sessions",
        "account.remove_owner",
        "account.add_passkey",
        "account.remove_passkey",
        "account.demand_passkeys",
        "shows.renew_join",
        "shows.set_pin",
        "shows.sign_out_all",
        "crew.sign_out_device",
        "plans.issue",
        "editor.issue_proposal",
        "tokens.add_token",
        "hooks.add_hook",
        "hooks.remove_hook",
        "everything.bring",
        "tokens.revoke_token",
        "bookings.close",
    }
)
# These answer a question that is too long for an address; nothing is changed by them.
QUESTIONS: Final = frozenset(
    {
        "versions.presence",
        "account.begin_adding",
        "upkeep.labels",
        "upkeep.read_test_page",
        "hooks.test_hook",
        "case_lists.propose_list",
        "editor.edit",
        "advice.ask",
        "advice.stop",
    }
)
NAMES: Final = ("code", "vehicle", "revision", "photo", "job", "kind", "one", "version")


def write_down(response: Response) -> Response:
    """Write down a change that was done; runs after every request."""
    action = CHANGES.get(request.endpoint or "")
    if action is None or response.status_code >= 400:
        return response
    given = request.view_args or {}
    if request.args.get("dry_run", "").lower() in {"true", "1"}:
        return response
    ports().audit.add(
        at=ports().now(),
        who=who(),
        address=address(),
        action=action,
        show=given.get("show"),
        detail=", ".join(str(given[name]) for name in NAMES if name in given) or _named(),
    )
    return response


def _named() -> str:
    """Return what a body calls the thing that it makes."""
    body = request.get_json(silent=True) if request.is_json else None
    if not isinstance(body, dict):
        return ""
    return next((body[key] for key in ("code", "id", "name") if isinstance(body.get(key), str)), "")
