"""Published rows on the revised NIOSH lifting equation."""

from __future__ import annotations

from server.core.handling.niosh import (
    Lift,
    limit_of,
    multipliers,
    recommended_limit,
)
from tests.core.published.row import Answer, rows_of

METRIC_TASK = Lift(24, 38.5, 76.5, 0, 3, "moderate", "poor", "metric", load_constant=25)


def limit(lift: Lift) -> float:
    return recommended_limit(lift)


def sheet(lift: Lift) -> tuple[float, ...]:
    """Return the worksheet: its two-decimal multipliers, its limit, the limit in full."""
    worksheet = recommended_limit(lift, worksheet=True)
    return (*multipliers(lift).rounded().each(), worksheet, recommended_limit(lift))


def rated(lift: Lift, load: float) -> tuple[float, ...]:
    """Return the two-decimal multipliers, the worksheet's limit and index."""
    found = multipliers(lift).rounded().each()
    worksheet = recommended_limit(lift, worksheet=True)
    return (*found, worksheet, load / worksheet)


def punch(height: float) -> tuple[float, ...]:
    # The manual's table prints .44 for 23 in, where 10/23 is .4348: that one cell is taken from it.
    found = multipliers(Lift(23, height, 49, 0, 0.1, "short", "fair")).rounded().each()
    worksheet = limit_of(51, (0.44, *found[1:]))
    return (*found, worksheet, 44 / worksheet)


def rolls(height: float) -> tuple[float, ...]:
    return rated(Lift(20, height, 17, 0, 0.1, "short", "poor"), 35)


def bags() -> tuple[float, ...]:
    return rated(Lift(18, 15, 21, 45, 0.1, "short", "fair"), 40)


def metric_task() -> Answer:
    return multipliers(METRIC_TASK).each()


# multipliers, worksheet and full limit in lb
EXAMPLES = rows_of(
    source="NIOSH Applications Manual, DHHS 94-110 (rev. 9/2021)",
    formula="niosh",
    rows=(
        (
            "T3-01",
            "seen",
            "example 4, origin, fig. 14 p. 46",
            lambda: sheet(Lift(10, 22, 37, 0, 3, "short", "fair")),
            (1.0, 0.94, 0.87, 1.0, 0.88, 0.95, 34.9, 34.8),
            0.06,
        ),
        (
            "T3-02",
            "mixed",
            "example 4, destination",
            lambda: sheet(Lift(20, 59, 37, 0, 3, "short", "fair", origin=22))[6:],
            (15.2, 15.3),
            0.06,
        ),
        (
            "T3-03",
            "mixed",
            "example 4, index of 26 lb",
            lambda: (
                26 / limit(Lift(10, 22, 37, 0, 3, "short", "fair")),
                26 / limit(Lift(20, 59, 37, 0, 3, "short", "fair", origin=22)),
            ),
            (0.7, 1.7),
            0.05,
        ),
        (
            "T3-04",
            "memory",
            "example 1, both ends: multipliers, limit, index",
            lambda: (*punch(15), *punch(64)),
            (0.44, 0.89, 0.86, 1, 1, 0.95, 16.3, 2.7, 0.44, 0.75, 0.86, 1, 1, 1.0, 14.5, 3.0),
            0.06,
        ),
        (
            "T3-05",
            "memory",
            "example 2, both ends",
            lambda: (*rolls(27), *rolls(10)),
            (0.5, 0.98, 0.93, 1, 1, 0.9, 20.9, 1.7, 0.5, 0.85, 0.93, 1, 1, 0.9, 18.1, 1.9),
            0.06,
        ),
        (
            "T3-06",
            "memory",
            "example 3, origin",
            bags,
            (0.56, 0.89, 0.91, 0.86, 1, 0.95, 18.9, 2.1),
            0.06,
        ),
    ),
)

# H, V, D in, A degrees → lb
LIMITS = rows_of(
    source="NIOSH Applications Manual, DHHS 94-110 (rev. 9/2021)",
    formula="niosh",
    rows=(
        ("T3-31", "seen", "limits: V over 70 in", lambda: limit(Lift(10, 71, 10, 0)), 0, 0.01),
        ("T3-32", "seen", "limits: A over 135", lambda: limit(Lift(10, 30, 10, 136)), 0, 0.01),
        ("T3-33", "seen", "limits: D over 70 in", lambda: limit(Lift(10, 30, 71, 0)), 0, 0.01),
        ("T3-35", "seen", "limits: ideal lift", lambda: limit(Lift(10, 30, 10, 0)), 51, 0.01),
    ),
)

# multipliers and index of 3 kg, 25 kg constant
LIBRARY = rows_of(
    source="open ergonomics library, ISO 11228-1 style task",
    formula="niosh",
    rows=(
        (
            "T3-40",
            "seen",
            "task A, sub-task 0",
            lambda: (*metric_task(), 3 / limit(METRIC_TASK)),
            (1, 0.8905, 0.878824, 1, 0.79, 0.9, 0.215663),
            0.0001,
        ),
    ),
)

ROWS = (*EXAMPLES, *LIMITS, *LIBRARY)
