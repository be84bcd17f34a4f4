"""Outside instances turned into show files: thpack (Bischoff & Ratcliff 1995), cgcut and ngcut.

The row optimum of each was measured apart from this project; the files and their origin stand in
`../shared/benchmarks` beside the checkout.
"""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

Type = tuple[int, int, int, int]
"""Two sides of the footprint, height, count."""

DATA = Path(__file__).resolve().parents[3] / "shared" / "benchmarks"


@dataclass(frozen=True)
class Known:
    """An instance as a show document and the proven shortest rows, in its own units."""

    name: str
    group: str
    show: dict[str, Any]
    best: float


def _show(name: str, vehicle: dict[str, Any], cases: list[dict[str, Any]]) -> dict[str, Any]:
    return {
        "format": "rowcall-show-1",
        "units": {"length": "cm", "mass": "kg"},
        "name": name,
        "rules": {"lift_top": None},
        "vehicles": [{"id": "V", **vehicle}],
        "cases": cases,
    }


def read_thpack(path: Path) -> list[tuple[tuple[int, int, int], list[Type]]]:
    """Return for each problem the container sides and its types as (d1, d2, d3, count)."""
    numbers = iter([int(word) for word in path.read_text().split()])
    problems = []
    for _ in range(next(numbers)):
        next(numbers), next(numbers)
        sides = (next(numbers), next(numbers), next(numbers))
        types = []
        for _ in range(next(numbers)):
            row = [next(numbers) for _ in range(8)]
            types.append((row[1], row[3], row[5], row[7]))
        problems.append((sides, types))
    return problems


def _thpack_case(code: str, one: Type, types: Sequence[Type], height: int) -> dict[str, Any]:
    """Return a type as cases that stack by themselves, as the list has them: with their own type.

    Of two types with one footprint, which the list does not mix and we would, the stacks come ready
    made: of the 140 instances that is BR7-15 alone, 849 with mixed stacks where the list has 873.
    """
    *sides, count = one
    alike = [other for other in types if sorted(other[:2]) == sorted(sides[:2])]
    high = height // sides[2] if len(alike) > 1 else 1
    return {
        "code": code,
        "length": sides[0],
        "width": sides[1],
        "height": sides[2] * high,
        "quantity": -(-count // high),
        "lid_casters": len(alike) == 1,
    }


def thpack() -> Iterator[Known]:
    """Yield every thpack instance whose row optimum is proven."""
    files: dict[str, list[Any]] = {}
    with (DATA / "thpack-rows.csv").open() as table:
        for row in csv.DictReader(table):
            if row["proven"] != "1" or row["variant"] != "stack":
                continue
            group = row["class"]
            if group not in files:
                files[group] = read_thpack(DATA / "thpack" / f"thpack{group}.txt")
            (_, width, height), types = files[group][int(row["instance"]) - 1]
            cases = [
                _thpack_case(f"K{index + 1}", one, types, height) for index, one in enumerate(types)
            ]
            name = f"BR{group}-{row['instance']}"
            room = {"width": width, "length": 10_000, "height": height}
            yield Known(name, f"BR{group}", _show(name, room, cases), float(row["best_length"]))


def read_pieces(name: str) -> list[tuple[int, int, int]]:
    """Return the pieces of a strip instance as (width, height, count)."""
    path = DATA / "strip2d" / f"{name}.json"
    if path.exists():
        items = json.loads(path.read_text())["Items"]
        return [(item["Length"], item["Height"], item["Demand"]) for item in items]
    numbers = [int(word) for word in (DATA / "strip2d" / f"{name}.txt").read_text().split()]
    rows = [numbers[i : i + 4] for i in range(3, 3 + 4 * numbers[0], 4)]
    return [(row[0], row[1], row[2]) for row in rows]


def strips() -> Iterator[Known]:
    """Yield the cgcut and ngcut instances, fixed and turned."""
    with (DATA / "level-strip.csv").open() as table:
        for row in csv.DictReader(table):
            if row["proven"] != "1":
                continue
            name, turn = row["instance"], row["mode"] == "rot"
            cases = [
                {
                    "code": f"P{index + 1}",
                    "length": high,
                    "width": wide,
                    "height": 1,
                    "quantity": count,
                    "turn": turn,
                }
                for index, (wide, high, count) in enumerate(read_pieces(name))
            ]
            room = {"width": float(row["W"]), "length": 10_000, "height": 1}
            label = f"{name}-{row['mode']}"
            yield Known(
                label, f"strip {row['mode']}", _show(label, room, cases), float(row["best_height"])
            )
