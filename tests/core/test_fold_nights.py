"""Every night of fixtures/nights folds as written there; the phone's suite reads the same files."""

from __future__ import annotations

from typing import Any

import pytest

from server.core.crew.bundle import read_bundle
from server.core.night.fold import fold
from server.core.night.release import release_reasons
from server.core.night.state import as_json
from tests.phone_model.next_up import next_up
from tests.phone_model.scan_answer import Scan, answer_scan
from tests.support.nights import bundle_document, differences, events_of, nights

NIGHTS = nights()


@pytest.mark.parametrize("name", NIGHTS)
def test_a_night_folds_as_written(name: str) -> None:
    night = NIGHTS[name]
    bundle = read_bundle(bundle_document(night["bundle"]))
    state = fold(bundle, events_of(night))
    found = [*differences(night["expect"], as_json(state))]
    for scan in night.get("scans", ()):
        answer = answer_scan(state, bundle, Scan(scan["code"], scan["move"], scan["vehicle"]))
        found += differences(scan["expect"], as_json(answer), f"scan {scan['code']}")
    for leg in night.get("next", ()):
        steps = as_json(next_up(state, bundle, leg["move"], leg["vehicle"]))
        found += differences(leg["expect"], steps, f"next {leg['move']}")
    for asked in night.get("release", ()):
        unsent = asked.get("unsent", ())
        reasons = release_reasons(state, asked["move"], asked["vehicle"], unsent)
        found += differences(asked["gates"], [one.gate for one in reasons], "release")
    assert not found, f"{night['what']}\n" + "\n".join(found)


def test_the_comparison_itself_finds_what_differs() -> None:
    got: dict[str, Any] = {"a": [1, {"b": True}], "c": None}
    assert not [*differences({"a": [1, {}]}, got)]
    assert [*differences({"a": [1]}, got)]
    assert [*differences({"a": [1, {"b": 1}]}, got)]
    assert [*differences({"c": 0}, got)]
    assert [*differences({"d": None}, got)]
