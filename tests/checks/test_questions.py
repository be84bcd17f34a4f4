"""The question language: units, defaults, named complaints; every method answers its example."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.checks.fields import UNITS, Quantity
from server.checks.method import Method, answer, schema
from server.checks.topics import TOPICS
from server.trouble import BadInput

METHODS = [(topic, method) for topic, methods in TOPICS.items() for method in methods]


@pytest.mark.parametrize(("topic", "method"), METHODS, ids=lambda one: getattr(one, "name", one))
def test_every_method_answers_its_own_example(topic: str, method: Method) -> None:
    told = answer(TOPICS[topic], {"method": method.name, **method.example}, topic)
    assert told["method"] == method.name
    assert told["value"] is not None
    assert told["source"]
    assert told["derivation"]
    assert "decide" in told["caution"]
    json.dumps(told, allow_nan=False)


@pytest.mark.parametrize(("topic", "method"), METHODS, ids=lambda one: getattr(one, "name", one))
def test_no_two_fields_of_a_method_share_a_key(topic: str, method: Method) -> None:
    keys = [key for one in method.fields for key in one.keys()]  # noqa: SIM118 a method
    assert len(keys) == len(set(keys))
    assert set(method.example) <= {*keys, "units"}


@pytest.mark.parametrize("topic", TOPICS)
def test_the_schema_documents_every_field_and_gives_an_example(topic: str) -> None:
    told = schema(topic, TOPICS[topic])
    assert told["default_method"] == TOPICS[topic][0].name
    for method in TOPICS[topic]:
        shown = told["methods"][method.name]
        assert set(shown["fields"]) == {one.name for one in method.fields}
        assert all(one["help"] for one in shown["fields"].values())
    json.dumps(told)


def straps(**asked: Any) -> Any:
    return answer(TOPICS["straps"], asked, "straps")


@pytest.mark.parametrize(
    ("asked", "message"),
    [
        ({"length_ft": 5}, "straps.mass: expected mass of the article or row"),
        ({"length_ft": 5, "mass": 3}, "straps.mass: expected its unit in the name"),
        ({"length_ft": 0, "mass_lb": 3}, "straps.length_ft: expected a number above 0, got 0"),
        ({"length_ft": 5, "mass_lb": -1}, "straps.mass_lb: expected a number above 0"),
        ({"length_ft": "5", "mass_lb": 1}, "straps.length_ft: expected a number, got 5"),
        ({"length_ft": True, "mass_lb": 1}, "straps.length_ft: expected a number, got True"),
        ({"lenght_ft": 5, "mass_lb": 1}, "straps.lenght_ft: .*did you mean length_ft"),
        ({"length_ft": 5, "length_m": 2, "mass_lb": 1}, "straps.length_m: expected length once"),
        ({"length_ft": 5, "mass_lb": 1, "blocked": "no"}, "straps.blocked: expected true or false"),
        ({"method": "guess"}, "straps.method: expected one of us_number"),
        ({"units": {"mass": "stone"}}, "straps.units.mass: expected one of lb, kg, g, t"),
        ({"units": {"colour": "red"}}, "straps.units.colour: expected one of mass"),
        ({"units": 3}, "straps.units: expected an object"),
        ({"method": "us_aggregate", "tiedowns": []}, "straps.tiedowns: expected a list with at"),
        (
            {"method": "us_aggregate", "tiedowns": [{"count": 1.5, "wll_lb": 1}]},
            r"straps.tiedowns\[0\].count: expected a whole number",
        ),
        (
            {"method": "us_aggregate", "tiedowns": [[1, 2, "over", 4]], "units": {"mass": "lb"}},
            r"straps.tiedowns\[0\]: expected at most 3 entries",
        ),
        ({"method": "us_default", "size": "9 in"}, "straps.size: expected a size of the table"),
        ({"method": "us_default", "size": 9}, "straps.size: expected a text"),
        ({"method": "us_default", "kind": "chain", "size": "3/8 in"}, "straps.grade: expected"),
        (
            {"method": "en_friction", "cargo": "ice", "floor": "ice"},
            "straps.cargo: expected a pair",
        ),
        ({"method": "wll_from_breaking"}, "straps.breaking: expected a breaking strength"),
    ],
)
def test_bad_input_names_the_field_and_what_it_wants(asked: dict[str, Any], message: str) -> None:
    with pytest.raises(BadInput, match=message):
        straps(**asked)


@pytest.mark.parametrize(
    ("topic", "asked", "message"),
    [
        ("ramp", {"deck_in": 36}, "ramp.ramp_length: expected deck_height and ramp_length"),
        ("ramp", {"deck_in": 36, "ramp_in": 30}, "ramp.ramp_length: expected a ramp longer"),
        ("ramp", {"deg": 5, "percent": 8}, "ramp.angle: expected one way of saying the slope"),
        ("ramp", {"slope": "steep"}, "ramp.slope: expected a text like 1:12"),
        ("push", {"method": "population", "hand_height_in": 20}, "push.hand_height: expected 32"),
        ("push", {"method": "rolling", "D_in": 5, "d_in": 1}, "push.lever: expected a lever arm"),
        ("push", {"method": "lm_mmh", "sex": "men", "F": 1, "V_m": 1}, "push.distance: expected"),
        ("lift", {"method": "team"}, "lift.people: expected people"),
        ("lift", {"method": "niosh_composite"}, "lift.tasks: expected tasks, or first and steps"),
        ("axles", {"wb_in": 200}, "axles.loads: expected loads, or mass and at"),
        ("axles", {"wb_in": 200, "mass_lb": 5}, "axles.at: expected its place"),
    ],
)
def test_every_topic_complains_by_name(topic: str, asked: dict[str, Any], message: str) -> None:
    with pytest.raises(BadInput, match=message):
        answer(TOPICS[topic], asked, topic)


def test_a_question_that_is_no_object_is_refused() -> None:
    with pytest.raises(BadInput, match="straps: expected an object"):
        answer(TOPICS["straps"], [1], "straps")


@given(
    st.sampled_from(sorted((kind, unit) for kind, units in UNITS.items() for unit in units)),
    st.floats(-1e9, 1e9, allow_nan=False),
)
def test_units_round_trip(kind_and_unit: tuple[str, str], value: float) -> None:
    kind, unit = kind_and_unit
    for other in UNITS[kind]:
        there = Quantity(value, unit, kind).to(other)
        back = Quantity(there, other, kind).to(unit)
        assert back == pytest.approx(value, rel=1e-12, abs=1e-300)


def test_us_and_metric_questions_come_to_one_answer() -> None:
    us = straps(length_ft=10.5, mass_lb=9000, blocked=True)
    metric = straps(length_m=3.2004, mass_kg=4082.33133, blocked=True)
    assert us["value"] == metric["value"] == 2
    assert "lb" in us["derivation"]
    assert "kg" in metric["derivation"]


def test_what_is_asked_in_kilograms_is_answered_in_kilograms() -> None:
    told = straps(method="us_criteria", mass_kg=1000, direction="forward", at="wll")
    assert (told["value"], told["unit"]) == (435, "kg")


def test_a_ramp_that_refuses_says_why_and_what_else() -> None:
    asked = {"method": "people", "mass_lb": 420, "deck_in": 34, "ramp_in": 200, "wet": True}
    told = answer(TOPICS["ramp"], {**asked, "hands_there": 3}, "ramp")
    assert told["details"]["may_go"] is False
    assert told["details"]["reasons"]
    assert "wait for more hands" in told["details"]["ways_out"]
