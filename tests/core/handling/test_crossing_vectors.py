"""People on a ramp as the phone counts them too: pwa/tests/hands.test.ts reads the same file."""

from __future__ import annotations

import json
from itertools import product
from pathlib import Path
from typing import Any, Final

from server.core.handling.push import Hands, PushTask, spotters
from server.core.handling.ramp import Crossing, judge_crossing
from server.core.handling.rolling import ROLLING
from server.core.handling.slope import FLAT, STEEPEST, Slope

FILE: Final = Path(__file__).resolve().parents[3] / "fixtures" / "handling" / "crossings.json"
MASSES: Final = (0, 45_359, 45_360, 190_509, 294_836)
WAYS: Final = ((0, 1), (1, 13), (34, 144), (9, 20), (1, 2), (34, 12))
KEYS: Final = (
    "mass_g", "rise", "length", "floor", "surface", "hands", "rating_g",
    "people", "spotters", "may_go",
)  # fmt: skip
CREWS: Final[tuple[Hands, ...]] = ("men", "mixed")


def slope(rise: float, length: float) -> Slope:
    if not rise:
        return FLAT
    return STEEPEST if rise >= length else Slope(rise, length)


def vectors() -> list[list[Any]]:
    """Return one row a crossing, its keys as in KEYS."""
    found = []
    grid = product(MASSES, WAYS, tuple(ROLLING), ("dry", "wet", "ice"), CREWS, (None, 453_592))
    for mass, (rise, length), floor, surface, hands, rating in grid:
        way = slope(rise, length)
        task = PushTask(mass, way, ROLLING[floor], surface == "wet", hands, surface == "ice")
        verdict = judge_crossing(Crossing(task, None, rating))
        people, spotter = verdict.figure.value, spotters(way)
        found.append(
            [mass, rise, length, floor, surface, hands, rating, people, spotter, verdict.may_go]
        )
    return found


def written() -> str:
    lines = ",\n".join(json.dumps(one) for one in [KEYS, *vectors()])
    return f"[\n{lines}\n]\n"


def test_the_vectors_are_what_the_server_counts() -> None:
    assert FILE.read_text(encoding="utf-8") == written()


def test_wet_is_counted_by_slope_and_never_by_one_more() -> None:
    """420 lb on 1 in 2: feet hold nothing when wet; on 9 in 20, eleven and more, so no."""
    found = {
        (*row[1:3], row[4]): row[7]
        for row in vectors()
        if (row[0], row[3], row[5], row[6]) == (190_509, "good", "men", None)
    }
    assert [found[34, 144, surface] for surface in ("dry", "wet", "ice")] == [5, 5, None]
    assert [found[1, 2, surface] for surface in ("dry", "wet", "ice")] == [10, None, None]
