"""Asks for published weaknesses of everything that the locks name: Python and the client.

    python3 tests audit [--osv URL] [--registry URL]

pip-audit reads tests/requirements.lock, which holds the server's too; npm audit the client's lock.
Both need the network. Exit status: 0 nothing is known, 1 something is, 2 it could not be asked.
A tool that skipped a package has not asked about it: that is no good news.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from server.bootstrap.client import client_packages
from server.bootstrap.places import PWA, PYTHON, ROOT, SetUpFailed, say

LOCK: Final = ROOT / "tests" / "requirements.lock"
SECONDS: Final = 300


@dataclass(frozen=True, slots=True)
class Audit:
    """What one tool said: packages asked about, weaknesses known, and what it could not ask."""

    asked: int
    known: tuple[str, ...] = ()
    unasked: str = ""

    @property
    def status(self) -> int:
        """Return 1 for a weakness, 2 when something could not be asked, else 0."""
        return 1 if self.known else 2 if self.unasked else 0


def main(words: Sequence[str]) -> int:
    """Ask both; print what is known; return the exit status."""
    parser = argparse.ArgumentParser(prog="python3 tests audit", description=__doc__)
    parser.add_argument("--osv", metavar="URL", help="ask this OSV service instead of the index")
    parser.add_argument("--registry", metavar="URL", help="ask this npm registry")
    args = parser.parse_args(words)
    ends = []
    for name, audit in (("Python", python(args.osv)), ("client", client(args.registry))):
        for line in audit.known:
            print(f"{name}: {line}")
        if audit.unasked:
            say(f"{name}: not asked: {audit.unasked}")
        print(f"{name}: {audit.asked} packages asked about, {len(audit.known)} weaknesses known")
        ends.append(audit.status)
    return 1 if 1 in ends else max(ends)


def python(osv: str | None = None) -> Audit:
    """Ask about the Python packages."""
    words = [str(PYTHON), "-m", "pip_audit", "--disable-pip", "--require-hashes", "-r", str(LOCK)]
    words += ["--format", "json", "--progress-spinner", "off", "--desc", "off"]
    words += ["-s", "osv", "--osv-url", osv] if osv else []
    return read_python(*_heard(words))


def client(registry: str | None = None) -> Audit:
    """Ask about the client's packages, those that only build it included."""
    try:
        node = client_packages()
    except SetUpFailed as trouble:
        return Audit(0, unasked=str(trouble))
    words = [*node.npm, "audit", "--package-lock-only", "--json"]
    words += ["--registry", registry, "--fetch-retries=0"] if registry else ["--fetch-retries=1"]
    return read_client(*_heard(words, cwd=str(PWA), env=node.env()))


def _heard(words: Sequence[str], **more: Any) -> tuple[str, str]:
    try:
        run = subprocess.run(
            words, capture_output=True, text=True, check=False, timeout=SECONDS, **more
        )
    except subprocess.TimeoutExpired:
        return "", f"no answer in {SECONDS} s"
    return run.stdout, run.stderr


def read_python(said: str, complained: str) -> Audit:
    """Read pip-audit's JSON; a skipped package was not asked about."""
    told = _json(said)
    packages = told.get("dependencies")
    if not isinstance(packages, list) or not packages:
        return Audit(0, unasked=_last(complained) or "pip-audit gave no list of packages")
    skipped = [one["name"] for one in packages if "skip_reason" in one]
    known = [
        f"{one['name']} {one['version']}: {weak['id']}, fixed in "
        f"{', '.join(weak['fix_versions']) or 'no version yet'}"
        for one in packages
        for weak in one.get("vulns", [])
    ]
    unasked = f"{len(skipped)} of {len(packages)} packages, such as {skipped[0]}" if skipped else ""
    return Audit(len(packages) - len(skipped), tuple(known), unasked)


def read_client(said: str, complained: str) -> Audit:
    """Read npm's JSON."""
    told = _json(said)
    counts = told.get("metadata", {}).get("dependencies", {})
    if "vulnerabilities" not in told or not counts.get("total"):
        reason = told.get("message") or _last(complained) or "npm gave no list of packages"
        return Audit(0, unasked=str(reason))
    known = [
        f"{name}: {one['severity']}, {via['title'] if isinstance(via, dict) else f'by {via}'}"
        for name, one in told["vulnerabilities"].items()
        for via in one["via"]
    ]
    return Audit(int(counts["total"]), tuple(known))


def _json(text: str) -> dict[str, Any]:
    try:
        told = json.loads(text)
    except ValueError:
        return {}
    return told if isinstance(told, dict) else {}


def _last(text: str) -> str:
    lines = [line for line in text.splitlines() if line.strip()]
    return lines[-1][:300] if lines else ""


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
