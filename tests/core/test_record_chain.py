"""The record's chain of digests; the phone's suite reads the same vectors."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from server.core.night.record_chain import (
    BadRecord,
    canonical,
    chain,
    covered,
    covers,
    head,
    make_record,
    verify,
)
from tests.support.nights import nights

VECTORS: dict[str, Any] = json.loads(
    (Path(__file__).resolve().parents[2] / "fixtures" / "records" / "vectors.json").read_text(
        encoding="utf-8"
    )
)


@pytest.fixture
def record() -> dict[str, Any]:
    events = nights()["signed-off"]["events"]
    made: dict[str, Any] = json.loads(json.dumps(make_record("show", events)))
    return made


def test_canonical_json_is_as_rfc_8785_writes_it() -> None:
    for vector in VECTORS["canonical"]:
        assert canonical(vector["value"]) == vector["text"]
    assert canonical(3.0) == "3"
    for wrong in (0.5, 2**53, "\ud800", object()):
        with pytest.raises(BadRecord):
            canonical(wrong)


def test_the_chain_is_as_computed_by_other_means() -> None:
    # The digests of the vectors were made with json.dumps and hashlib alone.
    assert chain(VECTORS["show"], VECTORS["events"]) == VECTORS["digests"]
    assert chain(VECTORS["show"], VECTORS["events"][::-1]) == VECTORS["digests"]


def test_a_record_as_it_was_signed_has_no_findings(record: dict[str, Any]) -> None:
    assert verify(record) == ()


def test_a_changed_event_is_named(record: dict[str, Any]) -> None:
    for number, event in enumerate(record["events"], 1):
        event["body"]["note"] = "not what was said"
        assert verify(record)[0].number == number
        del event["body"]["note"]
    assert verify(record) == ()


def test_taking_out_adding_and_swapping_events_is_found(record: dict[str, Any]) -> None:
    events = record["events"]
    shorter = {**record, "events": events[:4] + events[5:]}
    assert verify(shorter)[0].number == 5
    cut = {**record, "events": events[:-2]}
    assert "taken off the end" in verify(cut)[0].what
    longer = {**record, "events": [*events, {**events[-1], "id": "x"}]}
    assert verify(longer)[-1].what.startswith("added")
    swapped = {**record, "events": [events[1], events[0], *events[2:]]}
    assert {finding.number for finding in verify(swapped)} >= {1, 2}


def test_a_record_rewritten_from_end_to_end_breaks_what_was_signed(record: dict[str, Any]) -> None:
    events = record["events"]
    known = events[:10]
    signed = {"covers": covers(known), "digest": head("show", known)}
    events[-1]["body"] |= signed
    assert verify(make_record("show", events)) == ()
    events[3]["by"]["name"] = "someone else"
    (finding,) = verify(make_record("show", events))
    assert finding.event == events[-1]["id"]


def test_what_a_phone_knew_is_found_again_among_all_events() -> None:
    events = VECTORS["events"]
    known = [event for at, event in enumerate(events) if at != 1]
    assert covered(events, covers(known)) == known
    assert covered(events, {}) == []


@pytest.mark.parametrize(
    "wrong",
    [
        None,
        [],
        {"format": "rowcall-record-9"},
        {"format": "rowcall-record-1", "show": "s", "events": {}, "digests": []},
        {"format": "rowcall-record-1", "show": "s", "events": [1], "digests": []},
        {"format": "rowcall-record-1", "show": "s", "events": [{"id": 1}], "digests": []},
    ],
)
def test_what_is_no_record_is_refused(wrong: object) -> None:
    with pytest.raises(BadRecord):
        verify(wrong)
