"""Figures of restraint, hours and licences at the edge of a constant."""

from __future__ import annotations

from typing import Final

from server.core.base.units import Units, to_g
from server.core.road import hours, licence
from server.core.road.hours import Day
from server.core.road.notes import crew_note
from server.core.shop.show import Rules
from tests.core.published.row import Answer, rows_of
from tests.core.securing.test_directions import loaded, way


def forces() -> Answer:
    """Grams of force that 100 lb ask in each direction."""
    holds = loaded((1, 0, 0, 96, 96, 20))
    return tuple(way(holds, "A", name).force_g for name in ("forward", "rearward", "left", "right"))


def sideways(base_in: int, rules: Rules) -> Answer:
    """Is a stack held whose centre is 50 in up, with nothing beside it?"""
    holds = loaded((1, 20, 0, base_in, 190, 100), rules=rules)
    return way(holds, "A", "tipping").held


EN: Final = Rules(securing="en-12195")
LATE: Final = Day(9, 9, 8.5, 0)
ROWS: Final = rows_of(
    source="49 CFR 393.102, EN 12195-1; 561/2006, Transport Act 1968; 49 CFR 383.5, GB categories",
    formula="road",
    rows=(
        ("P-directions", "seen", "393.102(a)(1): 0.8 and 0.5 of 100 lb", forces,
         (36_287, 22_680, 22_680, 22_680), 1),
        ("P-sideways", "seen", "0.5 g, EN 0.6 g against tipping", lambda: (
            sideways(50, Rules()), sideways(49, Rules()), sideways(60, EN), sideways(59, EN)),
         (True, False, True, False)),
        ("P-crew", "memory", "two of 85 kg are 374.8 lb; practice", lambda: tuple(
            bool(list(crew_note(to_g(lb, "lb"), to_g(500, "lb"), Units()))) for lb in (874, 875)),
         (True, False)),
        ("P-eu-extended", "seen", "10 h on two days a week", lambda: tuple(
            hours.eu_left(LATE, extended=used).value for used in (0, 1, 2)), (1.5, 1.5, 0.5)),
        ("P-eu-split", "seen", "15 then 30 min; 3 then 9 h", lambda: (
            hours.eu_break_counts([14.9, 30]), hours.eu_break_counts([15, 29.9]),
            hours.eu_rest_counts([2.95, 9]), hours.eu_rest_counts([3, 8.95])),
         (False, False, False, False)),
        ("P-gb-light", "seen", "4 h or less on every day", lambda: (
            hours.gb_within(3, 12, [4, 3]), hours.gb_within(3, 12, [4.05, 3])), (True, False)),
        ("P-trailer-a", "seen", "group A above 10,000 lb of trailer", lambda: tuple(
            licence.us_licence(licence.Combination(17_000, trailer_rating=lb)).value
            for lb in (9_900, 10_000, 10_001)), ("none", "none", "A")),
        ("P-gb", "seen", "B to 3,500 kg, trailer 750 kg", lambda: tuple(
            licence.gb_category(*one).value for one in (
                (3_500,), (3_501,), (3_500, 750), (3_500, 750.5), (7_500, 4_500), (7_500, 4_501))),
         ("B", "C1", "B", "BE", "C1E", "CE")),
    ),
)  # fmt: skip
