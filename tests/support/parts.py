"""The parts of the tests: what each runs and what it needs."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from server.bootstrap.client import build_client, client_packages
from server.bootstrap.environment import inside
from server.bootstrap.places import PWA, PYTHON, ROOT, STATE, say
from tests.support.counts import Counts, node_counts, pytest_counts
from tests.support.needs import want_caddy, want_chromium, want_engines, want_nginx, want_postgres

# Files side by side: the tests of one share what it sets up. Slow files begin (tests/conftest.py).
FILES: Final = ("--dist", "loadfile", "--no-loadscope-reorder")
TWO: Final = ("-n", "2", *FILES)
# Tests that wait, for browsers and databases, leave a processor to a third worker.
THREE: Final = ("-n", "3", *FILES)


@dataclass(frozen=True, slots=True)
class Outcome:
    """How a part ended, and what its test runner counted."""

    ok: bool
    counts: Counts

    @property
    def shown(self) -> Counts:
        """Return the counts; a part that failed without a failed test is one failure itself."""
        return self.counts if self.ok or self.counts.failed else self.counts + Counts(failed=1)


def lint() -> Outcome:
    """Rules, layout and types of the Python."""
    checks = (["ruff", "check", "."], ["ruff", "format", "--check", "."], ["mypy"])
    # A list, not a generator: the second tool speaks even when the first has failed.
    ends = [tool([str(PYTHON), "-m", *check]) for check in checks]
    return Outcome(ok=all(ends), counts=Counts(failed=ends.count(False)))


def types() -> Outcome:
    """Types and layout of the TypeScript: the client's own check, tsc and its formatter."""
    node = client_packages()
    end = tool([*node.npm, "run", "--silent", "check"], cwd=PWA, env=node.env())
    return Outcome(ok=end, counts=Counts())


def unit() -> Outcome:
    """Everything in Python that needs neither a browser nor a database server."""
    chosen = ["-m", "not store and not browser", "--ignore=tests/browser", *TWO]
    # Tracing every branch costs half as much again: `ROWCALL_COVERAGE=1` asks for it.
    traced = ["--cov", "--cov-report=term"] if os.environ.get("ROWCALL_COVERAGE") else []
    return pytest("unit", [*chosen, *traced])


def client() -> Outcome:
    """The client's own tests, by Node's test runner."""
    node = client_packages()
    end, output = heard([*node.npm, "test", "--silent"], cwd=PWA, env=node.env())
    counts = node_counts(output)
    if end and not counts.passed:
        say("The client's tests report no test at all.")
    return Outcome(ok=end and counts.passed > 0 and not counts.failed, counts=counts)


def store() -> Outcome:
    """The store, on SQLite and on a scratch PostgreSQL."""
    want_postgres()
    want_nginx()
    want_caddy()
    # Each of the workers starts a PostgreSQL of its own.
    return pytest("store", ["-m", "store", "--ignore=tests/browser", *TWO])


def browser() -> Outcome:
    """Whole evenings in Chromium at phone size, the offline start in two further engines."""
    build_client()
    want_chromium()
    want_engines()
    # What measures time runs alone.
    two = pytest("browser", ["tests/browser", "-m", "not alone", *THREE])
    one = pytest("browser-alone", ["tests/browser", "-m", "alone"])
    return Outcome(ok=two.ok and one.ok, counts=two.shown + one.shown)


PARTS: Final[dict[str, Callable[[], Outcome]]] = {
    "lint": lint,
    "types": types,
    "unit": unit,
    "client": client,
    "store": store,
    "browser": browser,
}


def pytest(name: str, words: Sequence[str]) -> Outcome:
    """Run pytest on a selection; no test found counts as failed."""
    report = STATE / f"report-{name}.xml"
    report.unlink(missing_ok=True)
    slowest = ["--durations=10", "--durations-min=5"]
    end = tool([str(PYTHON), "-m", "pytest", "-q", f"--junitxml={report}", *slowest, *words])
    return Outcome(ok=end, counts=pytest_counts(report))


def tool(words: Sequence[str], *, cwd: Path = ROOT, env: Mapping[str, str] | None = None) -> bool:
    """Run a tool that speaks for itself; return whether it was content."""
    sys.stdout.flush()
    return subprocess.run(words, cwd=cwd, env=env or inside(), check=False).returncode == 0


def heard(words: Sequence[str], *, cwd: Path, env: Mapping[str, str]) -> tuple[bool, str]:
    """Run a tool, show what it says as it says it, and return that too."""
    sys.stdout.flush()
    said: list[str] = []
    with subprocess.Popen(
        words, cwd=cwd, env=env, text=True, stdout=subprocess.PIPE, stderr=subprocess.STDOUT
    ) as running:
        assert running.stdout is not None
        for line in running.stdout:
            print(line, end="", flush=True)
            said.append(line)
    return running.returncode == 0, "".join(said)
