"""The page that verifies a record says what `server verify` says, of good and of changed ones."""

from __future__ import annotations

import base64
import copy
import json
import re
import subprocess
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest

from server.bootstrap.client import client_packages
from server.bootstrap.places import PWA
from server.core.night import record_chain
from server.service import seal
from server.trouble import BadInput
from tests.support.app import Bench, on

Record = dict[str, Any]
BODY = {"kind": "damaged", "code": "BL-002-C", "note": 'caster \U0001f6de \u00fc "off"'}


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> Record:
    folder = tmp_path_factory.mktemp("record")
    bench = Bench(f"sqlite:///{folder / 'x.sqlite'}", folder).demo()
    bo, ana = bench.phone("Bo"), bench.phone("Ana", chief=True)
    bo.tell(bo.fact(on("BL-002-C")), bo.fact(BODY), bo.fact(on("BL-003-A")))
    known = [one["event"] for one in ana.tell()["events"]][:2]
    release = {"kind": "released", "signature": "M0 0", "signers": []}
    signed = {"digest": record_chain.head("demo", known), "covers": record_chain.covers(known)}
    assert ana.tell(ana.fact({**release, **signed}))["refused"] == []
    found: Record = ana.read("/api/shows/demo/record")
    bench.close()
    return found


def anew(record: Record, events: list[Any]) -> Record:
    """Return a record whose chain was worked out anew over other events."""
    made = record_chain.make_record("demo", events)
    return {**made, "arrivals": record["arrivals"][: len(events)], "seal": record["seal"]}


def changed(record: Record) -> dict[str, Any]:
    """Return records by what was done to them; some are none."""
    events = record["events"]
    other = copy.deepcopy(events)
    other[0]["body"]["code"] = "BL-007-2"
    bare = {key: value for key, value in record.items() if key != "seal"}
    return {
        "good": record,
        "one event changed": {**record, "events": other},
        "chain worked out anew": anew(record, other),
        "an event under a release taken out": anew(record, events[1:]),
        "out of order": {**record, "events": [events[1], events[0], *events[2:]]},
        "taken off the end": {**record, "events": events[:-1]},
        "added": {**record, "digests": record["digests"][:-1]},
        "no seal": bare,
        "empty seal": {**record, "seal": {}},
        "seal of another key": {**record, "seal": {**record["seal"], "key": "00" * 32}},
        "short key": {**record, "seal": {**record["seal"], "key": "abc"}},
        "arrivals changed": {**record, "arrivals": record["arrivals"][::-1]},
        "half a number": {**record, "events": [{**events[0], "at": 0.5}, *events[1:]]},
        "nothing": {},
        "a list": [],
        "no list of events": {**record, "events": {}},
        "no event": {**record, "events": [7]},
    }


def ours(record: Any, key: str) -> dict[str, Any]:
    """Return what `server verify` says."""
    try:
        found = record_chain.verify(record)
    except BadInput:
        return {"none": True}
    lines = [{"number": one.number, "event": one.event, "what": one.what} for one in found]
    return {"findings": lines, "seal": None if found else seal.broken(record, key)}


def test_page_and_command_say_the_same(record: Record) -> None:
    node, own = client_packages(), seal.fingerprint_of(record["seal"]["key"])
    cases = [
        (name, one, key)
        for name, one in changed(record).items()
        for key in ("", own, own.replace(" ", "").upper(), "00" * 16)
    ]
    lines = "".join(json.dumps({"record": json.dumps(one), "key": key}) + "\n"
                    for _, one, key in cases)  # fmt: skip
    words = [str(node.node), "tools/fold-lines.mjs", "verify-lines"]
    done = subprocess.run(
        words, cwd=PWA, env=node.env(), input=lines, capture_output=True, text=True, check=True,
        encoding="utf-8",
    )  # fmt: skip
    verdicts = set()
    for (name, one, key), line in zip(cases, done.stdout.splitlines(), strict=True):
        theirs = json.loads(line)
        if "none" in theirs:
            theirs = {"none": True}
        assert theirs == ours(one, key), (name, key)
        verdicts.add((name, theirs == {"findings": [], "seal": ""}))
    assert {name for name, holds in verdicts if holds} == {"good"}


def test_the_page_is_one_file_and_runs_its_own_script_alone(built: Path) -> None:
    page = (built / "verify.html").read_text(encoding="utf-8")
    assert not re.search(r"<(link|img|iframe)|src=|url\(|import\(|fetch\(|XMLHttp", page)
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', page)
    assert policy is not None and policy[1].startswith("default-src 'none'")
    for tag in ("script", "style"):
        inner = re.search(rf"<{tag}>(.*?)</{tag}>", page, re.DOTALL)
        assert inner is not None
        digest = base64.b64encode(sha256(inner[1].encode()).digest()).decode()
        assert f"'sha256-{digest}'" in policy[1], tag


@pytest.fixture
def built() -> Path:
    from server.bootstrap.client import build_client

    build_client()
    return PWA / "dist"
