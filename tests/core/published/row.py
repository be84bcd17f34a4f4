"""A published row: what a source prints, and the calculation that must give it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, Literal, TypeAlias

Answer: TypeAlias = Any
# seen: read in the source. mixed: part seen, part inferred. formula: plain mechanics, no printed
# answer. memory: recalled, so it stands only beside a seen row of the same formula.
Evidence = Literal["seen", "mixed", "formula", "memory"]


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a source: its clause, what we get, what it prints, how far they may differ."""

    id: str
    evidence: Evidence
    source: str
    clause: str
    formula: str
    got: Callable[[], Answer]
    printed: Answer
    tolerance: float

    def __str__(self) -> str:
        return f"{self.id} {self.source} {self.clause}".strip()


def rows_of(source: str, formula: str, rows: Iterable[tuple[Any, ...]]) -> tuple[Row, ...]:
    """Return rows of one source and formula: (id, evidence, clause, got, printed[, tolerance])."""
    return tuple(
        Row(id_, evidence, source, clause, formula, got, printed, *(rest or [0.0]))
        for id_, evidence, clause, got, printed, *rest in rows
    )


def agrees(got: Answer, printed: Answer, tolerance: float) -> bool:
    """Return whether two answers agree, part by part."""
    if isinstance(printed, tuple):
        return len(got) == len(printed) and all(
            agrees(one, other, tolerance) for one, other in zip(got, printed, strict=True)
        )
    if isinstance(printed, bool) or not isinstance(printed, (int, float)):
        return bool(got == printed)
    # The last digits of a float are no difference.
    return bool(abs(got - printed) <= tolerance + 1e-9 * max(1.0, abs(printed)))
