"""Published rows on lashing, blocking and tilting, beside the seen ones."""

from __future__ import annotations

from server.core.securing.rules_en import (
    Box,
    TopOver,
    blocking_n,
    count_up,
    held_kg,
    tips,
    top_over_exact,
)
from tests.core.published.row import Answer, rows_of

BOX_SIDE = Box.even(2.0, 2.4)
BOX_LONG = Box.even(1.8, 2.4)
STF_75 = TopOver(4000, 75, 2, 1.0)


def over(mass_kg: float, friction: float, share: float, lashing: TopOver) -> Answer:
    return count_up(top_over_exact(mass_kg, friction, share, lashing))


def held(mu: float) -> Answer:
    both = held_kg(mu, 0.5, STF_75), held_kg(mu, 1.0, STF_75)
    return tuple("no slide" if one == float("inf") else one / 1000 for one in both)


# the same box: sideways, forward, rearward
BOX_TIPPING = rows_of(
    source="European Best Practice Guidelines 2006, 8.6.2 example 1",
    formula="tipping",
    rows=(
        (
            "T2-38",
            "mixed",
            "tipping: sideways 0.5, forward 0.8, rearward 0.5 (centre of gravity at the middle)",
            lambda: (tips(BOX_SIDE, 0.5), tips(BOX_LONG, 0.8), tips(BOX_LONG, 0.5)),
            (False, True, False),
        ),
    ),
)

# mass kg, friction, share of gravity, lashing (STF N, angle, k, fs)
TOP_OVER = rows_of(
    source="EN 12195-1:2010 friction lashing, from memory, beside Kaps and the IRU totals",
    formula="top_over",
    rows=(
        ("T2-39", "memory", "sideways", lambda: over(1000, 0.3, 0.5, TopOver(4000, 75, 2, 1.1)), 1),
        ("T2-40", "memory", "forward", lambda: over(1000, 0.3, 0.8, TopOver(4000, 75, 2, 1.25)), 3),
        (
            "T2-41",
            "memory",
            "sideways",
            lambda: over(1000, 0.45, 0.5, TopOver(4000, 75, 2, 1.1)),
            1,
        ),
        (
            "T2-42",
            "memory",
            "forward",
            lambda: over(1000, 0.45, 0.8, TopOver(4000, 75, 2, 1.25)),
            2,
        ),
        ("T2-43", "memory", "sideways", lambda: over(2000, 0.3, 0.5, TopOver(4000, 60, 2, 1.1)), 3),
        ("T2-44", "memory", "forward", lambda: over(2000, 0.3, 0.8, TopOver(4000, 60, 2, 1.25)), 6),
        ("T2-45", "memory", "sideways", lambda: over(1000, 0.6, 0.5, TopOver(4000, 75, 2, 1.1)), 0),
        ("T2-46", "memory", "forward", lambda: over(1000, 0.6, 0.8, TopOver(4000, 75, 2, 1.25)), 1),
        ("T2-47", "memory", "sideways", lambda: over(1500, 0.2, 0.5, TopOver(3000, 45, 2, 1.1)), 6),
        ("T2-48", "memory", "sideways", lambda: over(8000, 0.3, 0.5, TopOver(5000, 90, 2, 1.1)), 6),
    ),
)

# tonnes a lashing: sideways, forward at 1.0 g
HELD = rows_of(
    source="IMO Model Course 3.18 quick lashing guide, from memory",
    formula="top_over",
    rows=(
        ("T2-49", "memory", "sideways; forward (1.0 g)", lambda: held(0.1), (0.2, 0.1), 0.051),
        ("T2-50", "memory", "sideways; forward (1.0 g)", lambda: held(0.2), (0.5, 0.2), 0.051),
        ("T2-51", "memory", "sideways; forward (1.0 g)", lambda: held(0.3), (1.2, 0.3), 0.051),
        ("T2-52", "memory", "sideways; forward (1.0 g)", lambda: held(0.4), (3.2, 0.5), 0.051),
        (
            "T2-53",
            "memory",
            "sideways; forward (1.0 g)",
            lambda: held(0.5),
            ("no slide", 0.8),
            0.051,
        ),
        (
            "T2-54",
            "memory",
            "sideways; forward (1.0 g)",
            lambda: held(0.6),
            ("no slide", 1.2),
            0.051,
        ),
    ),
)

# base in, height in, share of gravity
TIPPING = rows_of(
    source="EN 12195-1 tilting, b/h against c/cz, from memory",
    formula="tipping",
    rows=(
        (
            "T2-55",
            "memory",
            "single case, centre of gravity at the middle",
            lambda: tips(Box.even(30, 48), 0.6),
            False,
        ),
        (
            "T2-56",
            "memory",
            "single case, centre of gravity at the middle",
            lambda: tips(Box.even(24, 48), 0.6),
            True,
        ),
        (
            "T2-57",
            "memory",
            "single case, centre of gravity at the middle",
            lambda: tips(Box.even(24, 48), 0.5),
            False,
        ),
        (
            "T2-58",
            "memory",
            "single case, centre of gravity at the middle",
            lambda: tips(Box.even(30, 60), 0.6),
            True,
        ),
        (
            "T2-59",
            "memory",
            "single case, centre of gravity at the middle",
            lambda: tips(Box.even(22.5, 36), 0.6),
            False,
        ),
        (
            "T2-60",
            "memory",
            "single case, centre of gravity at the middle",
            lambda: tips(Box.even(48, 48), 0.8),
            False,
        ),
    ),
)

# kg, friction, share of gravity → kN
BLOCKING = rows_of(
    source="EN 12195-1 blocking, from memory",
    formula="blocking",
    rows=(
        ("T2-61", "memory", "5.x blocking", lambda: blocking_n(1000, 0.3, 0.8) / 1000, 4.905, 0.01),
        ("T2-62", "memory", "5.x blocking", lambda: blocking_n(1000, 0.3, 0.5) / 1000, 1.962, 0.01),
        (
            "T2-63",
            "memory",
            "5.x blocking",
            lambda: blocking_n(5000, 0.45, 0.8) / 1000,
            17.17,
            0.01,
        ),
        ("T2-64", "memory", "5.x blocking", lambda: blocking_n(800, 0.2, 0.8) / 1000, 4.709, 0.01),
    ),
)

ROWS = (*BOX_TIPPING, *TOP_OVER, *HELD, *TIPPING, *BLOCKING)
