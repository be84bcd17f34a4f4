"""Show files: read whole, refused with the place of the fault, never guessed."""

from __future__ import annotations

import json
from copy import deepcopy
from typing import TYPE_CHECKING, Any

import pytest

from server.core.shop.vehicle import LiftGate, Track
from server.files.show_file import parse_show, read_show
from server.trouble import BadInput

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

SMALL: dict[str, Any] = {
    "format": "rowcall-show-1",
    "vehicles": [{"id": "T1", "width": 96, "length": 312, "height": 96}],
    "cases": [{"code": "PW-031-7", "length": 45, "width": 22.5, "height": 30}],
}


def test_only_the_sides_are_required() -> None:
    show = parse_show(SMALL)
    case = show.cases[0]
    assert (case.length_um, case.width_um, case.height_um) == (1_143_000, 571_500, 762_000)
    assert (case.drop, case.turn, case.stances, case.lid_load_g) == (1, True, ("upright",), None)
    assert show.vehicles[0].passing_height_um == show.vehicles[0].height_um


def test_absent_limits_are_house_defaults_and_null_is_none() -> None:
    assert parse_show(SMALL).rules.lift_top_um == 60 * 25_400
    free = {**SMALL, "rules": {"lift_top": None, "rider_mass": None, "slack_limit": None}}
    rules = parse_show(free).rules
    assert (rules.lift_top_um, rules.rider_mass_g, rules.slack_limit_um) == (None, None, None)


def test_lift_gate_and_track_are_read_in_the_files_own_units() -> None:
    geared = deepcopy(SMALL)
    geared["units"] = {"length": "cm", "mass": "kg"}
    geared["vehicles"][0] |= {
        "lift_gate": {"depth": 90, "width": 200.5, "rating": 900},
        "track": {"heights": [90, 45, 45], "pitch": 5},
    }
    vehicle = parse_show(geared).vehicles[0]
    assert vehicle.lift_gate == LiftGate(900_000, 2_005_000, 900_000)
    assert vehicle.track == Track((450_000, 900_000), 50_000)
    assert parse_show(SMALL).vehicles[0].lift_gate is None


def test_a_quantity_gives_numbered_codes() -> None:
    many = deepcopy(SMALL)
    many["cases"][0]["quantity"] = 3
    assert [case.code for case in parse_show(many).cases] == [
        "PW-031-7#1",
        "PW-031-7#2",
        "PW-031-7#3",
    ]


@pytest.mark.parametrize(
    ("kind", "keys", "front", "rear"),
    [
        (
            "truck",
            {"wheelbase": 248, "front_axle_to_bulkhead": 60, "empty_front": 1, "empty_rear": 1},
            -60,
            188,
        ),
        (
            "kingpin",
            {
                "kingpin_from_bulkhead": 36,
                "kingpin_to_axles": 400,
                "empty_kingpin": 1,
                "empty_axles": 1,
            },
            36,
            436,
        ),
        (
            "ball",
            {"ball_ahead_of_bulkhead": 40, "ball_to_axle": 124, "empty_tongue": 1, "empty_axle": 1},
            -40,
            84,
        ),
    ],
)
def test_each_kind_of_axles_stands_where_the_file_says(
    kind: str, keys: dict[str, float], front: int, rear: int
) -> None:
    document = deepcopy(SMALL)
    document["vehicles"][0]["axles"] = {"kind": kind, **keys}
    axles = parse_show(document).vehicles[0].axles
    assert axles is not None
    assert (axles.front_at_um, axles.rear_at_um) == (front * 25_400, rear * 25_400)


def _case(**keys: object) -> Callable[[dict[str, Any]], None]:
    return lambda document: document["cases"][0].update(keys)


