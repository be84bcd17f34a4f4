"""Start of the web server: gunicorn where it runs (POSIX), else cheroot in this process.

This module alone knows which server it is; `gunicorn_conf.py` says how gunicorn runs the app.
"""

from __future__ import annotations

import importlib.util
import os
import signal
import sys
import threading
from pathlib import Path
from types import FrameType
from typing import NoReturn

from server.settings import ROOT, Settings

FORCED = "ROWCALL_SERVER"  # cheroot: the portable server on a system that has gunicorn too


def become_web_server(settings: Settings, host: str, tls: Path | None) -> int:
    """Serve until told to stop; `tls`: the folder of server.crt and server.key."""
    if os.environ.get(FORCED) != "cheroot" and _has_gunicorn():
        _become_gunicorn(settings, host, tls)
    return _serve_here(settings, host, tls)


def _has_gunicorn() -> bool:
    return os.name == "posix" and importlib.util.find_spec("gunicorn") is not None


def _become_gunicorn(settings: Settings, host: str, tls: Path | None) -> NoReturn:
    """Turn this process into gunicorn: threads, one worker unless told otherwise."""
    paths = os.pathsep.join([str(ROOT), *filter(None, [os.environ.get("PYTHONPATH")])])
    os.environ.update({**settings.environment(), "PYTHONPATH": paths})
    bind = f"[{host}]:{settings.port}" if ":" in host else f"{host}:{settings.port}"
    words = ["--config", "python:server.commands.gunicorn_conf", "--bind", bind,
             "--workers", str(settings.workers), "--threads", str(settings.threads)]  # fmt: skip
    if tls is not None:
        words += ["--certfile", str(tls / "server.crt"), "--keyfile", str(tls / "server.key")]
    words.append("server:create_app()")
    _allow_files(settings.streams + 4_096)
    if _may_fork():
        # What is loaded here need not be loaded again by the workers: half of a start.
        from gunicorn.app.wsgiapp import WSGIApplication

        sys.argv = ["gunicorn", *words]
        try:
            WSGIApplication().run()
        except SystemExit as end:
            gone(end.code)
        gone(0)
    os.execv(sys.executable, [sys.executable, "-P", "-m", "gunicorn", *words])  # noqa: S606


def gone(status: object) -> NoReturn:
    """End this process at once: taking down what was loaded would take a second for nothing."""
    sys.stdout.flush()
    sys.stderr.flush()
    os._exit(status if isinstance(status, int) else 1)


def _may_fork() -> bool:
    """Return whether this process has one thread, so that nothing is lost in a copy of it."""
    try:
        return len(os.listdir("/proc/self/task")) == 1  # noqa: PTH208  (names alone)
    except OSError:  # no Linux
        return False


def _allow_files(number: int) -> None:
    """Let this process hold open as many files as there may be connections, if it may."""
    import resource

    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    most = number if hard == resource.RLIM_INFINITY else min(number, hard)
    if soft != resource.RLIM_INFINITY and soft < most:
        resource.setrlimit(resource.RLIMIT_NOFILE, (most, hard))


def _serve_here(settings: Settings, host: str, tls: Path | None) -> int:
    """Serve in this process with threads; one process, which SQLite wants anyway."""
    from ssl import TLSVersion

    from cheroot.ssl.builtin import BuiltinSSLAdapter
    from cheroot.wsgi import Server

    from server import create_app, ports_of
    from server.commands import hook_sender
    from server.commands.gunicorn_conf import (
        LAST_SECONDS,
        LOOK_SECONDS,
        log_as_lines,
        look_for_jobs_left,
    )

    log_as_lines()
    os.environ.update(settings.environment())
    app = create_app(settings)
    ports = ports_of(app)
    server = Server(
        (host, settings.port), app, numthreads=settings.threads, timeout=20, shutdown_timeout=1
    )
    server.max_request_header_size = 64_000
    server.max_request_body_size = 4 * settings.photo_limit
    if tls is not None:
        server.ssl_adapter = BuiltinSSLAdapter(str(tls / "server.crt"), str(tls / "server.key"))
        server.ssl_adapter.context.minimum_version = TLSVersion.TLSv1_2
    look = threading.Thread(target=look_for_jobs_left, args=(app, LOOK_SECONDS), daemon=True)
    look.start()
    hook_sender.start(app)

    def leave(_number: int, _frame: FrameType | None) -> None:
        raise KeyboardInterrupt

    signal.signal(signal.SIGTERM, leave)
    try:
        server.start()
    except KeyboardInterrupt:
        ports.watch.close()
    # Not by the interpreter's own exit, which waits for threads that wait for a client.
    stop = threading.Thread(target=server.stop, daemon=True)
    stop.start()
    stop.join(LAST_SECONDS)
    sys.stdout.flush()
    os._exit(0)
