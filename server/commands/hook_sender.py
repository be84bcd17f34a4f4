"""The thread that sends web hooks: apart from every request, one process at a time."""

from __future__ import annotations

import logging
import secrets
import threading
import time
from typing import Any, Final

LOOK_SECONDS: Final = 2.0
LEASE_MS: Final = 60_000
LEASE: Final = "hook_sender"


def start(app: Any) -> None:
    """Send what is due every few seconds, until the server leaves."""
    threading.Thread(target=_run, args=(app,), name="hooks", daemon=True).start()


def _run(app: Any) -> None:
    from server import ports_of

    ports = ports_of(app)
    me = secrets.token_hex(8)
    while not ports.watch.closed:
        time.sleep(LOOK_SECONDS)
        try:
            with app.app_context():
                send_due(ports, me)
        except Exception:
            logging.getLogger("rowcall.hooks").exception("sending web hooks")


def send_due(ports: Any, me: str) -> int:
    """Send what is due, where no other process does; return how many messages were taken.

    Two that begin in the same moment send a message twice, under the same id: receivers know it.
    """
    from server.posting import post
    from server.service import hooks

    if not ports.settings.get(hooks.HOOKS):
        return 0
    lease = ports.settings.get(LEASE) or {}
    if lease.get("by") not in {None, me} and lease.get("until", 0) > ports.now():
        return 0
    if lease.get("by") != me or lease.get("until", 0) < ports.now() + LEASE_MS // 2:
        ports.settings.put(LEASE, {"by": me, "until": ports.now() + LEASE_MS})
    return hooks.deliver(ports, post)