def _vehicle(**keys: object) -> Callable[[dict[str, Any]], None]:
    return lambda document: document["vehicles"][0].update(keys)


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (_case(length=-1), "cases[0].length: expected a number above 0"),
        (_case(height=0), "cases[0].height: expected a number above 0"),
        (_case(lenght=45), "cases[0].lenght: expected no key of this name"),
        (_case(length="45"), "cases[0].length: expected a number"),
        (_case(mass=-5), "cases[0].mass: expected a number of at least 0"),
        (_case(drop=0), "cases[0].drop: expected a number of at least 1"),
        (_case(stances=[]), "cases[0].stances: expected at least 1"),
        (_case(stances=["upside"]), "cases[0].stances[0]: expected 'upright'"),
        (_case(vehicle="T9"), "expected a vehicle of this show (T1), got T9"),
        (_vehicle(width=float("nan")), "vehicles[0].width: expected"),
        (_vehicle(lift_gate={"depth": 48}), "vehicles[0].lift_gate.width: expected a value here"),
        (_vehicle(track={"heights": [], "pitch": 2}), "vehicles[0].track.heights: expected at"),
        (_vehicle(track={"heights": [-1], "pitch": 2}), "vehicles[0].track.heights[0]: expected"),
        (_vehicle(lift_gate={"depth": 1, "width": 1, "wide": 1}), "lift_gate.wide: expected no"),
        (_vehicle(axles={"kind": "sledge"}), "vehicles[0].axles: expected kind 'truck'"),
        (lambda d: d["cases"].append(d["cases"][0]), "every case once, got PW-031-7"),
        (lambda d: d["vehicles"].append(d["vehicles"][0]), "every vehicle once, got T1"),
        (lambda d: d.pop("vehicles"), "vehicles: expected a value here, got nothing"),
        (lambda d: d.update(format="rowcall-show-9"), "format: expected 'rowcall-show-1'"),
    ],
)
def test_a_bad_value_is_refused_by_place(
    spoil: Callable[[dict[str, Any]], None], words: str
) -> None:
    document = deepcopy(SMALL)
    spoil(document)
    with pytest.raises(BadInput) as refused:
        parse_show(document, "night.json")
    assert str(refused.value).startswith("night.json")
    assert words in str(refused.value)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"{", "line 1, column 2: expected JSON"),
        (b"\xff{}", "expected UTF-8 text"),
        (b"[" * 100_000, "expected JSON"),
        (b"[]", "expected an object"),
    ],
)
def test_a_file_that_is_no_show_is_refused(tmp_path: Path, content: bytes, words: str) -> None:
    file = tmp_path / "night.json"
    file.write_bytes(content)
    with pytest.raises(BadInput, match=r"night\.json") as refused:
        read_show(file)
    assert words in str(refused.value)


def test_a_file_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="expected a file that can be read"):
        read_show(tmp_path / "nowhere.json")


def test_a_written_show_reads_the_same(tmp_path: Path) -> None:
    file = tmp_path / "night.json"
    file.write_text(json.dumps(SMALL))
    assert read_show(file) == parse_show(SMALL)


DETAILS: dict[str, Any] = {
    "date": "2027-04-18",
    "load_day": "2027-04-17",
    "return_day": "2027-04-19",
    "drops": {"1": "power first", "2": "backline"},
    "venue": {
        "name": "Old mill",
        "dock_height": 44,
        "ramp_length": 140,
        "slope": 8.3,
        "floor": "rough",
        "distance": 1200,
        "notes": "Gate 3, call the porter.",
    },
}


def test_names_of_drops_days_and_venue_are_read() -> None:
    nice = [{**SMALL["cases"][0], "priority": "nice"}]
    show = parse_show({**SMALL, **DETAILS, "cases": nice})
    details = show.details
    assert details.drop_names == ((1, "power first"), (2, "backline"))
    assert details.drop_name(1) == "power first" and details.drop_name(3) == ""
    assert details.span(show.date) == ("2027-04-17", "2027-04-19")
    venue = details.venue
    assert venue is not None and venue.dock_height_um == 44 * 25_400
    assert (venue.slope_percent, venue.floor) == (8.3, "rough")
    assert show.cases[0].priority == "nice"
    assert parse_show(SMALL).cases[0].priority == "must"


@pytest.mark.parametrize(
    ("change", "place"),
    [
        ({"load_day": "2027-02-30"}, "load_day"),
        ({"load_day": "tomorrow"}, "load_day"),
        ({"load_day": "2027-04-19"}, "load_day"),
        ({"return_day": "2027-04-17"}, "return_day"),
        ({"return_day": "2031-04-17"}, "return_day"),
        ({"date": ""}, "date"),
        ({"date": "spring"}, "date"),
        ({"drops": {"0": "x"}}, "drops"),
        ({"drops": {"one": "x"}}, "drops"),
        ({"drops": {"1": ""}}, "drops.1"),
        ({"drops": {"1": "a" * 41}}, "drops.1"),
        ({"drops": {"1": "Power", "2": "power "}}, "drops.2"),
        ({"drops": ["power"]}, "drops"),
        ({"venue": {"dock": 40}}, "venue.dock"),
        ({"venue": {"dock_height": -1}}, "venue.dock_height"),
        ({"venue": {"dock_height": 440}}, "venue.dock_height"),
        ({"venue": {"dock_height": 44, "ramp_length": 40}}, "venue.ramp_length"),
        ({"venue": {"slope": 120}}, "venue.slope"),
        ({"venue": {"slope": float("nan")}}, "venue.slope"),
        ({"venue": {"floor": "ice"}}, "venue.floor"),
        ({"venue": {"distance": 9e8}}, "venue.distance"),
        ({"venue": "Old mill"}, "venue"),
    ],
)
def test_details_that_cannot_be_are_refused_by_name(change: dict[str, Any], place: str) -> None:
    with pytest.raises(BadInput, match=place.replace(".", r"\.")):
        parse_show({**SMALL, **DETAILS, **change})
