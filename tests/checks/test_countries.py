"""Restraint by the published figures of other countries, asked through the command's methods."""

from __future__ import annotations

from typing import Any

import pytest

from server.checks.method import answer
from server.checks.topics import TOPICS
from server.trouble import BadInput


def straps(**asked: Any) -> Any:
    return answer(TOPICS["straps"], asked, "straps")


@pytest.mark.parametrize(
    ("country", "direction", "kgf"),
    [
        # Australian Load Restraint Guide, 2nd and 3rd ed.
        ("australia", "forward", 800),
        ("australia", "rearward", 500),
        ("australia", "sideways", 500),
        ("australia", "vertical", 200),
        # Canada NSC 10 as in Quebec r. 30 s. 3
        ("canada", "forward", 800),
        ("canada", "vertical", 200),
        # UK DfT code of practice, 3rd ed. 2002, 2.5
        ("uk", "forward", 1000),
        ("uk", "rearward", 500),
        ("uk", "sideways", 500),
        ("uk", "vertical", None),
    ],
)
def test_a_tonne_is_held_as_each_country_prints_it(
    country: str, direction: str, kgf: float | None
) -> None:
    told = straps(method="restraint", mass_kg=1000, country=country, direction=direction)
    assert told["value"] == kgf
    assert told["source"]


@pytest.mark.parametrize(
    ("metres", "kilograms", "blocked", "count"),
    [
        (3.65, 600, False, 3),  # printed: 3.65 m, 600 kg, not blocked
        (1.52, 500, False, 1),
        (1.52, 501, False, 2),
        (1.53, 400, False, 2),
        (3.04, 400, False, 2),
        (3.05, 400, True, 2),
        (1.0, 9000, True, 1),
    ],
)
def test_tiedowns_by_the_canadian_standard(
    metres: float, kilograms: float, *, blocked: bool, count: int
) -> None:
    told = straps(method="ca_number", length_m=metres, mass_kg=kilograms, blocked=blocked)
    assert told["value"] == count
    assert told["details"]["aggregate_min_kg"] == kilograms / 2


def test_country_and_direction_are_never_guessed() -> None:
    for lacking in ({"country": "uk"}, {"direction": "forward"}):
        with pytest.raises(BadInput):
            straps(method="restraint", mass_kg=1000, **lacking)
