"""Every published row that the calculations cover, and why the others are left out.

The rows stand in tests/core/published, each with source and clause beside its figure. Of the rows
that others collected (fixtures/checks/published-figures.json) none may be forgotten.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Final

import pytest

from tests.core.published import (
    also_seen,
    axles,
    en,
    en_forces,
    en_tables,
    mmh,
    niosh,
    niosh_parts,
    push,
    ramp,
    team,
    us,
)
from tests.core.published.row import Row, agrees

OUTSIDE: Final = Path(__file__).parents[2] / "fixtures/checks/published-figures.json"

ROWS: Final[tuple[Row, ...]] = (
    *us.ROWS,
    *en.ROWS,
    *en_forces.ROWS,
    *en_tables.ROWS,
    *niosh.ROWS,
    *niosh_parts.ROWS,
    *team.ROWS,
    *push.ROWS,
    *ramp.ROWS,
    *mmh.ROWS,
    *axles.ROWS,
    *also_seen.ROWS,
)

LEFT_OUT: Final[dict[str, str]] = {
    **dict.fromkeys(
        ("T1-56", "T1-57", "T1-58", "T1-59"),
        "393.114 is from memory and no seen row states it; the code says so too",
    ),
    **dict.fromkeys(("T6-06",), "a measure of hardware (slot pitch); nothing is computed from it"),
    **dict.fromkeys(
        ("T6-07", "T6-08"), "label values of a common strap, from memory; the owner enters his own"
    ),
    **dict.fromkeys(
        ("T5-09", "T5-10", "T5-11"),
        "a road limit by itself, from memory; the plate of the vehicle decides in this app",
    ),
    **dict.fromkeys(
        ("T5-28", "T5-29", "T5-30", "T5-31", "T5-32"),
        "masses of the directive from memory, no seen row; shown as reference and marked so",
    ),
    **dict.fromkeys(
        (
            "T8-01",
            "T8-02",
            "T8-04",
            "T8-05",
            "T8-06",
            "T8-07",
            "T8-08",
            "T8-09",
            "T8-10",
            "T8-11",
            "T8-12",
        ),
        "a fraction or volume of a truck, no calculation of safety: see the fit table",
    ),
    **dict.fromkeys(
        ("T8-14", "T8-20"), "a size of vehicles on the market; the owner enters his own"
    ),
    **dict.fromkeys(
        ("T8-16", "T8-17", "T8-18"), "loading metres are a price unit, not computed here"
    ),
}


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_a_calculation_gives_what_its_source_prints(row: Row) -> None:
    got = row.got()
    assert agrees(got, row.printed, row.tolerance), f"{row}: got {got}, printed {row.printed}"


def test_at_least_two_hundred_rows_are_checked() -> None:
    assert len(ROWS) >= 200
    assert len({row.id for row in ROWS}) == len(ROWS)


def test_a_row_from_memory_never_stands_alone() -> None:
    seen = {row.formula for row in ROWS if row.evidence in {"seen", "mixed"}}
    alone = [row.id for row in ROWS if row.evidence not in {"seen", "mixed"}]
    assert [row for row in ROWS if row.id in alone and row.formula not in seen] == []


def test_every_row_names_its_source() -> None:
    assert [row.id for row in ROWS if not row.source] == []


def test_every_outside_row_is_checked_or_left_out_with_a_reason() -> None:
    outside = json.loads(OUTSIDE.read_text("utf-8"))
    ours = {row.id: row for row in ROWS}
    forgotten = [row["id"] for row in outside if row["id"] not in {*ours, *LEFT_OUT}]
    assert forgotten == []
    wrong = [row["id"] for row in outside if row["id"] in ours and _differs(row, ours[row["id"]])]
    assert wrong == []


def _differs(outside: dict[str, object], ours: Row) -> bool:
    """Return whether our copy of a row prints another figure or claims better evidence."""
    if outside["evidence"] != ours.evidence:
        return True
    numbers = set(_numbers(outside["expected"]))
    return not numbers <= set(_numbers(ours.printed))


def _numbers(value: object) -> list[float]:
    if isinstance(value, bool) or value is None:
        return []
    if isinstance(value, (int, float)):
        return [float(value)]
    if isinstance(value, dict):
        return [one for part in value.values() for one in _numbers(part)]
    if isinstance(value, (list, tuple)):
        return [one for part in value for one in _numbers(part)]
    return []
