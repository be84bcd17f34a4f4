"""Events from JSON: what is broken is refused by place, what is merely new is kept.

The phone's own reader is held to the same vectors, fixtures/events.
"""

from __future__ import annotations

import json
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

from server.core.night.event_kinds import On, Released, Signer, Unknown, UnsentKnown
from server.core.night.events import KINDS, BadEvent, read_event

VECTORS: dict[str, Any] = json.loads(
    (Path(__file__).resolve().parents[2] / "fixtures" / "events" / "vectors.json").read_text(
        encoding="utf-8"
    )
)
GOOD: dict[str, Any] = VECTORS["event"]


def changed(path: str, value: object) -> dict[str, Any]:
    event = deepcopy(GOOD)
    *parents, last = path.split(".")
    held = event
    for key in parents:
        held = held[key]
    held[last] = value
    return event


def test_a_good_event_is_taken_as_it_is() -> None:
    event = read_event(GOOD)
    assert (event.device, event.n, event.by.role) == ("p1", 2, "loader")
    assert event.body == On("A1", "camera", None)


@pytest.mark.parametrize("at", range(len(VECTORS["broken_at"])))
def test_a_broken_event_is_refused_by_place(at: int) -> None:
    broken = VECTORS["broken_at"][at]
    with pytest.raises(BadEvent) as refused:
        read_event(changed(broken["path"], broken["value"]), "events.3")
    assert refused.value.place == f"events.3.{broken['path']}"


@pytest.mark.parametrize("at", range(len(VECTORS["broken_bodies"])))
def test_a_broken_body_is_refused_by_place(at: int) -> None:
    broken = VECTORS["broken_bodies"][at]
    with pytest.raises(BadEvent) as refused:
        read_event(changed("body", broken["body"]), "events.3")
    assert refused.value.place == f"events.3.body.{broken['place']}"


def test_every_kind_is_taken_one_of_a_later_version_too() -> None:
    taken = {read_event(changed("body", body)).body.kind for body in VECTORS["good_bodies"]}
    assert taken == {*KINDS, "sung"}


def test_a_text_without_end_is_refused() -> None:
    with pytest.raises(BadEvent):
        read_event(changed("body.code", "x" * 5000))


def test_signers_are_read_one_by_one() -> None:
    body = {
        "kind": "released",
        "signature": "M0 0",
        "digest": "d",
        "signers": [{"role": "driver", "name": "Jo", "signature": "M1 1"}],
    }
    event = read_event(changed("body", body))
    assert event.body == Released("M0 0", (Signer("driver", "Jo", "M1 1"),), "d")
    for wrong in (["Jo"], [{"role": "driver"}], [{"role": "x", "name": "", "signature": ""}], "Jo"):
        with pytest.raises(BadEvent):
            read_event(changed("body", {**body, "signers": wrong}))


def test_a_kind_of_a_later_version_is_kept() -> None:
    assert read_event(changed("body", {"kind": "sung", "song": 3})).body == Unknown("sung")


def test_what_is_no_object_is_refused() -> None:
    nothing: list[object] = [None, [], "on", 3]
    for wrong in nothing:
        with pytest.raises(BadEvent):
            read_event(wrong)


def test_lists_of_texts_are_bounded() -> None:
    body = {"kind": "unsent_known", "devices": ["p1", "p2"], "note": ""}
    assert read_event(changed("body", body)).body == UnsentKnown(("p1", "p2"), "")
    for wrong in (["p1", 2], ["p"] * 1001, "p1"):
        with pytest.raises(BadEvent):
            read_event(changed("body", {**body, "devices": wrong}))
