"""Figures at the edge of a constant, where 2 % turns the answer."""

from __future__ import annotations

from typing import Final

from server.core.base.units import to_g
from server.core.handling import day_load, lift_filter
from server.core.handling.push import PushTask, needs_machine, people_by_hse
from server.core.handling.slope import Slope
from server.core.road import goods
from server.core.securing import countries, rows
from server.core.securing.stacks import Stack, tips_forward
from tests.core.published.row import Answer, rows_of

ONE_IN_3: Final = Slope.one_in(3)


def wet(grams: int) -> Answer:
    """People to start on a wet slope of 1 in 3, where feet of 70 kg hold 4.43 kgf at 0.4."""
    found = people_by_hse(PushTask(grams, ONE_IN_3, wet=True), "men")
    return None if found is None else found[0]


def trade(hazard: str, group: str, kilograms: float, litres: float = 0, many: int = 1) -> Answer:
    """May so many equal packages ride as materials of trade?"""
    item = goods.Item(hazard, group, kilograms, litres)
    return goods.materials_of_trade([item] * many).value


def carried(metres: float) -> Answer:
    """Most kilograms a minute that one person carries over a distance."""
    found = day_load.carried_limits(metres)
    return None if found is None else found.minute_kg


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
        ("P-carried", "memory", "ISO 11228-1, cumulative mass by distance", lambda: tuple(
            carried(metres) for metres in (1, 1.01, 2, 2.01, 4, 4.01, 10, 10.01, 20, 20.01)),
         (120, 75, 75, 60, 60, 30, 30, 15, 15, None)),
        ("P-pace", "seen", "HSE filter, pace and twist", lambda: (
            *(lift_filter.pace_share(a_minute) for a_minute in (0.5, 0.505, 2, 2.01, 12, 12.01)),
            *(lift_filter.twist_share(degrees) for degrees in (45, 45.1, 90, 90.1))),
         (1, 0.7, 0.7, 0.5, 0.5, 0.2, 1, 0.9, 0.9, 0.8)),
        ("P-bands", "memory", "HSE INDG383, team handling", lambda: tuple(
            "".join(lift_filter.team_band(people, most + more)[0] for most in edges
                    for more in (0, 0.1))
            for people, edges in ((2, (35, 50, 85)), (3, (40, 75, 125)), (4, (40, 100, 170)))),
         ("gaarrp", "gaarrp", "gaarrp")),
        ("P-173.6", "seen", "49 CFR 173.6: 0.5 and 30 kg or L, 100 kg, 200 kg", lambda: tuple(
            trade(*one) for one in (
                ("8", "I", 0.5), ("8", "I", 0.501), ("3", "II", 9, 30), ("3", "II", 9, 30.1),
                ("9", "III", 30), ("9", "III", 30.1), ("2.2", "", 100), ("2.2", "", 100.1),
                ("2.1", "", 100, 0, 2), ("2.1", "", 50.1, 0, 4))),
         (True, False, True, False, True, False, True, False, True, False)),
        ("P-adr-nothing", "seen", "ADR 1.1.3.6: category 4 x 0; N2 and O2 category 3, 1.4S 4",
         lambda: (goods.adr_points([(4, 900)]).value, *(goods.ADR_KINDS[kind] for kind in (
            "nitrogen", "oxygen", "1.4S", "petrol", "diesel", "propane"))), (0, 3, 3, 4, 2, 3, 2)),
        ("P-lithium", "seen", "ADR SP 188, 49 CFR 173.185(c), air 100 and 160 Wh", lambda: tuple(
            tuple(value for _, value in goods.lithium(hours, kind).details)
            for hours, kind in ((20, "cell"), (20.1, "cell"), (60, "cell"), (60.1, "cell"),
                                (100, "battery"), (100.1, "battery"), (160, "battery"),
                                (160.1, "battery"), (300, "battery"), (300.1, "battery"))),
         ((True, True, "free"), (False, True, "free"), (False, True, "free"),
          (False, False, "free"), (True, True, "free"), (False, True, "two with approval"),
          (False, True, "two with approval"), (False, True, "no"), (False, True, "no"),
          (False, False, "no"))),
        ("P-machine", "memory", "house rule, 650 lb", lambda: tuple(
            needs_machine(PushTask(to_g(lb, "lb"), ONE_IN_3)) for lb in (650, 651)), (False, True)),
    ),
)  # fmt: skip
