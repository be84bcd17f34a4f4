"""Whatever is asked, a method answers in JSON or complains by name; it never breaks."""

from __future__ import annotations

import json
from contextlib import suppress
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.checks.fields import Field
from server.checks.method import Method, answer
from server.checks.topics import TOPICS
from server.trouble import BadInput

pytestmark = pytest.mark.slow

METHODS = [(topic, method) for topic, methods in TOPICS.items() for method in methods]
UNITS = {"mass": "kg", "length": "m", "force": "kN", "angle": "deg"}
NUMBERS = st.one_of(
    st.floats(allow_nan=False),
    st.floats(-5, 5000),
    st.integers(-3, 3000),
    st.sampled_from([0, -1, 10**400, 1e-300, 1e308, 1e12, 1e-9]),
)


def value(one: Field) -> st.SearchStrategy[Any]:
    """Return values for a field, mostly of its kind."""
    match one.kind:
        case "flag":
            return st.booleans()
        case "choice":
            return st.sampled_from([*one.choices, "nothing known"])
        case "text":
            return st.sampled_from(["1:12", "2 in", "3/8 in", "70", "plywood", "", "x:y", "0:0"])
        case "list":
            return st.lists(value(one.items[0]), max_size=4)
        case "rows":
            return st.lists(question(one.items), max_size=4)
    return NUMBERS


def question(fields: tuple[Field, ...]) -> st.SearchStrategy[dict[str, Any]]:
    """Return questions with the required fields and some of the others."""
    needed = {one.name: value(one) for one in fields if one.required}
    free = {one.name: value(one) for one in fields if not one.required}
    return st.fixed_dictionaries(needed, optional=free)


@pytest.mark.parametrize(("topic", "method"), METHODS, ids=lambda one: getattr(one, "name", one))
@settings(max_examples=60)
@given(data=st.data())
def test_a_method_answers_or_complains(topic: str, method: Method, data: st.DataObject) -> None:
    asked = data.draw(question(method.fields))
    with suppress(BadInput):
        told = answer(TOPICS[topic], {"method": method.name, "units": UNITS, **asked}, topic)
        json.dumps(told, allow_nan=False)
