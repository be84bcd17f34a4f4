"""Two folds, one night: random event sets go through both languages, and every field is compared.

pytestmark = pytest.mark.slow

A set that differs is named by its seed; `ROWCALL_FOLDS=20000` folds more of them.
"""

from __future__ import annotations

import json
import os
import subprocess
from random import Random
from typing import IO, Any, Final

import pytest

from server.bootstrap.client import client_packages
from server.bootstrap.places import PWA
from server.core.crew.bundle import MOVES, Bundle, read_bundle
from server.core.night.fold import fold
from server.core.night.record_chain import head
from server.core.night.release import release_reasons
from server.core.night.state import as_json
from tests.phone_model.next_up import next_up
from tests.phone_model.scan_answer import Scan, answer_scan, rows_to_open
from tests.support.nights import differences, events_of
from tests.support.random_bundle import random_bundle
from tests.support.random_events import ODD, random_arrivals, random_events

SETS: Final = int(os.environ.get("ROWCALL_FOLDS", "1000"))
SETS_A_BUNDLE: Final = 20

Document = dict[str, Any]


@pytest.mark.untraced
def test_both_folds_say_the_same_of_thousands_of_nights() -> None:
    node = client_packages()
    words = [str(node.node), "tools/fold-lines.mjs"]
    with subprocess.Popen(
        words,
        cwd=PWA,
        env=node.env(),
        text=True,
        encoding="utf-8",
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    ) as phone:
        assert phone.stdin is not None and phone.stdout is not None
        for start in range(0, SETS, SETS_A_BUNDLE):
            compare(start, phone.stdin, phone.stdout)
        phone.stdin.close()
        assert phone.wait(timeout=10) == 0


def compare(start: int, phone_hears: IO[str], phone_says: IO[str]) -> None:
    """Fold some event sets of one bundle in both languages."""
    document = random_bundle(Random(start), cases=Random(start).randint(0, 18))
    bundle = read_bundle(document)
    for seed in range(start, min(start + SETS_A_BUNDLE, SETS)):
        random = Random(f"set {seed}")
        events = random_events(random, document, random.choice([0, 5, 20, 40, 80]))
        question = {
            "bundle": document if seed == start else None,
            "events": events,
            "arrived": random_arrivals(random, events),
            "scans": some_scans(random, document),
            "legs": some_legs(random, document),
        }
        phone_hears.write(json.dumps(question) + "\n")
        phone_hears.flush()
        ours = server_says(bundle, question)
        theirs = json.loads(phone_says.readline())
        # Equality is quick and takes true for 1; every tenth set is compared type by type as well.
        if ours != theirs or seed % 10 == 0:
            found = [*differences(ours, theirs), *differences(theirs, ours)]
            assert not found, f"seed {seed}:\n" + "\n".join(found[:10])


def some_scans(random: Random, bundle: Document) -> list[Document]:
    codes = [*bundle["cases"], "Z1", "Z9", *ODD]
    vehicles = [sheet["id"] for sheet in bundle["vehicles"]]
    return [
        {
            "code": random.choice(codes),
            "move": random.choice(MOVES),
            "vehicle": random.choice(vehicles),
            "device": f"p{random.randrange(5)}",
        }
        for _ in range(6)
    ]


def some_legs(random: Random, bundle: Document) -> list[Document]:
    vehicles = [*(sheet["id"] for sheet in bundle["vehicles"]), "ghost"]
    return [
        {
            "move": random.choice(MOVES),
            "vehicle": random.choice(vehicles),
            "device": f"p{random.randrange(5)}",
            "unsent": ["p2", "p7"][: random.randrange(3)],
        }
        for _ in range(3)
    ]


def server_says(bundle: Bundle, question: Document) -> Document:
    """Say in Python what fold-lines.ts says of the same question."""
    state = fold(bundle, events_of(question))
    legs = question["legs"]
    found = {
        "state": state,
        "answers": [answer_scan(state, bundle, Scan(**scan)) for scan in question["scans"]],
        "steps": [
            next_up(state, bundle, leg["move"], leg["vehicle"], leg["device"]) for leg in legs
        ],
        "reasons": [
            release_reasons(state, leg["move"], leg["vehicle"], leg["unsent"]) for leg in legs
        ],
        "to_open": [
            rows_to_open(held, 1) if (held := state.legs[leg["move"]].get(leg["vehicle"])) else ()
            for leg in legs
        ],
    }
    plain: Document = as_json(found)
    return {**plain, "head": head("show", question["events"])}
