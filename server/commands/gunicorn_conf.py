"""How gunicorn runs the app: threads that may block, a short goodbye, logs as JSON lines."""

from __future__ import annotations

import json
import logging
import signal
import time
from typing import Any

worker_class = "gthread"
keepalive = 20
timeout = 60
graceful_timeout = 5
# Headers come from our own clients: small, and few.
limit_request_line = 4094
limit_request_fields = 60
limit_request_field_size = 8190
accesslog = None
errorlog = "-"
loglevel = "warning"
control_socket_disable = True
# Only what the app itself believes of a proxy counts (server/settings.py, proxies).
forwarded_allow_ips = ""


class Lines(logging.Formatter):
    """One JSON object a line."""

    def format(self, record: logging.LogRecord) -> str:
        said: dict[str, Any] = {
            "time": time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime(record.created)),
            "level": record.levelname.lower(),
            "logger": record.name,
            "message": record.getMessage(),
            **getattr(record, "fields", {}),
        }
        if record.exc_info:
            said["trace"] = self.formatException(record.exc_info)
        return json.dumps(said)  # ASCII: no sign in it ends the line


def on_starting(_server: Any) -> None:
    """Log ours as JSON lines on stderr; requests only when asked for (ROWCALL_LOG=info)."""
    import os

    handler = logging.StreamHandler()
    handler.setFormatter(Lines())
    ours = logging.getLogger("rowcall")
    ours.addHandler(handler)
    ours.propagate = False
    ours.setLevel(os.environ.get("ROWCALL_LOG", "warning").upper())


def post_worker_init(worker: Any) -> None:
    """Let streams end at once when the worker is told to leave; requests still finish."""
    from server import ports_of

    ports = ports_of(worker.app.wsgi())
    before = signal.getsignal(signal.SIGTERM)

    def leave(number: int, frame: Any) -> None:
        ports.watch.close()
        if callable(before):
            before(number, frame)

    signal.signal(signal.SIGTERM, leave)
