"""Published rows on 49 CFR 393: number, strength, defaults and criteria of tiedowns."""

from __future__ import annotations

from fractions import Fraction

from server.core.base.units import to_um
from server.core.securing import defaults_us
from server.core.securing.criteria import Strength, Way, down_criterion
from server.core.securing.criteria import criterion as criterion_of
from server.core.securing.rules_us import (
    POUND_G,
    Route,
    Tiedowns,
    aggregate_wll_g,
    number_of_tiedowns,
    tiedowns_for_strength,
)
from tests.core.published.row import Answer, rows_of


def grams(value: float, unit: str = "lb") -> Fraction:
    return Fraction(str(value)) * (POUND_G if unit == "lb" else 1000)


def number(length_ft: float, weight_lb: float, *, blocked: bool) -> Answer:
    return number_of_tiedowns(to_um(length_ft, "ft"), grams(weight_lb), blocked=blocked).value


def metric_number(length_m: float, mass_kg: float) -> Answer:
    found = number_of_tiedowns(to_um(length_m, "m"), grams(mass_kg, "kg"), blocked=False).whole()
    return found, mass_kg / 2, mass_kg / 2 / found


def strength(weight: float, wll: float, unit: str = "lb", least: int = 0) -> Answer:
    return max(least, tiedowns_for_strength(grams(weight, unit), grams(wll, unit)).whole())


def aggregate(*tiedowns: tuple[int, float, Route]) -> Answer:
    found = tuple(Tiedowns(count, grams(wll), route) for count, wll, route in tiedowns)
    return float(aggregate_wll_g(found) / POUND_G)


def criterion(weight: float, way: Way, strength: Strength) -> Answer:
    return criterion_of(weight, "lb", way, strength).value


def down(weight: float) -> Answer:
    return down_criterion(weight, "lb").value


def webbing(width: str) -> Answer:
    found = defaults_us.webbing_limit(width)
    return found and (found.value, found.detail("kilograms"))


def chain(grade: str, size: str) -> Answer:
    found = defaults_us.chain_limit(grade, size)
    return found and (found.value, found.detail("kilograms"))


def third(breaking: float) -> Answer:
    return defaults_us.limit_from_breaking({"weakest part": breaking}, "lb").value


# length ft, weight lb
NUMBER = rows_of(
    source="49 CFR 393.110(b)-(c)",
    formula="number",
    rows=(
        ("T1-01", "seen", "393.110(b)", lambda: number(5, 1100, blocked=False), 1),
        ("T1-02", "seen", "393.110(b)", lambda: number(4, 1000, blocked=False), 1),
        ("T1-03", "seen", "393.110(b)", lambda: number(5, 1101, blocked=False), 2),
        ("T1-05", "seen", "393.110(b)", lambda: number(5.1, 500, blocked=False), 2),
        ("T1-06", "seen", "393.110(b)", lambda: number(8, 200, blocked=False), 2),
        ("T1-07", "seen", "393.110(b)", lambda: number(10, 20000, blocked=False), 2),
        ("T1-09", "seen", "393.110(b)", lambda: number(15, 3000, blocked=False), 3),
        ("T1-10", "seen", "393.110(b)", lambda: number(20, 3000, blocked=False), 3),
        ("T1-11", "seen", "393.110(b)", lambda: number(20.5, 3000, blocked=False), 4),
        ("T1-13", "seen", "393.110(b)", lambda: number(48, 40000, blocked=False), 6),
        ("T1-14", "seen", "393.110(b)", lambda: number(2.5, 600, blocked=False), 1),
        ("T1-15", "seen", "393.110(b)", lambda: number(2.5, 1800, blocked=False), 2),
        ("T1-17", "seen", "393.110(c)", lambda: number(10, 9000, blocked=True), 1),
        ("T1-18", "seen", "393.110(c)", lambda: number(10.5, 9000, blocked=True), 2),
        ("T1-19", "seen", "393.110(c)", lambda: number(20, 9000, blocked=True), 2),
        ("T1-21", "seen", "393.110(c)", lambda: number(53, 40000, blocked=True), 6),
    ),
)

# the same rule in metres and kilograms: number, aggregate and each in kg
NUMBER_METRIC = rows_of(
    source="Canadian provincial driving manual citing NSC Standard 10, ch. 5",
    formula="number",
    rows=(
        (
            "T1-22",
            "seen",
            "ch. 5, strength of tiedowns",
            lambda: metric_number(3.65, 600),
            (3, 300, 100),
            0.01,
        ),
        ("T1-23", "seen", "ch. 5", lambda: strength(600, 50, unit="kg", least=3), 6),
    ),
)

