"""A vehicle that cannot be is refused by name; one that is merely odd is not."""

from __future__ import annotations

import json
from copy import deepcopy
from pathlib import Path
from typing import Any, Final

import pytest

from server.files.show_file import parse_show
from server.trouble import BadInput

SHOWS: Final = Path(__file__).resolve().parents[2] / "fixtures" / "shows"
TRUCK: Final[dict[str, Any]] = {
    "kind": "truck",
    "wheelbase": 248,
    "front_axle_to_bulkhead": 60,
    "empty_front": 7_000,
    "empty_rear": 6_000,
}
BALL: Final[dict[str, Any]] = {
    "kind": "ball",
    "ball_ahead_of_bulkhead": 45,
    "ball_to_axle": 130,
    "empty_tongue": 120,
    "empty_axle": 1_030,
}
KINGPIN: Final[dict[str, Any]] = {
    "kind": "kingpin",
    "kingpin_from_bulkhead": 36,
    "kingpin_to_axles": 480,
    "empty_kingpin": 4_000,
    "empty_axles": 9_000,
}
RAMP: Final = {"length": 144, "deck_height": 34}


def show(**vehicle: Any) -> dict[str, Any]:
    return {
        "format": "rowcall-show-1",
        "vehicles": [{"id": "T1", "width": 96, "length": 312, "height": 96, **vehicle}],
        "cases": [{"code": "A", "length": 45, "width": 30, "height": 30, "mass": 200}],
    }


# what cannot be → the vehicle's values, and the field that the refusal names
IMPOSSIBLE: Final[dict[str, tuple[dict[str, Any], str]]] = {
    "a ramp entered in feet": ({"ramp": {"length": 12, "deck_height": 34}}, "ramp.length"),
    "a ramp as long as its deck is high": (
        {"ramp": {"length": 34, "deck_height": 34}}, "ramp.length",
    ),
    "a ramp rated for a train": ({"ramp": {**RAMP, "rating": 1_000_000}}, "ramp.rating"),
    "a lift gate rated for a truck": (
        {"lift_gate": {"depth": 60, "width": 80, "rating": 33_000}}, "lift_gate.rating",
    ),
    "a strap of 100 t": ({"straps": {"count": 4, "wll": 220_462}}, "straps.wll"),
    "a door above the roof": ({"door_height": 97}, "door_height"),
    "a narrow stretch wider than the body": (
        {"narrow": [{"from": 0, "to": 20, "width": 100, "up_to": 10}]}, "narrow[0].width",
    ),
    "a track above the roof": ({"track": {"heights": [48, 97], "pitch": 5}}, "track.heights[1]"),
    "a payload of a ship": ({"payload": 250_000}, "payload"),
    "a payload over the gross limit": (
        {"payload": 30_000, "axles": {**TRUCK, "gross_limit": 26_000}}, "payload",
    ),
    "a payload over both axles": (
        {"payload": 30_000, "axles": {**TRUCK, "front_limit": 8_000, "rear_limit": 18_000}},
        "payload",
    ),
    "a front axle that is over empty": (
        {"axles": {**TRUCK, "front_limit": 6_900}}, "axles.empty_front",
    ),
    "a rear axle that is over empty": (
        {"axles": {**TRUCK, "rear_limit": 5_000}}, "axles.empty_rear",
    ),
    "an empty truck over its gross limit": (
        {"axles": {**TRUCK, "gross_limit": 12_000}}, "axles.gross_limit",
    ),
    "an empty tongue over its limit": (
        {"axles": {**BALL, "tongue_limit": 100}}, "axles.empty_tongue",
    ),
    "an empty trailer axle over its limit": (
        {"axles": {**BALL, "axle_limit": 1_000}}, "axles.empty_axle",
    ),
    "tongue shares the wrong way round": (
        {"axles": {**BALL, "tongue_share_min": 0.2}}, "axles.tongue_share_max",
    ),
    "an empty kingpin over its limit": (
        {"axles": {**KINGPIN, "kingpin_limit": 3_000}}, "axles.empty_kingpin",
    ),
    "empty trailer axles over their limit": (
        {"axles": {**KINGPIN, "axles_limit": 8_000}}, "axles.empty_axles",
    ),
    "a wheelbase in feet": ({"axles": {**TRUCK, "wheelbase": 19}}, "axles.wheelbase"),
    "a rear axle ahead of the bulkhead": (
        {"axles": {**TRUCK, "front_axle_to_bulkhead": 230, "wheelbase": 200}}, "axles.wheelbase",
    ),
    "a rear axle far behind the body": (
        {"axles": {**TRUCK, "wheelbase": 700}}, "axles.wheelbase",
    ),
    "a front axle behind the body": (
        {"axles": {**TRUCK, "front_axle_to_bulkhead": -320}}, "axles.front_axle_to_bulkhead",
    ),
    "a ball inside the body": (
        {"axles": {**BALL, "ball_ahead_of_bulkhead": -50}}, "axles.ball_ahead_of_bulkhead",
    ),
    "a kingpin behind the body": (
        {"axles": {**KINGPIN, "kingpin_from_bulkhead": 320}}, "axles.kingpin_from_bulkhead",
    ),
    "a truck without mass": ({"axles": {**TRUCK, "empty_front": 0}}, "axles.empty_front"),
    "a trailer whose axle carries nothing": (
        {"axles": {**BALL, "empty_axle": 0}}, "axles.empty_axle",
    ),
}  # fmt: skip


@pytest.mark.parametrize("what", IMPOSSIBLE)
def test_what_cannot_be_is_refused_by_the_name_of_its_field(what: str) -> None:
    vehicle, field = IMPOSSIBLE[what]
    with pytest.raises(BadInput) as refused:
        parse_show(show(**deepcopy(vehicle)))
    assert refused.value.place == f"show: vehicles[0].{field}"


@pytest.mark.parametrize(
    "vehicle",
    [
        {"ramp": {"length": 35, "deck_height": 34}},
        {"ramp": {"length": 60, "deck_height": 0}},
        {"door_height": 96},
        {"payload": 10_000, "axles": {**TRUCK, "gross_limit": 26_000, "front_limit": 7_000}},
        {"straps": {"count": 4, "wll": 15_000}},
        {"axles": {**KINGPIN, "kingpin_limit": 12_000, "axles_limit": 34_000}, "payload": 46_000},
    ],
)
def test_what_is_merely_odd_is_read(vehicle: dict[str, Any]) -> None:
    assert parse_show(show(**vehicle)).vehicles[0].id == "T1"


def test_the_show_with_a_ramp_of_twelve_inches_is_refused() -> None:
    document = json.loads((SHOWS / "ramp-shorter-than-deck.json").read_text())
    with pytest.raises(BadInput, match=r"ramp\.length: expected more than the deck is high"):
        parse_show(document)
