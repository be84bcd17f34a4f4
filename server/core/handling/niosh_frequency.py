"""Frequency side of the NIOSH equation: table 5, duration, mixed work, several tasks.

DHHS (NIOSH) 94-110, revised 9/2021: p. 7, 13 to 16, 26 to 28.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final, Literal

Duration = Literal["short", "moderate", "long"]
DURATIONS: Final[tuple[Duration, ...]] = ("short", "moderate", "long")

# Table 5, p. 15: lifts a minute → (low, high) for short, moderate, long; low: hands start under
# 30 in (75 cm), high: at it or above.
TABLE_5: Final[dict[float, tuple[tuple[float, float], ...]]] = {
    0.2: ((1.00, 1.00), (0.95, 0.95), (0.85, 0.85)),
    0.5: ((0.97, 0.97), (0.92, 0.92), (0.81, 0.81)),
    1: ((0.94, 0.94), (0.88, 0.88), (0.75, 0.75)),
    2: ((0.91, 0.91), (0.84, 0.84), (0.65, 0.65)),
    3: ((0.88, 0.88), (0.79, 0.79), (0.55, 0.55)),
    4: ((0.84, 0.84), (0.72, 0.72), (0.45, 0.45)),
    5: ((0.80, 0.80), (0.60, 0.60), (0.35, 0.35)),
    6: ((0.75, 0.75), (0.50, 0.50), (0.27, 0.27)),
    7: ((0.70, 0.70), (0.42, 0.42), (0.22, 0.22)),
    8: ((0.60, 0.60), (0.35, 0.35), (0.18, 0.18)),
    9: ((0.52, 0.52), (0.30, 0.30), (0.00, 0.15)),
    10: ((0.45, 0.45), (0.26, 0.26), (0.00, 0.13)),
    11: ((0.41, 0.41), (0.00, 0.23), (0.00, 0.00)),
    12: ((0.37, 0.37), (0.00, 0.21), (0.00, 0.00)),
    13: ((0.00, 0.34), (0.00, 0.00), (0.00, 0.00)),
    14: ((0.00, 0.31), (0.00, 0.00), (0.00, 0.00)),
    15: ((0.00, 0.28), (0.00, 0.00), (0.00, 0.00)),
}
# Duration, p. 13 and 14: work of one hour followed by as much rest, two hours by 0.3 of it.
REST_SHARE: Final[dict[Duration, float]] = {"short": 1.0, "moderate": 0.3}
MOST_MINUTES: Final[dict[Duration, float]] = {"short": 60, "moderate": 120, "long": 480}


def frequency_multiplier(per_minute: float, duration: Duration, *, high: bool) -> float:
    """Return FM of table 5, between its lines by straight interpolation (p. 7); 0 above 15."""
    column = DURATIONS.index(duration)
    lines = [(f, cells[column][int(high)]) for f, cells in TABLE_5.items()]
    if per_minute <= lines[0][0]:
        return lines[0][1]
    for (low_f, low), (high_f, value) in pairwise(lines):
        if per_minute <= high_f:
            return low + (value - low) * (per_minute - low_f) / (high_f - low_f)
    return 0.0


def adjusted_frequency(per_minute: float, minutes_of_15: float) -> float:
    """Return lifts a minute over 15 minutes where lifting does not go on all of them (1.3.5.5)."""
    return per_minute * min(minutes_of_15, 15) / 15


def duration_of(sessions: Sequence[tuple[float, float]]) -> tuple[Duration | None, float]:
    """Return duration and its minutes from (minutes of lifting, minutes of light work after it).

    Light work too short to recover is not counted, and the lifting before and after adds up
    (1.3.5.2, p. 14). None: over 8 hours, for which there is no figure.
    """
    longest, running = 0.0, 0.0
    for work, rest in sessions:
        running += work
        longest = max(longest, running)
        category = _category(running)
        if category in REST_SHARE and rest >= REST_SHARE[category] * running:
            running = 0.0
    return _category(longest), longest


def _category(minutes: float) -> Duration | None:
    return next((name for name in DURATIONS if minutes <= MOST_MINUTES[name]), None)


def rest_needed(minutes: float) -> float | None:
    """Return minutes of light work that keep this much lifting in its category; None: long."""
    category = _category(minutes)
    if category is None or category not in REST_SHARE:
        return None
    return REST_SHARE[category] * minutes


def composite_index(first: float, steps: Sequence[tuple[float, float, float]]) -> float:
    """Return CLI from the largest single index and (FILI, FM before, FM with the task) steps.

    CLI = STLI1 + sum of FILI (1 / FM with - 1 / FM before), tasks by falling STLI (p. 28). Infinite
    where a frequency is outside table 5.
    """
    if any(0 in {before, with_task} for _, before, with_task in steps):
        return float("inf")
    return first + sum(fili * (1 / with_task - 1 / before) for fili, before, with_task in steps)


def composite_of_tasks(
    tasks: Sequence[tuple[float, float, float]], duration: Duration, *, high: bool
) -> float:
    """Return CLI of several tasks given as (load, FIRWL, lifts a minute) in one unit of mass."""

    def single(task: tuple[float, float, float]) -> float:
        load, limit, per_minute = task
        alone = frequency_multiplier(per_minute, duration, high=high)
        return load / (limit * alone) if alone else float("inf")

    ordered = sorted(tasks, key=single, reverse=True)
    total, steps = ordered[0][2], []
    for load, limit, per_minute in ordered[1:]:
        before = frequency_multiplier(total, duration, high=high)
        total += per_minute
        after = frequency_multiplier(total, duration, high=high)
        steps.append((load / limit, before, after))
    return composite_index(single(ordered[0]), steps)
