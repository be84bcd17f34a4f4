"""Published rows on ramps and casters."""

from __future__ import annotations

from math import radians, sin

from server.core.handling.ramp import (
    ADA_CROSS,
    ADA_RISE_IN,
    ADA_WIDTH_IN,
    CLEATS_RUN_PER_RISE,
    DOCKBOARD,
    RAILING_DEG,
    RAILING_FALL_FT,
    ada_length_ft,
    ada_run_ft,
)
from server.core.handling.rolling import Caster
from server.core.handling.slope import Slope
from tests.core.published.row import Answer, rows_of


def degrees(angle: float) -> Slope:
    return Slope(sin(radians(angle)), 1.0)


def geometry(deck_in: float, ramp_in: float) -> Answer:
    slope = Slope(deck_in, ramp_in)
    return slope.angle_deg, slope.run_per_rise, slope.percent


# degrees → percent of the load
SINE = rows_of(
    source="trade magazine on tail-lift gradients",
    formula="ramp_force",
    rows=(
        (
            "T4-09",
            "seen",
            "sine of the slope as percent of load",
            lambda: 100 * degrees(1).force(1, 0),
            1.7,
            0.5,
        ),
        (
            "T4-12",
            "seen",
            "sine of the slope as percent of load",
            lambda: 100 * degrees(15).force(1, 0),
            26,
            0.5,
        ),
    ),
)

# feet, degrees
ADA = rows_of(
    source="2010 ADA standards 405",
    formula="ada",
    rows=(
        (
            "T4-49",
            "seen",
            "405.2, 405.6",
            lambda: (ada_run_ft(30), Slope.one_in(12).angle_deg),
            (30, 4.76),
            0.01,
        ),
        (
            "T4-50",
            "seen",
            "405.2, 405.6",
            lambda: (ada_run_ft(36), Slope.one_in(12).angle_deg),
            (36, 4.76),
            0.01,
        ),
        ("T4-51", "seen", "405.7", lambda: ada_length_ft(36), 51, 0.01),
        ("T4-52", "seen", "405", lambda: (ADA_RISE_IN, ADA_CROSS, ADA_WIDTH_IN), (30, "1:48", 36)),
    ),
)

# reference figures at a ramp
OTHER_RULES = rows_of(
    source="29 CFR",
    formula="rules",
    rows=(
        (
            "T4-53",
            "mixed",
            "1926.451(e)(5)(iv)",
            lambda: Slope.one_in(CLEATS_RUN_PER_RISE).angle_deg,
            7.13,
            0.01,
        ),
        ("T4-55", "seen", "1918.25(b)", lambda: (RAILING_DEG, RAILING_FALL_FT), (20, 4)),
        ("T4-56", "seen", "1910.26", lambda: len(DOCKBOARD), 5),
    ),
)

# deck in, ramp in → degrees, 1 in, percent
GEOMETRY = rows_of(
    source="geometry of a ramp",
    formula="ramp_force",
    rows=(
        (
            "T4-57",
            "formula",
            "sin = deck height / ramp length",
            lambda: geometry(36, 144),
            (14.48, 3.87, 25.8),
            0.06,
        ),
        (
            "T4-58",
            "formula",
            "sin = deck height / ramp length",
            lambda: geometry(36, 168),
            (12.37, 4.56, 21.9),
            0.06,
        ),
        (
            "T4-59",
            "formula",
            "sin = deck height / ramp length",
            lambda: geometry(33, 156),
            (12.21, 4.62, 21.6),
            0.06,
        ),
        (
            "T4-60",
            "formula",
            "sin = deck height / ramp length",
            lambda: geometry(48, 192),
            (14.48, 3.87, 25.8),
            0.06,
        ),
        (
            "T4-61",
            "formula",
            "sin = deck height / ramp length",
            lambda: geometry(48, 144),
            (19.47, 2.83, 35.4),
            0.06,
        ),
        (
            "T4-62",
            "formula",
            "sin = deck height / ramp length",
            lambda: geometry(30, 120),
            (14.48, 3.87, 25.8),
            0.06,
        ),
        (
            "T4-63",
            "formula",
            "sin = deck height / ramp length",
            lambda: geometry(48, 576),
            (4.78, 11.96, 8.4),
            0.06,
        ),
    ),
)

# lb
FORCE = rows_of(
    source="mechanics of a slope, beside INDG143",
    formula="ramp_force",
    rows=(
        (
            "T4-64",
            "formula",
            "W (sin t + Crr cos t)",
            lambda: degrees(0).force(500, 0.02),
            10.0,
            0.15,
        ),
        (
            "T4-65",
            "formula",
            "W (sin t + Crr cos t)",
            lambda: degrees(14.48).force(500, 0.02),
            134.7,
            0.15,
        ),
        (
            "T4-66",
            "formula",
            "W (sin t + Crr cos t)",
            lambda: degrees(12.37).force(300, 0.03),
            73.1,
            0.15,
        ),
        (
            "T4-67",
            "formula",
            "W (sin t + Crr cos t)",
            lambda: degrees(4.764).force(881.8, 0.02),
            90.8,
            0.15,
        ),
        (
            "T4-68",
            "formula",
            "W (sin t + Crr cos t)",
            lambda: degrees(19.47).force(250, 0.03),
            90.4,
            0.15,
        ),
    ),
)

# wheel in, axle in, lever arm in → share of the load
ROLLING = rows_of(
    source="engineering handbook page on rolling resistance",
    formula="rolling",
    rows=(
        (
            "T4-69",
            "mixed",
            "share = (2/D)(mu d/2 + f) + c",
            lambda: Caster(4, 0.5, 0.2).share(),
            0.1036,
            0.0005,
        ),
        (
            "T4-70",
            "mixed",
            "share = (2/D)(mu d/2 + f) + c",
            lambda: Caster(5, 0.5, 0.2).share(),
            0.0835,
            0.0005,
        ),
        (
            "T4-71",
            "mixed",
            "share = (2/D)(mu d/2 + f) + c",
            lambda: Caster(6, 0.5, 0.2).share(),
            0.0701,
            0.0005,
        ),
        (
            "T4-72",
            "mixed",
            "share = (2/D)(mu d/2 + f) + c",
            lambda: Caster(5, 0.5, 0.08).share(),
            0.0355,
            0.0005,
        ),
    ),
)

ROWS = (*SINE, *ADA, *OTHER_RULES, *GEOMETRY, *FORCE, *ROLLING)
