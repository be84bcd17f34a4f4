"""Ctrl-C in a terminal: the whole group of processes gets SIGINT, and nothing is complained of."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.support.serving import Server

pytestmark = pytest.mark.slow

COMPLAINTS = ("SIGKILL", "memory", "Traceback", "ERROR", "Exception")


@pytest.mark.parametrize("kind", ["gunicorn", "cheroot"])
def test_ctrl_c_stops_quietly_with_phones_connected(tmp_path: Path, kind: str) -> None:
    server = Server(tmp_path, "--empty", variables={"ROWCALL_SERVER": kind}, fresh=True).start()
    with socket.create_connection(("127.0.0.1", server.port)) as idle:
        idle.sendall(b"GET /healthz HTTP/1.1\r\nHost: localhost\r\n\r\n")
        answer = idle.recv(4000)
        assert answer.startswith(b"HTTP/1.1 200")
        assert (b"gunicorn" in answer) == (kind == "gunicorn")
        # The solver is loaded by who plans; who serves would wait for it at each start, and a
        # process with the solver's threads could not be copied for the workers.
        if (maps := Path(f"/proc/{server.process.pid}/maps")).exists():
            assert "numpy" not in maps.read_text(encoding="utf-8")
        os.killpg(server.process.pid, signal.SIGINT)
        assert server.process.wait(timeout=30) == 0
    assert not [word for word in COMPLAINTS if word in server.words()], server.words()


@pytest.mark.parametrize("kind", ["gunicorn", "cheroot"])
def test_a_service_manager_stops_it_without_waiting_for_idle_connections(
    tmp_path: Path, kind: str
) -> None:
    server = Server(tmp_path, "--empty", variables={"ROWCALL_SERVER": kind}, fresh=True).start()
    with (
        socket.create_connection(("127.0.0.1", server.port)) as kept,
        socket.create_connection(("127.0.0.1", server.port)),  # says nothing at all
    ):
        kept.sendall(b"GET /healthz HTTP/1.1\r\nHost: localhost\r\n\r\n")
        assert kept.recv(4000).startswith(b"HTTP/1.1 200")
        begun = time.monotonic()
        subprocess.run([sys.executable, "-c", "pass"], check=True)
        busy = time.monotonic() - begun  # a few hundredths of a second where nothing else works
        assert server.stop() < 1.5 + 20 * busy
    assert not [word for word in COMPLAINTS if word in server.words()], server.words()


def test_the_portable_server_starts_where_posix_modules_are_missing(tmp_path: Path) -> None:
    """Linux with the modules hidden that Windows lacks; a Windows machine was not at hand."""
    hidden = tmp_path / "hidden"
    hidden.mkdir()
    for name in ("fcntl", "resource", "gunicorn", "grp", "pwd"):
        (hidden / f"{name}.py").write_text("raise ImportError('not on this system')\n")
    code = (
        "import sys; sys.path.insert(0, sys.argv[1]); import importlib, pkgutil, server\n"
        "for one in pkgutil.walk_packages(server.__path__, 'server.'):\n"
        "    posix = one.name.startswith(('server.store.migrations', 'server.bootstrap'))\n"
        "    other = {'server.__main__', 'server.commands.intake'}\n"
        "    posix or one.name in other or importlib.import_module(one.name)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(hidden)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2000:]
