"""A method: one calculation of a topic, with its fields, an example and what it answers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from server.checks.fields import UNITS, Field, Given
from server.checks.reading import read
from server.core.base.figure import CAUTIONS, Figure, Value
from server.trouble import BadInput


@dataclass(frozen=True, slots=True)
class Method:
    """A calculation by name; `example` is a question that it answers."""

    name: str
    title: str
    fields: tuple[Field, ...]
    work: Callable[[Given], Figure]
    example: Mapping[str, Any]


Topic = tuple[Method, ...]  # the first is the default


def answer(topic: Topic, raw: Any, place: str) -> dict[str, Any]:
    """Return the answer to one question as a JSON object; BadInput names what is wrong."""
    method = _method(topic, raw, place)
    given = read(raw, method.fields, place, {})
    figure = method.work(given)
    return {
        "method": method.name,
        "value": plain(figure.value),
        "unit": figure.unit,
        "source": figure.source,
        "derivation": figure.derivation,
        "caution": CAUTIONS[figure.caution],
        "details": {name: plain(value) for name, value in figure.details},
        "assumed": assumed(method, given),
    }


def assumed(method: Method, given: Given) -> dict[str, Any]:
    """Return every default that the answer counts because the question does not state it."""
    return {
        one.name: f"{one.default} {one.unit}" if one.unit else one.default
        for one in method.fields
        if one.default is not None and one.name not in given.stated
    }


def _method(topic: Topic, raw: Any, place: str) -> Method:
    if not isinstance(raw, dict):
        raise BadInput(place, "an object", repr(raw)[:80])
    name = raw.get("method", topic[0].name)
    for method in topic:
        if method.name == name:
            return method
    raise BadInput(f"{place}.method", f"one of {', '.join(m.name for m in topic)}", repr(name)[:80])


def plain(value: Value) -> Any:
    """Return a value as JSON has it; floats without their binary tail, no infinity."""
    if isinstance(value, tuple):
        return [plain(one) for one in value]
    if isinstance(value, float):
        return None if value in {float("inf"), float("-inf")} else round(value, 6)
    return value


NOTE: Final = (
    "One object or a list of objects. A number carries its unit in its name (mass_lb, length_m), "
    'or comes without (mass) beside {"units": {"mass": "lb"}}. A key of null counts as absent. '
    "The answer names its `unit`: that of the question wherever the method computes in it."
)


def schema(topic_name: str, topic: Topic) -> dict[str, Any]:
    """Return what a topic takes and answers, for people and machines."""
    return {
        "topic": topic_name,
        "note": NOTE,
        "units": {kind: sorted(units) for kind, units in UNITS.items()},
        "default_method": topic[0].name,
        "methods": {
            method.name: {
                "title": method.title,
                "fields": {one.name: describe(one) for one in method.fields},
                "example": dict(method.example),
            }
            for method in topic
        },
        "answer": {
            "method": "the method used",
            "value": "the result; null where there is none, with the reason in `derivation`",
            "unit": "its unit",
            "source": "standard and clause",
            "derivation": "how it comes about, in one sentence",
            "caution": "what it does not decide",
            "details": "parts of the sum by name",
            "assumed": "defaults counted for fields that the question does not state",
        },
    }


def describe(one: Field) -> dict[str, Any]:
    """Return one field for the schema."""
    told: dict[str, Any] = {"kind": one.kind, "help": one.help, "required": one.required}
    told["keys"] = list(one.keys())
    if one.default is not None:
        told["default"] = f"{one.default} {one.unit}".strip() if one.unit else one.default
    if one.choices:
        told["choices"] = list(one.choices)
    for bound in ("least", "most", "above"):
        if getattr(one, bound) is not None:
            told[bound] = getattr(one, bound)
    if one.items:
        told["items"] = {item.name: describe(item) for item in one.items}
    return told
