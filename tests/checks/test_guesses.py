"""What a calculation would have to guess is asked for by name: nothing is kinder than said."""

from __future__ import annotations

from typing import Any, Final

import pytest

from server.checks.method import answer
from server.checks.topics import TOPICS
from server.commands.checks import read_questions
from server.trouble import BadInput

TOP_OVER: Final = {"method": "en_top_over", "mass_kg": 1000, "mu": 0.3, "STF_daN": 400}
NIOSH: Final = {"H_in": 10, "V_in": 22, "D_in": 37}
TRUCK: Final = {"wheelbase_in": 208, "mass_lb": 5000, "at_in": 179.8}

# topic, question, and the field that the refusal names
GUESSED: Final[list[tuple[str, dict[str, Any], str]]] = [
    ("straps", TOP_OVER, "direction"),
    ("straps", {**TOP_OVER, "c": 0.8}, "direction"),  # fs differs forward by the 2010 edition
    ("straps", {"method": "en_held", "mu": 0.3, "STF_daN": 400}, "direction"),
    ("straps", {"method": "en_blocking", "mass_kg": 1000, "mu": 0.3}, "direction"),
    ("straps", {"method": "en_direct", "mass_kg": 1000, "mu": 0.3, "LC_daN": 1000}, "direction"),
    ("straps", {"method": "en_tipping", "base_in": 24, "height_in": 48}, "direction"),
    ("straps", {"method": "en_acceleration", "mode": "tipping_top_over"}, "direction"),
    ("straps", {"method": "en_body_wall", "payload_kg": 10_000}, "wall"),
    ("straps", {"method": "us_criteria", "mass_lb": 2000, "direction": "forward"}, "at"),
    ("straps", {"method": "row", "mass_lb": 900, "depth_in": 30, "height_in": 60}, "blocked"),
    # percent for a share
    ("straps", {**TOP_OVER, "mu": 45, "direction": "forward"}, "mu"),
    ("straps", {**TOP_OVER, "c": 80, "direction": "forward"}, "c"),
    ("straps", {**TOP_OVER, "fs": 0.5, "direction": "forward"}, "fs"),
    ("straps", {**TOP_OVER, "k": 4, "direction": "forward"}, "k"),
    ("push", {"mass_kg": 200, "rolling": 2}, "rolling"),
    # one end of a lift, or half of it
    ("lift", {**NIOSH, "V_dest_in": 59}, "to_horizontal"),
    ("lift", {**NIOSH, "H_dest_in": 20}, "to_vertical"),
    ("lift", {**NIOSH, "to_asymmetry": 30}, "to_horizontal"),
    ("lift", {"method": "team", "mass_kg": 33, "from_height_m": 0}, "to_height"),
    ("lift", {"method": "team", "mass_kg": 33, "to_height_m": 1}, "from_height"),
    ("lift", {"method": "team", "people": 2}, "each"),
    # margins and shares of the gross mass without the empty vehicle
    ("axles", {**TRUCK, "rear_limit_lb": 9_000}, "empty_front"),
    ("axles", {**TRUCK, "empty_front_lb": 7_000}, "empty_rear"),
    ("axles", {"method": "ball", "span_in": 130, "mass_lb": 1650, "at_in": 113}, "empty_front"),
    ("axles", {"method": "body_centre", "body_in": 168, "offset_in": 72, "W_lb": 1}, "wheelbase"),
    (
        "axles",
        {"method": "centre", "loads": [{"mass_kg": 1, "along_m": 1, "up_m": 1},
                                       {"mass_kg": 1, "along_m": 2}]},
        "loads",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("topic", "asked", "field"), GUESSED)
def test_a_guess_is_refused_by_the_name_of_its_field(
    topic: str, asked: dict[str, Any], field: str
) -> None:
    with pytest.raises(BadInput) as refused:
        answer(TOPICS[topic], asked, topic)
    assert refused.value.place == f"{topic}.{field}"


@pytest.mark.parametrize("text", ['{"mass_lb": 900, "mass_lb": 9}', '[{"a": {"b": 1, "b": 2}}]'])
def test_a_repeated_key_is_refused(text: str) -> None:
    with pytest.raises(BadInput, match="this key once"):
        read_questions(text, "straps")


def test_what_the_edition_says_is_no_guess() -> None:
    asked = {**TOP_OVER, "edition": "2003", "c": 0.8}  # fs is 1.0 in every direction
    assert answer(TOPICS["straps"], asked, "straps")["value"] is not None
    forward = answer(TOPICS["straps"], {**TOP_OVER, "direction": "forward"}, "straps")
    given = answer(TOPICS["straps"], {**TOP_OVER, "c": 0.8, "fs": 1.25}, "straps")
    assert forward["value"] == given["value"] == 3


def test_both_ends_make_the_travel_of_a_lift() -> None:
    asked = {"H_in": 10, "V_in": 22, "H_dest_in": 20, "V_dest_in": 59}
    without = answer(TOPICS["lift"], asked, "lift")
    assert without == answer(TOPICS["lift"], {**asked, "D_in": 37}, "lift")
    assert (
        "counted as ideal: horizontal" in answer(TOPICS["lift"], {"V_in": 22}, "lift")["derivation"]
    )


# what contradicts itself, is a share for a percentage or is out of its table → the field named
CONTRADICTING: Final[tuple[tuple[str, dict[str, Any], str], ...]] = (
    (
        "lift",
        {"H_in": 10, "V_in": 10, "D_in": 10, "to_horizontal_in": 10, "to_vertical_in": 60},
        "lift.travel",
    ),
    (
        "lift",
        {"method": "niosh_composite", "first": 0.2, "steps": [[0.9, 0.5, 0.9]]},
        r"lift.steps\[0\].with_task",
    ),
    ("lift", {"method": "lm_mmh_capable", "RL_kg": 34.9, "CV": 25}, "lift.CV"),
    (
        "lift",
        {"method": "lm_mmh", "sex": "female", "H_m": 0.4, "VRM_m": 1, "DV_m": 5, "F": 1},
        "lift.travel",
    ),
    (
        "push",
        {
            "method": "lm_mmh",
            "task": "push_initial",
            "sex": "female",
            "V_m": 1,
            "DH_m": 2000,
            "F": 1,
        },
        "push.distance",
    ),
    ("push", {"method": "rolling", "D_in": 0.5, "d_in": 5, "f_in": 0.2}, "push.axle"),
    (
        "push",
        {"method": "rolling", "D_in": 5, "d_in": 1, "f_in": 0.2, "pair": "polymer on steel"},
        "push.pair",
    ),
    ("push", {"mass_lb": 420, "percent": 0.0833}, "push.percent"),
    ("ramp", {}, "ramp.deck_height"),
    ("ramp", {"method": "people", "mass_lb": 420}, "ramp.deck_height"),
    ("straps", {"mass_lb": 0, "length_ft": 2}, "straps.mass_lb"),
    (
        "straps",
        {"method": "en_tipping", "base_m": 0.6, "height_m": 1.2, "c": 0.6, "to_edge_m": 0.7},
        "straps.to_edge",
    ),
    (
        "straps",
        {"method": "en_tipping", "base_m": 0.6, "height_m": 1.2, "c": 0.6, "centre_height_m": 2},
        "straps.centre_height",
    ),
    (
        "straps",
        {
            "method": "en_direct",
            "mass_kg": 9,
            "friction": 0.3,
            "LC_daN": 9,
            "c": 0.8,
            "angle_deg": -40,
        },
        "straps.angle_deg",
    ),
    ("straps", {"method": "us_default", "size": "2 in", "grade": "70"}, "straps.grade"),
    (
        "straps",
        {
            "method": "wll_from_breaking",
            "breaking_lb": 9,
            "parts": [{"name": "a", "breaking_lb": 3}],
        },
        "straps.breaking",
    ),
    (
        "axles",
        {
            "method": "slider",
            "steer_lb": 1,
            "drives_lb": 700,
            "trailer_lb": 900,
            "holes": 3,
            "per_hole_lb": 400,
        },
        "axles.holes",
    ),
)


@pytest.mark.parametrize(("topic", "asked", "place"), CONTRADICTING)
def test_what_contradicts_itself_is_refused_by_its_field(
    topic: str, asked: dict[str, Any], place: str
) -> None:
    with pytest.raises(BadInput, match=f"^{place}: expected"):
        answer(TOPICS[topic], asked, topic)


def test_what_is_assumed_stands_in_the_answer() -> None:
    told = answer(TOPICS["push"], {"mass_lb": 420}, "push")
    assert told["assumed"] == {"rolling": 0.02, "wet": False, "hands": "mixed"}
    told = answer(TOPICS["push"], {"mass_lb": 420, "hands": "men", "wet": True}, "push")
    assert told["assumed"] == {"rolling": 0.02}
    told = answer(TOPICS["lift"], {"mass_lb": 30}, "lift")
    assert told["details"]["band"].startswith("at best: ")
    assert told["assumed"]["duration"] == "short"


def test_cases_wider_than_the_room_are_no_slack() -> None:
    asked = {"method": "slack", "width_in": 90, "cases": [50, 50], "units": {"length": "in"}}
    told = answer(TOPICS["straps"], asked, "straps")
    assert "they do not fit" in told["derivation"]
    assert told["details"]["fits"] is False


def test_a_support_below_zero_and_a_light_front_axle_are_said() -> None:
    whole: dict[str, Any] = {"empty_front_lb": 3000, "empty_rear_lb": 3000}
    whole |= {"wheelbase_in": 208, "units": {"mass": "lb", "length": "in"}}
    lifted = answer(TOPICS["axles"], {**whole, "loads": [[9000, 300]]}, "axles")
    # 9,000 lb x (208 - 300) / 208 = -3,981 lb off a front axle of 3,000 lb
    assert "front below zero: lifted off" in lifted["derivation"]
    light = answer(TOPICS["axles"], {**whole, "loads": [[9000, 230]]}, "axles")
    assert light["details"]["front_percent"] == pytest.approx(100 * 2048.08 / 15000, rel=1e-4)
    assert "under the 20% that steer" in light["derivation"]


def test_a_load_of_just_the_rating_is_within_it() -> None:
    for unit in ("lb", "kg"):
        asked = {"method": "load", f"mass_{unit}": 420, "people": 0, f"rating_{unit}": 420}
        assert answer(TOPICS["ramp"], asked, "ramp")["value"] is True
