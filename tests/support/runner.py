"""Runs the parts one after the other, each to its end, and adds up what they report."""

from __future__ import annotations

import difflib
import importlib.util
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Final

from server.bootstrap.client import build_client
from server.bootstrap.environment import become, inside
from server.bootstrap.places import PYTHON, ROOT, SetUpFailed, say
from tests.support.counts import Counts, said_counts
from tests.support.needs import want_chromium
from tests.support.parts import PARTS, Outcome

# A first word that is no part of the tests → module; `bench` takes its module from the next word.
TOOLS: Final = {
    "asvs": "tests.asvs",
    "audit": "tests.audit",
    "sim": "tests.sim",
    "crashes": "tests.crashes",
    "mutants": "tests.mutants",
    "screens": "tests.browser.screens",
    "typeface": "tests.support.typeface",
    "lighthouse": "tests.browser.lighthouse",
}
BENCHES: Final = ("planner", "labels", "load", "replay", "office", "camera", "routes")
SHOWS_CLIENT: Final = frozenset({"screens", "lighthouse", "camera"})
# Parts that keep one processor busy: two of them run side by side.
ONE_PROCESS: Final = ("lint", "types", "client")
HEAD: Final = f"{'part':8}  {'result':6}  {'seconds':>7}  tests"
BEGUN: Final = time.monotonic()

USAGE: Final = f"""usage: python3 tests [PART...]
       python3 tests bench {"|".join(BENCHES)} [--json]
       python3 tests sim --nights N [--seed S]
       python3 tests asvs [STATE]
       python3 tests audit [--osv URL] [--registry URL]
       python3 tests crashes [--rounds N] [--database sqlite|postgresql] [--seed S]
       python3 tests mutants
       python3 tests screens DIR
       python3 tests lighthouse
       python3 tests typeface PACKAGE FOLDER

Parts: {", ".join(PARTS)}; without a name, all of them.
Exit status: 0 all passed, 1 something failed, 2 bad usage."""


@dataclass(frozen=True, slots=True)
class Line:
    """One part in the summary."""

    part: str
    outcome: Outcome
    seconds: float


def main(words: Sequence[str]) -> int:
    """Run the parts named, or one tool; return the exit status."""
    if words and words[0] in {"-h", "--help"}:
        print(USAGE)
        return 0
    if words and (words[0] == "bench" or words[0] in TOOLS):
        return run_tool(words)
    unknown = [word for word in words if word not in PARTS]
    if unknown:
        close = difflib.get_close_matches(unknown[0], [*PARTS, *TOOLS, "bench"], n=1)
        hint = f"did you mean {close[0]}?" if close else f"one of {', '.join(PARTS)}"
        say(f"{unknown[0]}: expected a part of the tests, {hint}")
        return 2
    return run_parts([PARTS[word] for word in words] or list(PARTS.values()), words or [*PARTS])


def run_parts(parts: Sequence[Callable[[], Outcome]], names: Sequence[str]) -> int:
    """Run every part even after one fails; print the summary, and its sum last of all."""
    lines: dict[str, Line] = {}
    quiet = [name for name in names if name in ONE_PROCESS]
    if len(quiet) > 1:
        with ThreadPoolExecutor(2) as two:
            for line, said in two.map(beside, quiet):
                say(f"\n== {line.part}\n{said}")
                lines[line.part] = line
    for name, part in zip(names, parts, strict=True):
        if name not in lines:
            say(f"\n== {name}")
            lines[name] = run_part(name, part)
    sys.stderr.flush()
    total = sum((lines[name].outcome.shown for name in names), Counts())
    print(f"\n{HEAD}")
    for line in (lines[name] for name in names):
        state = "ok" if line.outcome.ok else "FAILED"
        print(f"{line.part:8}  {state:6}  {line.seconds:7.1f}  {line.outcome.shown}")
    print(f"{'all':8}  {'':6}  {time.monotonic() - BEGUN:7.1f}\n")
    print(total, flush=True)
    return 0 if all(lines[name].outcome.ok for name in names) else 1


def run_part(name: str, part: Callable[[], Outcome]) -> Line:
    """Run one part in this process."""
    start = time.monotonic()
    try:
        outcome = part()
    except SetUpFailed as failure:
        say(str(failure))
        outcome = Outcome(ok=False, counts=Counts())
    return Line(name, outcome, time.monotonic() - start)


def beside(name: str) -> tuple[Line, str]:
    """Run one part in a process of its own; return its line, and what it said before its table."""
    start = time.monotonic()
    ran = subprocess.run(
        [str(PYTHON), "-P", "-m", "tests.support.runner", name],
        cwd=ROOT,
        env=inside(),
        text=True,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        check=False,
    )
    said, _, table = ran.stdout.rpartition(HEAD)
    outcome = Outcome(ok=ran.returncode == 0, counts=said_counts(table))
    return Line(name, outcome, time.monotonic() - start), (said or table).strip()


def run_tool(words: Sequence[str]) -> int:
    """Become a benchmark, the simulation or a browser tool; it reads the rest of the words."""
    name, *rest = words
    if name == "bench":
        if not rest or rest[0] not in BENCHES:
            say(f"bench: expected one of {', '.join(BENCHES)}")
            return 2
        module, rest = f"tests.bench.{rest[0]}", rest[1:]
    else:
        module = TOOLS[name]
    if not present(module):
        say(f"{name}: its module {module} is not in this checkout.")
        return 2
    try:
        if SHOWS_CLIENT & set(words[:2]):
            build_client()
            want_chromium()
    except SetUpFailed as failure:
        say(str(failure))
        return 2
    return become(module, rest)


def present(module: str) -> bool:
    """Return whether a module can be found, without running it."""
    try:
        return importlib.util.find_spec(module) is not None
    except ModuleNotFoundError:  # its folder is not there
        return False


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except KeyboardInterrupt:
        sys.exit(130)
    except subprocess.SubprocessError as trouble:
        say(str(trouble))
        sys.exit(1)
