"""Published rows on parts of the NIOSH equation."""

from __future__ import annotations

from server.core.handling.niosh import (
    Lift,
    coupling_multiplier,
    estimate_horizontal,
    limit_of,
    multipliers,
    recommended_limit,
)
from server.core.handling.niosh_frequency import (
    adjusted_frequency,
    composite_index,
    composite_of_tasks,
    duration_of,
    frequency_multiplier,
    rest_needed,
)
from tests.core.published.row import rows_of


def limit(lift: Lift) -> float:
    return recommended_limit(lift)


def sheet(lift: Lift) -> tuple[float, ...]:
    """Return the worksheet: its two-decimal multipliers, its limit, the limit in full."""
    worksheet = recommended_limit(lift, worksheet=True)
    return (*multipliers(lift).rounded().each(), worksheet, recommended_limit(lift))


# composite index
COMPOSITE = rows_of(
    source="NIOSH Applications Manual, DHHS 94-110 (rev. 9/2021)",
    formula="composite",
    rows=(
        (
            "T3-07",
            "memory",
            "2.4.5, p. 28",
            lambda: composite_of_tasks(
                [(30, 20, 1), (20, 20, 2), (10, 15, 4)], "short", high=False
            ),
            1.9,
            0.06,
        ),
        (
            "T3-41",
            "seen",
            "open ergonomics library, task A (FM before, with)",
            lambda: composite_index(
                0.5004082,
                [
                    (0.40687, 0.91, 0.88),
                    (0.35719, 0.88, 0.84),
                    (0.33362, 0.84, 0.8),
                    (0.17037, 0.6, 0.35),
                ],
            ),
            0.757664,
            0.0002,
        ),
    ),
)

# frequency and duration
WORK_PATTERN = rows_of(
    source="NIOSH Applications Manual, DHHS 94-110 (rev. 9/2021)",
    formula="pattern",
    rows=(
        (
            "T3-08",
            "seen",
            "1.3.5.5 special frequency adjustment, p. 16",
            lambda: adjusted_frequency(10, 8),
            5.33,
            0.005,
        ),
        (
            "T3-10",
            "seen",
            "1.3.5.2 duration: 30 work, 10 light, 45 work, p. 14",
            lambda: duration_of([(30, 10), (45, 0)]),
            ("moderate", 75),
        ),
        (
            "T3-12",
            "seen",
            "1.3.5.2 recovery that keeps two hours moderate, p. 14",
            lambda: rest_needed(120),
            36,
            0.01,
        ),
    ),
)

# table 5, p. 15
FREQUENCY = rows_of(
    source="NIOSH Applications Manual, DHHS 94-110 (rev. 9/2021)",
    formula="frequency",
    rows=(
        (
            "T3-13",
            "seen",
            "Table 5 frequency multiplier, p. 15",
            lambda: frequency_multiplier(0.2, "short", high=False),
            1.0,
            0.0005,
        ),
        (
            "T3-14",
            "seen",
            "Table 5 frequency multiplier, p. 15",
            lambda: frequency_multiplier(1, "moderate", high=False),
            0.88,
            0.0005,
        ),
        (
            "T3-16",
            "seen",
            "Table 5 frequency multiplier, p. 15",
            lambda: frequency_multiplier(9, "long", high=False),
            0.0,
            0.0005,
        ),
        (
            "T3-17",
            "seen",
            "Table 5 frequency multiplier, p. 15",
            lambda: frequency_multiplier(9, "long", high=True),
            0.15,
            0.0005,
        ),
        (
            "T3-18",
            "seen",
            "Table 5 frequency multiplier, p. 15",
            lambda: frequency_multiplier(12, "moderate", high=False),
            0.0,
            0.0005,
        ),
        (
            "T3-20",
            "seen",
            "Table 5 frequency multiplier, p. 15",
            lambda: frequency_multiplier(13, "short", high=False),
            0.0,
            0.0005,
        ),
        (
            "T3-21",
            "seen",
            "Table 5 frequency multiplier, p. 15",
            lambda: frequency_multiplier(15, "short", high=True),
            0.28,
            0.0005,
        ),
        (
            "T3-22",
            "seen",
            "Table 5 frequency multiplier, p. 15; linear interpolation rule p. 7",
            lambda: frequency_multiplier(2.4, "short", high=True),
            0.898,
            0.0005,
        ),
    ),
)

# table 7, p. 18
COUPLING = rows_of(
    source="NIOSH Applications Manual, DHHS 94-110 (rev. 9/2021)",
    formula="coupling",
    rows=(
        (
            "T3-24",
            "seen",
            "Table 7 coupling, p. 18",
            lambda: coupling_multiplier(Lift(10, 10, 10, coupling="fair")),
            0.95,
        ),
        (
            "T3-25",
            "seen",
            "Table 7 coupling, p. 18",
            lambda: coupling_multiplier(Lift(10, 30, 10, coupling="fair")),
            1.0,
        ),
        (
            "T3-26",
            "seen",
            "Table 7 coupling, p. 18",
            lambda: coupling_multiplier(Lift(10, 50, 10, coupling="poor")),
            0.9,
        ),
    ),
)

# width in, height in → H in
ESTIMATE = rows_of(
    source="NIOSH Applications Manual, DHHS 94-110 (rev. 9/2021)",
    formula="estimate",
    rows=(
        (
            "T3-36",
            "seen",
            "1.3.1.1 estimate of H from container width, p. 8",
            lambda: estimate_horizontal(24, 20),
            20,
            0.01,
        ),
        (
            "T3-37",
            "seen",
            "1.3.1.1 estimate of H from container width, p. 8",
            lambda: estimate_horizontal(30, 8),
            25,
            0.01,
        ),
    ),
)

# kg
PRODUCT = rows_of(
    source="CCOHS fact sheet on the frequency factor",
    formula="product",
    rows=(
        (
            "T3-39",
            "seen",
            "conveyor to cart",
            lambda: limit_of(23, (1.0, 0.93, 1.0, 0.71, 0.13, 1.0)),
            1.97,
            0.01,
        ),
    ),
)

ROWS = (*COMPOSITE, *WORK_PATTERN, *FREQUENCY, *COUPLING, *ESTIMATE, *PRODUCT)
