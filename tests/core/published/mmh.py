"""Published rows on the LM-MMH equations."""

from __future__ import annotations

from server.core.handling.lm_mmh import (
    EQUATIONS,
    Sex,
    Task,
    capable_kg,
    mean_kg,
    share_capable,
)
from tests.core.published.row import Answer, rows_of


def floor(task: Task, sex: Sex, hands_m: float, distance_m: float, per_minute: float) -> Answer:
    measured = {"hands_m": hands_m, "distance_m": distance_m, "per_minute": per_minute}
    mean, cv = mean_kg(task, sex, measured), EQUATIONS[task, sex].cv
    return mean, capable_kg(mean, cv, 0.75), capable_kg(mean, cv, 0.90)


def worked_lift() -> Answer:
    measured = {"horizontal_m": 0.38, "middle_m": 1.03, "travel_m": 0.51, "per_minute": 1.0}
    mean, cv = mean_kg("lift", "female", measured), EQUATIONS["lift", "female"].cv
    return mean, 100 * share_capable(12, mean, cv), capable_kg(mean, cv, 0.75)


def reference(task: Task, sex: Sex) -> Answer:
    one = EQUATIONS[task, sex]
    return one.load_kg, one.cv, capable_kg(one.load_kg, one.cv, 0.75)


# hands m, way m, a minute → mean, 75 %, 90 % kgf
FLOOR = rows_of(
    source="Potvin et al. 2021, coefficients; tested values of an open library",
    formula="mmh",
    rows=(
        (
            "T4-29",
            "seen",
            "pull_sust female: mean, 75 % and 90 % capable, kgf",
            lambda: floor("pull_sustained", "female", 1.1, 10, 1.2),
            (12.68, 10.1313, 7.8375),
            0.001,
        ),
        (
            "T4-30",
            "seen",
            "push_init male: mean, 75 % and 90 % capable, kgf",
            lambda: floor("push_initial", "male", 1.0, 20, 0.25),
            (35.5606, 30.02, 25.0333),
            0.001,
        ),
        (
            "T4-31",
            "seen",
            "push_sust male: mean, 75 % and 90 % capable, kgf",
            lambda: floor("push_sustained", "male", 1.0, 20, 0.25),
            (21.0257, 17.2392, 13.8313),
            0.001,
        ),
        (
            "T4-33",
            "seen",
            "pull_sust male: mean, 75 % and 90 % capable, kgf",
            lambda: floor("pull_sustained", "male", 1.2, 20, 1.0),
            (13.7718, 11.3846, 9.236),
            0.001,
        ),
    ),
)

# mean kg, percent capable of 12 kg, 75 % kg
LIFT = rows_of(
    source="Potvin et al. 2021",
    formula="mmh",
    rows=(("T4-34", "seen", "3.4", worked_lift, (15.56, 81.0, 12.83), 0.06),),
)

# reference load kg, variation, 75 % capable kg
TABLE_4 = rows_of(
    source="Potvin et al. 2021, table 4",
    formula="mmh",
    rows=(
        (
            "T4-35",
            "seen",
            "table 4",
            lambda: reference("lift", "female"),
            (34.9, 0.26, 28.8),
            0.055,
        ),
        (
            "T4-37",
            "seen",
            "table 4",
            lambda: reference("lower", "female"),
            (37.0, 0.307, 29.3),
            0.055,
        ),
        (
            "T4-38",
            "seen",
            "table 4",
            lambda: reference("lower", "male"),
            (95.9, 0.304, 76.2),
            0.055,
        ),
        (
            "T4-39",
            "seen",
            "table 4",
            lambda: reference("push_initial", "female"),
            (36.9, 0.214, 31.6),
            0.055,
        ),
        (
            "T4-41",
            "seen",
            "table 4",
            lambda: reference("push_sustained", "female"),
            (25.5, 0.286, 20.6),
            0.055,
        ),
        (
            "T4-42",
            "seen",
            "table 4",
            lambda: reference("push_sustained", "male"),
            (65.3, 0.267, 53.5),
            0.055,
        ),
        (
            "T4-43",
            "seen",
            "table 4",
            lambda: reference("pull_initial", "female"),
            (36.9, 0.234, 31.1),
            0.055,
        ),
        (
            "T4-45",
            "seen",
            "table 4",
            lambda: reference("pull_sustained", "female"),
            (25.5, 0.298, 20.4),
            0.055,
        ),
        (
            "T4-46",
            "seen",
            "table 4",
            lambda: reference("pull_sustained", "male"),
            (61.0, 0.257, 50.4),
            0.055,
        ),
        (
            "T4-47",
            "seen",
            "table 4",
            lambda: reference("carry", "female"),
            (28.6, 0.231, 24.1),
            0.055,
        ),
    ),
)

ROWS = (*FLOOR, *LIFT, *TABLE_4)
