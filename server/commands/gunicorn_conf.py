"""How gunicorn runs the app: threads for whole requests, a short goodbye, logs as JSON lines."""

from __future__ import annotations

import contextlib
import json
import logging
import os
import signal
import ssl
import threading
import time
from collections.abc import Callable
from typing import Any

worker_class = "server.commands.intake.Worker"
# Phones that listen, and as many requests again.
worker_connections = int(os.environ.get("ROWCALL_STREAMS", "2000")) + 2000
sendfile = False  # answers are sent by the loop
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
LOOK_SECONDS = 30.0
BACKUP_LOOK_SECONDS = 300.0
LAST_SECONDS = 0.4


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


def ssl_context(_config: Any, make: Callable[[], ssl.SSLContext]) -> ssl.SSLContext:
    """Return gunicorn's own context without TLS before 1.2, which some systems allow."""
    context = make()
    context.minimum_version = ssl.TLSVersion.TLSv1_2
    return context


def look_for_jobs_left(app: Any, seconds: float) -> None:
    """Look every so many seconds for planning that nobody is at work on; never returns."""
    from server import ports_of
    from server.service import office

    ports = ports_of(app)
    made = time.monotonic()
    while not ports.watch.closed:
        time.sleep(seconds)
        try:
            with app.app_context():
                office.look_for_jobs_left(ports)
        except Exception:
            logging.getLogger("rowcall.queue").exception("looking for planning that was left")
        if time.monotonic() - made > BACKUP_LOOK_SECONDS:
            made = time.monotonic()
            threading.Thread(target=_backup, args=(app,), daemon=True).start()


def _backup(app: Any) -> None:
    from server.commands.rehearsal import make_if_due
    from server.settings import from_environment

    try:
        make_if_due(app, from_environment())
    except Exception:
        logging.getLogger("rowcall.backup").exception("backup")


def log_as_lines() -> None:
    """Log ours as JSON lines on stderr; requests only when asked for (ROWCALL_LOG=info)."""
    handler = logging.StreamHandler()
    handler.setFormatter(Lines())
    ours = logging.getLogger("rowcall")
    ours.addHandler(handler)
    ours.propagate = False
    ours.setLevel(os.environ.get("ROWCALL_LOG", "warning").upper())


def on_starting(_server: Any) -> None:
    """Set up the log before the first worker."""
    log_as_lines()


def worker_int(worker: Any) -> None:
    """Leave at once after Ctrl-C: streams end, requests that run have a moment to finish.

    Not by the interpreter's own exit, which waits for threads that wait for a client.
    """
    from server import ports_of

    ports_of(worker.app.wsgi()).watch.close()
    time.sleep(LAST_SECONDS)
    os._exit(0)


def worker_exit(_server: Any, worker: Any) -> None:
    """Leave at once when all is answered; a worker that never came up says so by its status."""
    from server import let_go

    if worker.booted:
        with contextlib.suppress(Exception):  # a database that is away holds nobody here
            let_go(worker.app.wsgi())
        logging.shutdown()
        os._exit(0)


def post_worker_init(worker: Any) -> None:
    """Let streams end at once when the worker is told to leave; requests still finish.

    Meanwhile look now and then whether planning was left by a worker that ended suddenly.
    """
    from server import ports_of
    from server.commands import hook_sender

    app = worker.app.wsgi()
    ports = ports_of(app)
    woken = worker.listeners.woken
    ports.watch.on_wake(lambda show: worker.method_queue.defer(woken, show))
    threading.Thread(target=look_for_jobs_left, args=(app, LOOK_SECONDS), daemon=True).start()
    hook_sender.start(app)
    before = signal.getsignal(signal.SIGTERM)

    def leave(number: int, frame: Any) -> None:
        ports.watch.close()
        if callable(before):
            before(number, frame)

    signal.signal(signal.SIGTERM, leave)
