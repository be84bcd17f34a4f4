"""Published rows on lifts by several people."""

from __future__ import annotations

from server.core.handling.team import (
    MEASURED_SHARES,
    MOST_IN_A_TEAM,
    ONE_HAND,
    TWO_PEOPLE,
    hse_capacity,
    mil_capacity,
)
from tests.core.published.row import rows_of

# people, kg each → kg (printed whole)
HSE = rows_of(
    source="HSE L23, Manual Handling Operations Regulations",
    formula="hse_team",
    rows=(
        ("T3-43", "seen", "para 119-120", lambda: hse_capacity(2, 25), 33, 0.7),
        ("T3-44", "seen", "para 119-120", lambda: hse_capacity(3, 25), 37.5, 0.7),
        ("T3-45", "seen", "para 119-120", lambda: hse_capacity(2, 16), 21, 0.7),
        ("T3-47", "seen", "para 119-120", lambda: hse_capacity(2, 50), 66, 0.7),
        ("T3-48", "seen", "para 119-120", lambda: hse_capacity(3, 50), 75, 0.7),
        ("T3-49", "seen", "para 120", lambda: MOST_IN_A_TEAM, 4),
    ),
)

# percent of the sum: men, women, mixed
SOLDIERS = rows_of(
    source="team lifting study of soldiers (journal abstract)",
    formula="measured",
    rows=(
        (
            "T3-50",
            "seen",
            "team strength as percent of the sum of individuals",
            lambda: tuple(100 * share for share in MEASURED_SHARES.values()),
            (87.3, 91.1, 80.2),
        ),
    ),
)

# people, lb for one
MIL_STD = rows_of(
    source="MIL-STD-1472F 5.9.11.3 (174 lb and 79 kg seen, the rest from memory)",
    formula="mil_team",
    rows=(
        (
            "T3-51",
            "mixed",
            "174 lb / 79 kg = twice 87 lb",
            lambda: (mil_capacity(2, 87), mil_capacity(2, 87) * 0.45359237),
            (174, 79),
            0.2,
        ),
        (
            "T3-52",
            "memory",
            "double for two; each further lifter adds at most 75 % of the one-person value",
            lambda: mil_capacity(2, 44),
            88,
            0.01,
        ),
        (
            "T3-53",
            "memory",
            "double for two; each further lifter adds at most 75 % of the one-person value",
            lambda: mil_capacity(3, 44),
            121,
            0.01,
        ),
        (
            "T3-54",
            "memory",
            "double for two; each further lifter adds at most 75 % of the one-person value",
            lambda: mil_capacity(3, 87),
            239.25,
            0.01,
        ),
        (
            "T3-55",
            "memory",
            "double for two; each further lifter adds at most 75 % of the one-person value",
            lambda: mil_capacity(4, 87),
            304.5,
            0.01,
        ),
    ),
)

# two people, one hand
SHARES = rows_of(
    source="EN 1005-2 and ISO 11228-1 practice",
    formula="shares",
    rows=(
        (
            "T3-56",
            "seen",
            "two-person multiplier 0.85, one-handed 0.6",
            lambda: (TWO_PEOPLE, ONE_HAND),
            (0.85, 0.6),
        ),
    ),
)

ROWS = (*HSE, *SOLDIERS, *MIL_STD, *SHARES)
