"""For whoever runs the server: is it well, and how busy."""

from __future__ import annotations

from typing import Final

from flask import Blueprint, Response, current_app, request

from server.api.context import ports, who
from server.service.troubles import NotIn

# What proxies add; where the settings trust one, its word has become the address itself.
PASSED_ON: Final = ("Forwarded", "X-Forwarded-For", "X-Real-IP", "Via")
bp: Final = Blueprint("ops", __name__)


@bp.get("/healthz")
def healthz() -> Response:
    """Say ok when the database answers."""
    ports().people.has_owner()
    return Response("ok\n", mimetype="text/plain")


@bp.get("/metrics")
def metrics() -> Response:
    """Return the counters of this process in Prometheus' text form.

    For this machine, an owner, or a token of the scope metrics: they tell when a shop is at work.
    """
    here = request.remote_addr or ""
    # A proxy on this machine that the settings do not name (--behind-proxy) speaks for strangers.
    passed_on = any(name in request.headers for name in PASSED_ON)
    if passed_on or not (here == "::1" or here.startswith("127.")):
        asking = who()
        if asking is None or asking.role != "owner":
            raise NotIn("The counters are for this machine, owners, or a token for metrics.")
    counters = current_app.extensions["rowcall_metrics"]
    return Response(counters.text(), content_type="text/plain; version=0.0.4; charset=utf-8")
