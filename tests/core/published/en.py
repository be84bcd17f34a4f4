"""Published rows on EN 12195-1, the CTU Code and EN 12642."""

from __future__ import annotations

from server.core.securing import rules_en
from server.core.securing.rules_en import (
    EDITIONS,
    Box,
    EditionName,
    TopOver,
    count_up,
    top_over_exact,
)
from tests.core.published.row import Answer, rows_of

BOX_SIDE = Box.even(2.0, 2.4)
BOX_LONG = Box.even(1.8, 2.4)
STF_75 = TopOver(4000, 75, 2, 1.0)
STF_75_FORWARD = TopOver(4000, 75, 2, 1.25)


def over(mass_kg: float, friction: float, share: float, lashing: TopOver) -> Answer:
    return count_up(top_over_exact(mass_kg, friction, share, lashing))


def slender(box: Box) -> float:
    return box.centre_height_m / box.to_edge_m


def kaps(mass_kg: float, friction: float, share: float) -> Answer:
    belts = TopOver(2000, legs=2, excess=1.0)
    demand, short = rules_en.short_of_demand(mass_kg, friction, share, belts, 2)
    return demand / 1000, 100 * short


def sections(edition: EditionName, friction: float) -> Answer:
    one = EDITIONS[edition]
    lashing = TopOver(4000, 90, one.legs, one.excess)
    return 8 * count_up(top_over_exact(3000, friction, one.sideways, lashing))


# practical example: demand kN, percent short
KAPS = rows_of(
    source="Kaps, Securing cargo in road transport",
    formula="top_over",
    rows=(("T2-02", "seen", "4.4, sideways", lambda: kaps(3000, 0.38, 0.5), (14.715, 3.4), 0.3),),
)

# eight sections of 3 t (inferred), STF 400 daN (inferred), sideways
SECTIONS = rows_of(
    source="IRU Academy slides on the revised EN 12195-1 (2010), example 1",
    formula="top_over",
    rows=(
        ("T2-04", "mixed", "IMO/ILO/UNECE", lambda: sections("older", 0.4), 8),
        ("T2-05", "mixed", "EN 12195-1:2003", lambda: sections("2003", 0.28), 32),
        ("T2-06", "mixed", "revision", lambda: sections("2010", 0.4), 16),
    ),
)

# box of 2.4 x 2.0 x 1.8 m, 2.1 t, wood on wood
BOX = rows_of(
    source="European Best Practice Guidelines 2006, 8.6.2 example 1",
    formula="box",
    rows=(
        (
            "T2-34",
            "mixed",
            "H/B and H/L",
            lambda: (slender(BOX_SIDE), slender(BOX_LONG)),
            (1.2, 1.333),
            0.001,
        ),
    ),
)

# the same box
BOX_SLIDING = rows_of(
    source="European Best Practice Guidelines 2006, 8.6.2 example 1",
    formula="top_over",
    rows=(
        (
            "T2-35",
            "mixed",
            "sideways sliding, mu 0.5, cy 0.5",
            lambda: over(2100, 0.5, 0.5, STF_75),
            0,
        ),
        (
            "T2-36",
            "mixed",
            "forward sliding, 2006 method (cx 1.0, mu 0.5, STF 400 daN, 75 deg, fs 1)",
            lambda: over(2100, 0.5, 1.0, STF_75),
            3,
        ),
        (
            "T2-37",
            "mixed",
            "forward sliding, EN 12195-1:2010 (cx 0.8, mu 0.45, fs 1.25)",
            lambda: over(2100, 0.45, 0.8, STF_75_FORWARD),
            3,
        ),
    ),
)

ROWS = (*KAPS, *SECTIONS, *BOX, *BOX_SLIDING)
