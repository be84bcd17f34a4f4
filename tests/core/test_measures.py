"""Lengths and masses as people write them; the client reads the same vectors."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from server.core.base.measures import (
    Amount,
    grams,
    millimetres,
    read_length,
    read_mass,
)

VECTORS = json.loads(
    (Path(__file__).parents[2] / "fixtures/measures/vectors.json").read_text("utf-8")
)


@pytest.mark.parametrize(("text", "unit", "expected"), VECTORS["lengths"])
def test_a_length_is_read_as_written_or_refused_with_a_reason(
    text: str, unit: str, expected: int | str
) -> None:
    read = read_length(text, unit)
    got = round(millimetres(read, unit) * 1000) if isinstance(read, Amount) else read.reason
    assert got == expected


@pytest.mark.parametrize(("text", "unit", "expected"), VECTORS["masses"])
def test_a_mass_is_read_as_written_or_refused_with_a_reason(
    text: str, unit: str, expected: int | str
) -> None:
    read = read_mass(text, unit)
    got = round(grams(read, unit)) if isinstance(read, Amount) else read.reason
    assert got == expected


def test_a_refusal_names_what_was_probably_meant() -> None:
    typo, about = read_length("4O", "in"), read_mass("~120 kg", "kg")
    assert not isinstance(typo, Amount) and typo.hint == "40"
    assert not isinstance(about, Amount) and about.hint == "120 kg"
