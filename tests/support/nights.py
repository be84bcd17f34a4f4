"""Nights that both folds read: fixtures/nights, and what of them both suites hold to be so."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

from server.core.night.events import Arrival, Event, read_event

FOLDER: Final = Path(__file__).resolve().parents[2] / "fixtures" / "nights"

Document = dict[str, Any]


def bundle_document(name: str) -> Document:
    """Return a bundle as the server would send it."""
    found: Document = json.loads((FOLDER / "bundles" / f"{name}.json").read_text(encoding="utf-8"))
    return found


def nights() -> dict[str, Document]:
    """Return every night by name."""
    return {
        file.stem: json.loads(file.read_text(encoding="utf-8"))
        for file in sorted(FOLDER.glob("*.json"))
    }


def events_of(night: Document) -> list[Event]:
    """Return the events of a night; `arrived`: of each id number and time at the server."""
    arrived = {name: Arrival(*one) for name, one in night.get("arrived", {}).items()}
    return [read_event(event, arrived=arrived.get(event["id"])) for event in night["events"]]


def differences(expected: Any, got: Any, place: str = "") -> Iterator[str]:
    """Yield where `got` is not as expected; objects may hold more keys, lists not more items."""
    if isinstance(expected, dict) and isinstance(got, dict):
        for key, value in expected.items():
            if key in got:
                yield from differences(value, got[key], f"{place}.{key}")
            else:
                yield f"{place}.{key}: expected {value!r}, got nothing"
    elif isinstance(expected, list) and isinstance(got, list):
        if len(expected) != len(got):
            yield f"{place}: expected {len(expected)} items, got {got!r}"
            return
        for index, (one, other) in enumerate(zip(expected, got, strict=True)):
            yield from differences(one, other, f"{place}.{index}")
    elif expected != got or isinstance(expected, bool) != isinstance(got, bool):
        yield f"{place}: expected {expected!r}, got {got!r}"
