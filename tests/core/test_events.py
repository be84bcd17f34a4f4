"""Events from JSON: what is broken is refused by place, what is merely new is kept."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest

from server.core.event_kinds import On, Released, Signer, Unknown, UnsentKnown
from server.core.events import BadEvent, read_event
from tests.support.nights import nights

GOOD: dict[str, Any] = nights()["two-loaders-one-row"]["events"][1]


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


# path, value, the place that the refusal names
@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("v", 2),  # another version of the envelope
        ("id", 7),  # a number for text
        ("n", 0),  # running numbers begin at 1
        ("n", True),  # true is no number
        ("n", 1.5),
        ("at", -1),
        ("at", 2**53),  # more than a phone holds exactly
        ("hlc", "now"),
        ("hlc", "1807000002000-0-p1"),
        ("move", "load"),
        ("by", "Ana"),
        ("by.role", "boss"),
        ("by.role", ["loader"]),
        ("body", []),
        ("body.kind", None),
        ("body.code", "x" * 5000),
        ("body.read", "guessed"),
        ("body.row", "1"),
        ("vehicle", 3),
    ],
)
def test_a_broken_event_is_refused_by_place(path: str, value: object) -> None:
    with pytest.raises(BadEvent) as refused:
        read_event(changed(path, value), "events.3")
    assert refused.value.place == f"events.3.{path}"


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
