"""`python3 tests lighthouse`: the audit of the built app as a phone first meets it (issue 7).

Lighthouse 12.2.3 (the last that runs on Node 20), its mobile setting: simulated slow 4G and a
processor four times as slow. Least scores: performance 95, each of the other three 100.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

from server.bootstrap.client import Node, find_node
from server.bootstrap.places import STATE, SetUpFailed, say, stamped, write_stamp
from server.bootstrap.system import run
from tests.browser.stage import stage
from tests.support.needs import find_chromium

VERSION: Final = "12.2.3"
FOLDER: Final = STATE / "lighthouse"
LEAST: Final = {"performance": 95, "accessibility": 100, "best-practices": 100, "seo": 100}
CHROME: Final = "--headless=new --no-sandbox --disable-gpu --disable-background-networking"
MEASURES: Final = (
    "first-contentful-paint",
    "largest-contentful-paint",
    "total-blocking-time",
    "cumulative-layout-shift",
    "speed-index",
)


def main(words: Sequence[str]) -> int:
    """Audit pages; 0 when every score is reached, 1 when one is not."""
    parser = argparse.ArgumentParser(prog="python3 tests lighthouse", description=__doc__)
    parser.add_argument("paths", nargs="*", default=["/"], help="pages to audit (the crew's: /)")
    parser.add_argument("--json", action="store_true", help="print one JSON document")
    args = parser.parse_args(words)
    chromium = find_chromium()
    if chromium is None:
        say("lighthouse: expected Chromium on this machine; python3 tests installs it.")
        return 2
    try:
        node = installed()
    except SetUpFailed as failure:
        say(str(failure))
        return 2
    with tempfile.TemporaryDirectory() as folder, stage(Path(folder)) as house:
        reports = [
            report(node, f"{house.url}{path}", Path(folder), str(chromium)) for path in args.paths
        ]
    found = {path: summary(one) for path, one in zip(args.paths, reports, strict=True)}
    print(json.dumps(found, indent=1) if args.json else table(found))
    return 0 if all(good(one["scores"]) for one in found.values()) else 1


def installed() -> Node:
    """Return a Node beside which Lighthouse is installed, in a folder of its own."""
    node = find_node()
    stamp = STATE / "lighthouse.stamp"
    if not stamped(stamp, VERSION):
        say(f"Installing Lighthouse {VERSION} (once, half a minute).")
        FOLDER.mkdir(parents=True, exist_ok=True)
        (FOLDER / "package.json").write_text('{"private": true}', encoding="utf-8")
        quiet = ["--no-audit", "--no-fund", "--ignore-scripts"]
        run(
            [*node.npm, "install", "-E", *quiet, f"lighthouse@{VERSION}"],
            cwd=FOLDER,
            env=node.env(),
        )
        write_stamp(stamp, VERSION)
    return node


def report(node: Node, url: str, folder: Path, chromium: str) -> dict[str, Any]:
    """Run one audit and return Lighthouse's own report."""
    out = folder / "report.json"
    words = [
        str(node.node),
        str(FOLDER / "node_modules" / "lighthouse" / "cli" / "index.js"),
        url,
        "--quiet",
        "--output=json",
        f"--output-path={out}",
        f"--chrome-flags={CHROME}",
    ]
    env = {**node.env(), "CHROME_PATH": chromium, "HOME": os.environ.get("HOME", str(folder))}
    subprocess.run(words, env=env, check=True, timeout=180)
    read: dict[str, Any] = json.loads(out.read_text(encoding="utf-8"))
    return read


def summary(found: dict[str, Any]) -> dict[str, Any]:
    """Return scores, measures, bytes on the wire and what did not pass."""
    audits = found["audits"]
    categories = found["categories"]
    asked = {ref["id"] for name in LEAST for ref in categories[name]["auditRefs"] if ref["weight"]}
    return {
        "lighthouse": found["lighthouseVersion"],
        "scores": {name: round(categories[name]["score"] * 100) for name in LEAST},
        "measures": {name: audits[name]["displayValue"] for name in MEASURES},
        "bytes": audits["total-byte-weight"]["numericValue"],
        "below": sorted(name for name in asked if (audits[name]["score"] or 0) < FULL
                        and audits[name]["scoreDisplayMode"] in SCORED),
    }  # fmt: skip


FULL: Final = 0.9
SCORED: Final = frozenset({"binary", "numeric", "metricSavings"})


def good(scores: dict[str, int]) -> bool:
    """Return whether every least score is reached."""
    return all(scores[name] >= least for name, least in LEAST.items())


def table(found: dict[str, dict[str, Any]]) -> str:
    """Return the audits for people."""
    lines = []
    for path, one in found.items():
        lines.append(f"{path}  Lighthouse {one['lighthouse']}, mobile")
        for name, score in one["scores"].items():
            lines.append(f"  {name:15} {score:4}  (at least {LEAST[name]})")
        lines += [f"  {name:26} {value}" for name, value in one["measures"].items()]
        lines.append(f"  {'bytes on the wire':26} {one['bytes'] / 1000:.0f} kB")
        lines += [f"  below full: {name}" for name in one["below"]]
    return "\n".join(lines)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
