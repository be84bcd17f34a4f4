"""A linear programme being written down: rows with bounds, columns with entries."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import highspy
import numpy as np

INFINITE = highspy.kHighsInf


def quiet_model() -> highspy.Highs:
    """Return a silent model on one thread, so that the same input walks the same way."""
    model = highspy.Highs()  # type: ignore[no-untyped-call]
    model.setOptionValue("output_flag", False)
    model.setOptionValue("threads", 1)
    model.setOptionValue("random_seed", 7)
    return model


def stop_when(model: highspy.Highs, stop: Callable[[], bool]) -> None:
    """End a search in whole numbers as soon as `stop` says so."""

    def look(event: highspy.HighsCallbackEvent) -> None:
        if stop():
            event.interrupt()

    model.cbMipInterrupt.subscribe(look)


@dataclass
class Sheet:
    """Rows and columns of a programme that minimises cost."""

    lower: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    costs: list[float] = field(default_factory=list)
    most: list[float] = field(default_factory=list)
    starts: list[int] = field(default_factory=lambda: [0])
    indices: list[int] = field(default_factory=list)
    values: list[float] = field(default_factory=list)

    def row(self, low: float, high: float) -> int:
        """Add a row; return its number."""
        self.lower.append(low)
        self.upper.append(high)
        return len(self.lower) - 1

    def column(self, cost: float, entries: Sequence[tuple[int, float]], most: float) -> int:
        """Add a column from zero to `most`; return its number."""
        self.costs.append(cost)
        self.most.append(most)
        self.indices += [index for index, _ in entries]
        self.values += [value for _, value in entries]
        self.starts.append(len(self.indices))
        return len(self.costs) - 1

    def model(self, *, whole: bool) -> highspy.HighsLp:
        """Return the programme for the solver; `whole`: every column is a whole number."""
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(self.costs), len(self.lower)
        lp.col_cost_ = np.array(self.costs)
        lp.col_lower_ = np.zeros(len(self.costs))
        lp.col_upper_ = np.array(self.most)
        lp.row_lower_, lp.row_upper_ = np.array(self.lower), np.array(self.upper)
        lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
        lp.a_matrix_.start_ = np.array(self.starts)
        lp.a_matrix_.index_ = np.array(self.indices)
        lp.a_matrix_.value_ = np.array(self.values)
        if whole:
            lp.integrality_ = [highspy.HighsVarType.kInteger] * len(self.costs)
        return lp
