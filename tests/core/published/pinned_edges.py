"""Figures at the edge of a constant, where 2 % turns the answer."""

from __future__ import annotations

from typing import Final

from server.core.base.units import to_g
from server.core.handling.push import PushTask, needs_machine, people_by_hse
from server.core.handling.slope import Slope
from server.core.securing import countries, rows
from server.core.securing.stacks import Stack, tips_forward
from tests.core.published.row import Answer, rows_of

ONE_IN_3: Final = Slope.one_in(3)


def wet(grams: int) -> Answer:
    """People to start on a wet slope of 1 in 3, where feet of 70 kg hold 4.43 kgf at 0.4."""
    found = people_by_hse(PushTask(grams, ONE_IN_3, wet=True), "men")
    return None if found is None else found[0]


def leans(depth_mm: int) -> Answer:
    """Does a stack with its centre 1 m up tip forward over nothing at all?"""
    stack = Stack(("A",), 0, 1, 10**7, depth_mm * 1000, 2_000_000, 1_000, 1_000_000)
    return tips_forward(stack, (), rows.FORWARD)


ROWS: Final = rows_of(
    source="mechanics on figures of HSE, NIOSH (0.4 wet) and EN 12195-1",
    formula="edges",
    rows=(
        ("P-wet-feet", "formula", "",
         lambda: (wet(100_000), wet(105_000), wet(107_500)), (8, 8, 9)),
        ("P-lean", "formula", "0.8 g", lambda: (leans(1_590), leans(1_610)), (True, False)),
        ("P-countries", "seen", "UK 2002 2.5, Australia 2018, NSC 10", lambda: tuple(
            (one.forward, one.rearward, one.sideways, one.vertical)
            for one in countries.PERFORMANCE.values()),
         ((1.0, 0.5, 0.5, None), (0.8, 0.5, 0.5, 0.2), (0.8, 0.5, 0.5, 0.2))),
        ("P-ca-number", "memory", "NSC 10 s. 22", lambda: tuple(
            countries.tiedowns(um, grams, blocked=False).value
            for um, grams in ((1_520_000, 500_000), (1_520_001, 1), (1, 500_001), (3_040_000, 1),
                              (3_040_001, 1))), (1, 2, 2, 2, 3)),
        ("P-machine", "memory", "house rule, 650 lb", lambda: tuple(
            needs_machine(PushTask(to_g(lb, "lb"), ONE_IN_3)) for lb in (650, 651)), (False, True)),
    ),
)  # fmt: skip