# weight lb, limit lb, over the cargo
STRENGTH = rows_of(
    source="49 CFR 393.106(d)",
    formula="strength",
    rows=(
        ("T1-25", "seen", "worked on a strap maker’s page", lambda: strength(24000, 3335), 4),
        ("T1-31", "seen", "aggregate >= half the weight", lambda: strength(1800, 1000, least=1), 1),
        ("T1-33", "seen", "aggregate >= half the weight", lambda: strength(2001, 1000, least=1), 2),
        ("T1-34", "seen", "aggregate >= half the weight", lambda: strength(2400, 1000, least=1), 2),
        ("T1-35", "seen", "aggregate >= half the weight", lambda: strength(5000, 1000, least=1), 3),
    ),
)

# (count, limit lb, route): whole for over, half for direct
AGGREGATE = rows_of(
    source="49 CFR 393.106(d)(1)-(3)",
    formula="aggregate",
    rows=(
        (
            "T1-26",
            "seen",
            "(1)-(3): half, half, whole",
            lambda: aggregate((2, 2000, "over")),
            4000,
            0.5,
        ),
        (
            "T1-27",
            "seen",
            "(1)-(3): half, half, whole",
            lambda: aggregate((4, 6600, "direct")),
            13200,
            0.5,
        ),
        (
            "T1-29",
            "seen",
            "(1)-(3): half, half, whole",
            lambda: aggregate((2, 1000, "over"), (2, 3333, "direct")),
            5333,
            0.5,
        ),
        (
            "T1-30",
            "seen",
            "(1)-(3): half, half, whole",
            lambda: aggregate((1, 1000, "over")),
            1000,
            0.5,
        ),
    ),
)

# 2,000 lb row, pounds of force
CRITERIA = rows_of(
    source="49 CFR 393.102(a)(1)-(2), (b)",
    formula="criteria",
    rows=(
        (
            "T1-37",
            "seen",
            "forward, breaking strength",
            lambda: criterion(2000, "forward", "breaking"),
            1600.0,
            0.01,
        ),
        (
            "T1-38",
            "seen",
            "rearward, breaking strength",
            lambda: criterion(2000, "rearward", "breaking"),
            1000.0,
            0.01,
        ),
        (
            "T1-39",
            "seen",
            "lateral, breaking strength",
            lambda: criterion(2000, "lateral", "breaking"),
            1000.0,
            0.01,
        ),
        (
            "T1-41",
            "seen",
            "rearward, working load limit",
            lambda: criterion(2000, "rearward", "wll"),
            1000.0,
            0.01,
        ),
        (
            "T1-42",
            "seen",
            "lateral, working load limit",
            lambda: criterion(2000, "lateral", "wll"),
            500.0,
            0.01,
        ),
        (
            "T1-43",
            "seen",
            "downward force, article not contained by the vehicle structure",
            lambda: down(2000),
            400,
            0.01,
        ),
    ),
)

# pounds and kilograms of the table, rounded apart
DEFAULTS = rows_of(
    source="49 CFR 393.108, tables",
    formula="defaults",
    rows=(
        ("T1-45", "seen", "default WLL, unmarked", lambda: webbing("2 in"), (2000, 910), 6),
        ("T1-46", "seen", "default WLL, unmarked", lambda: webbing("3 in"), (3000, 1360), 6),
        ("T1-47", "seen", "default WLL, unmarked", lambda: webbing("4 in"), (4000, 1810), 6),
        ("T1-49", "seen", "default WLL", lambda: chain("43", "3/8 in"), (5400, 2450), 25),
        ("T1-50", "seen", "default WLL", lambda: chain("70", "5/16 in"), (4700, 2130), 25),
        ("T1-51", "seen", "default WLL", lambda: chain("70", "3/8 in"), (6600, 2990), 25),
        ("T1-53", "seen", "default WLL", lambda: chain("80", "3/8 in"), (7100, 3200), 25),
        ("T1-54", "seen", "default WLL", lambda: chain("100", "3/8 in"), (8800, 4000), 25),
        (
            "T1-55",
            "seen",
            "(g) unmarked friction mat",
            lambda: defaults_us.friction_mat(1000, "lb").value,
            500,
        ),
    ),
)

# breaking strength of the weakest part, lb
BREAKING = rows_of(
    source="webbing tie-down practice (WSTDA)",
    formula="breaking",
    rows=(
        ("T6-01", "seen", "WLL = breaking strength / 3", lambda: third(3000), 1000, 0.5),
        ("T6-02", "seen", "WLL = breaking strength / 3", lambda: third(10000), 3333, 0.5),
        ("T6-03", "seen", "WLL = breaking strength / 3", lambda: third(3000), 1000, 0.5),
        ("T6-05", "seen", "WLL = breaking strength / 3", lambda: third(6000), 2000, 0.5),
    ),
)

ROWS = (*NUMBER, *NUMBER_METRIC, *STRENGTH, *AGGREGATE, *CRITERIA, *DEFAULTS, *BREAKING)
