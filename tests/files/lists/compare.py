"""Compare a proposal with what is true of its list."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Found:
    """`wrong`: (code, cell, truth, got); `silent`: those of them that nobody is asked about."""

    cells: int
    wrong: list[tuple[str, str, object, object]]
    silent: list[tuple[str, str, object, object]]
    asked: set[str]


def compare(got: dict[str, Any], truth: dict[str, Any]) -> Found:
    asked = {one["code"] for one in got["ask"] if one["code"]}
    cases: dict[str, dict[str, Any]] = {}
    for case in got["cases"]:
        cases.setdefault(case["code"], case)
    wrong = []
    for code, cells in truth["cases"].items():
        for name, value in cells.items():
            mine = cases.get(code, {}).get(name, "no such case")
            if not _same(mine, value):
                wrong.append((code, name, value, mine))
    wrong += [(code, "code", None, code) for code in cases if code not in truth["cases"]]
    count = sum(len(cells) for cells in truth["cases"].values())
    return Found(count, wrong, [one for one in wrong if one[0] not in asked], asked)


def _same(mine: object, true: object) -> bool:
    """Return whether two cells say the same: numbers to the twentieth of a millimetre."""
    if isinstance(mine, int | float) and isinstance(true, int | float):
        return abs(mine - true) <= max(0.05, abs(true) * 2e-5)
    return mine == true
