"""Labels of the exact search as arrays: many loads of one multiset at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from server.core.planner.problem.support_limits import Window

Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Labels:
    """Loads of one multiset by floor length and moment, and where each came from."""

    length: Ints
    moment: Ints
    before: Ints  # the multiset loaded before the last row
    number: Ints  # the label there
    option: Ints  # the last row, by its number

    def at(self, some: Ints) -> Labels:
        """Return some of the labels."""
        return Labels(
            self.length[some],
            self.moment[some],
            self.before[some],
            self.number[some],
            self.option[some],
        )

    def inside(self, window: Window, blur: int) -> Ints:
        """Return the places of the labels whose moment is lawful, or off by no more than `blur`."""
        fits = np.ones(len(self.length), dtype=bool)
        if window.low is not None:
            fits &= self.moment >= window.low - blur
        if window.high is not None:
            fits &= self.moment <= window.high + blur
        return np.flatnonzero(fits).astype(np.int64)


def joined(parts: Sequence[Labels]) -> Labels:
    """Return the labels of several steps as one."""
    return Labels(
        np.concatenate([one.length for one in parts]),
        np.concatenate([one.moment for one in parts]),
        np.concatenate([one.before for one in parts]),
        np.concatenate([one.number for one in parts]),
        np.concatenate([one.option for one in parts]),
    )


def thinned_out(whole: Labels, most: int) -> tuple[Labels, int]:
    """Return fewer of sorted labels, and the greatest step between moments that is left.

    Of each length the least and the greatest moment are kept, and others evenly between.
    """
    starts = np.flatnonzero(np.r_[True, whole.length[1:] != whole.length[:-1]])
    ends = np.r_[starts[1:], len(whole.length)]
    each = max(8, most // len(starts))
    found, gap = [], 0
    for start, end in zip(starts, ends, strict=True):
        if end - start <= each:
            found.append(np.arange(start, end))
            continue
        moments = whole.moment[start:end]
        aims = np.linspace(moments[0], moments[-1], each)
        picked = np.unique(np.clip(np.searchsorted(moments, aims), 0, len(moments) - 1))
        gap = max(gap, int(np.max(np.diff(moments[picked]))))
        found.append(start + picked)
    return whole.at(np.concatenate(found).astype(np.int64)), gap
