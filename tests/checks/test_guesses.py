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
