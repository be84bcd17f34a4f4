"""Figures of whole cases and rows: what a source gives, asked without handing its constant in.

Each row goes in by the function that screens and planner ask, so that a changed constant is seen.
"""

from __future__ import annotations

from dataclasses import astuple
from math import radians, sin
from typing import Final

from server.core.base.units import to_g, to_um
from server.core.handling import lift_zones
from server.core.handling.brief import STEEP_SINE
from server.core.handling.niosh import CONSTANTS, Lift, System, multipliers, recommended_limit
from server.core.handling.niosh_frequency import (
    TABLE_5,
    duration_of,
    frequency_multiplier,
    rest_needed,
)
from server.core.handling.population import BANDS, bands
from server.core.handling.push import HSE_LIMITS, PushTask, grip_kgf, people_by_house, people_by_hse
from server.core.handling.ramp import CLEATS_APART_IN, ramp_load
from server.core.handling.rolling import LEVER_IN, ROLLING, Caster
from server.core.handling.slope import FLAT, Slope
from server.core.handling.team import (
    MEASURED_SHARES,
    LiftTask,
    hse_capacity,
    lift_figure,
    mil_capacity,
)
from server.core.securing.criteria import BODY_SHARES, CAPS_KN, SHARES, down_criterion, front_wall
from server.core.securing.defaults_us import CHAIN, WEBBING, WIRE_ROPE, friction_mat
from server.core.securing.friction import FRICTION, friction
from server.core.securing.rules_en import EDITIONS, EditionName
from server.core.securing.rules_us import Route, Tiedowns, aggregate_wll_g, number_of_tiedowns
from server.core.securing.slack import fill, slack_figure
from server.core.securing.straps import EN, US, row_straps
from server.core.shop.case_mass import assumed_most_g
from server.core.shop.vehicle import Axles
from server.core.weight.axle_rules import (
    CLASS_LB,
    EU_M,
    EU_T,
    bridge_formula_lb,
    is_heavy_straight,
    vehicle_class,
)
from tests.core.published.row import Answer, rows_of

LB: Final = 453.59237


def edition(name: EditionName) -> Answer:
    one = EDITIONS[name]
    return (
        one.forward, one.sideways, one.rearward, one.tipping_direct, one.tipping_top, one.down,
        one.legs, one.excess, one.excess_forward, one.dynamic,
    )  # fmt: skip


def zone(kilograms: int, inches: int) -> Answer:
    """People for one case with hands at a height, men then mixed."""
    at = to_um(inches, "in")
    task = LiftTask(kilograms * 1000, at, at, "men")
    return lift_figure(task).value


def straps(rules: str, pounds: float, wll: float | None, *, blocked: bool = True) -> Answer:
    return row_straps(
        rules, row_mass_g=to_g(pounds, "lb"), row_depth_um=to_um(30, "in"),
        row_height_um=to_um(60, "in"), blocked=blocked,
        wll_g=None if wll is None else to_g(wll, "lb", "down"),
    ).value  # fmt: skip


def tipping(rules: str, wll: float) -> Answer:
    """Lines against tipping of a deep and narrow row; lines that slide less are not counted."""
    return row_straps(
        rules, row_mass_g=to_g(4000, "lb"), row_depth_um=to_um(12, "in"),
        row_height_um=to_um(90, "in"), blocked=True, wll_g=to_g(wll, "lb", "down"),
    ).detail("tipping")  # fmt: skip


def dynamic(cargo: str, floor: str) -> Answer:
    found = friction(cargo, floor)
    assert found is not None
    return found.detail("dynamic")


def steep(degrees: float) -> Slope:
    return Slope(sin(radians(degrees)), 1.0)


def constants(system: System) -> Answer:
    return tuple(v for v in astuple(CONSTANTS[system]) if not isinstance(v, str))


ROUTES: Final[tuple[Route, ...]] = ("over", "direct", "same_side")
# NIOSH DHHS 94-110, table 5: short, moderate, long; hands from knuckle height and below it.
FM_HIGH: Final = (
    (1.00, .95, .85), (.97, .92, .81), (.94, .88, .75), (.91, .84, .65), (.88, .79, .55),
    (.84, .72, .45), (.80, .60, .35), (.75, .50, .27), (.70, .42, .22), (.60, .35, .18),
    (.52, .30, .15), (.45, .26, .13), (.41, .23, 0), (.37, .21, 0), (.34, 0, 0), (.31, 0, 0),
    (.28, 0, 0),
)  # fmt: skip
FM_LOW: Final = (
    (1.00, .95, .85), (.97, .92, .81), (.94, .88, .75), (.91, .84, .65), (.88, .79, .55),
    (.84, .72, .45), (.80, .60, .35), (.75, .50, .27), (.70, .42, .22), (.60, .35, .18),
    (.52, .30, 0), (.45, .26, 0), (.41, 0, 0), (.37, 0, 0), (0, 0, 0), (0, 0, 0), (0, 0, 0),
)  # fmt: skip

EN_ROWS = rows_of(
    source="CTU Code annex 7 and EN 12195-1, factors of each edition",
    formula="editions",
    rows=(
        ("P-EN-older", "seen", "", lambda: edition("older"), (1, .5, .5, .5, .5, 1, 2, 1, 1, .7)),
        ("P-EN-2003", "seen", "", lambda: edition("2003"), (.8, .5, .5, .7, .7, 1, 1.5, 1, 1, .7)),
        ("P-EN-2010", "seen", "",
         lambda: edition("2010"), (.8, .5, .5, .6, .5, 1, 2, 1.1, 1.25, .75)),
        ("P-CTU-friction", "seen", "appendix 2",
         lambda: tuple(one.dry for one in FRICTION.values()),
         (.45, .40, .30, .30, .30, .25, .20, .20, .15, .15, .45, .30, .20, .50, .50)),
        ("P-CTU-wet", "seen", "appendix 2",
         lambda: tuple(one.wet for one in FRICTION.values() if one.wet is not None),
         (.45, .40, .30, .30, .30, .25, .20, .20, .15, .15, .45, .30, .20)),
        ("P-CTU-dynamic", "seen", "appendix 2",
         lambda: dynamic("wooden pallet", "plywood"), .3375),
        ("P-CTU-void", "seen", "informative material 5, 1.1.3",
         lambda: (slack_figure(150_000, None).detail("must_fill"),
                  slack_figure(150_001, None).detail("must_fill"), bool(fill(150_001, None))),
         (False, True, True)),
        ("P-EN12642", "memory", "L and XL", lambda: (*BODY_SHARES.values(), *CAPS_KN.values()),
         (.4, .3, .25, .5, .4, .3, 49.05, 30.411) ),
        ("P-EN-tipping", "formula", "the same, 0.5 g", lambda: (tipping(EN, 978), tipping(EN, 977)),
         (1, 2)),
        ("P-EN-skid", "seen", "0.75 x 0.20 off casters: 0.35 g", lambda: tuple(
            row_straps(EN, row_mass_g=to_g(lb, "lb"), row_depth_um=to_um(30, "in"),
                       row_height_um=to_um(30, "in"), blocked=True, on_casters=False,
                       wll_g=to_g(1000, "lb", "down")).value for lb in (2857, 2859)), (1, 2)),
        ("P-EN-row", "formula", "0.5 g to the rear, 0.8 g forward",
         lambda: (straps(EN, 2000, 1000), straps(EN, 2001, 1000),
                  straps(EN, 1250, 1000, blocked=False), straps(EN, 1251, 1000, blocked=False)),
         (1, 2, 2, 3)),
    ),
)  # fmt: skip
US_ROWS = rows_of(
    source="49 CFR 393",
    formula="us",
    rows=(
        ("P-US-shares", "seen", "393.102(a)", lambda: tuple(SHARES.values()),
         (.8, .5, .5, .435, .5, .25)),
        ("P-US-down", "seen", "393.102(b)", lambda: down_criterion(1000, "lb").value, 200),
        ("P-US-wall", "memory", "393.114", lambda: front_wall(4, 1000, "lb").value, 500),
        ("P-US-webbing", "seen", "393.108",
         lambda: tuple((one.pounds, one.kilograms) for one in WEBBING.values()),
         ((1750, 790), (2000, 910), (3000, 1360), (4000, 1810))),
        ("P-US-chain", "seen", "393.108",
         lambda: tuple((one.pounds, one.kilograms) for one in CHAIN.values()),
         ((2650, 1200), (5400, 2450), (4700, 2130), (6600, 2990), (11300, 5130), (7100, 3200),
          (8800, 4000))),
        ("P-US-rope", "seen", "393.108", lambda: WIRE_ROPE["3/8 in"].pounds, 3000),
        ("P-US-rope-kg", "seen", "393.108", lambda: WIRE_ROPE["3/8 in"].kilograms, 1360),
        ("P-US-mat", "seen", "393.108(g)", lambda: friction_mat(1000, "lb").value, 500),
        ("P-US-row", "seen", "393.106(d)",
         lambda: (straps(US, 2000, 1000), straps(US, 2001, 1000)), (1, 2)),
        ("P-US-number", "seen", "393.110", lambda: tuple(
            number_of_tiedowns(to_um(feet, "ft"), to_g(lb, "lb", "down"), blocked=False).value
            for feet, lb in ((5, 1100), (5, 1101), (5.001, 900), (10, 900), (10.001, 900))),
         (1, 2, 2, 2, 3)),
        ("P-US-same-side", "seen", "393.106(d): half counts", lambda: tuple(
            float(aggregate_wll_g((Tiedowns(2, 1000, route),)))
            for route in ROUTES), (2000, 1000, 1000)),
        ("P-US-tipping", "formula", "4,000 lb, 12 in deep, 90 in high: 978 lb at 67.5 in, 0.5 g",
         lambda: (tipping(US, 978), tipping(US, 977)), (1, 2)),
        ("P-US-unknown", "memory", "smallest usual strap, 500 lb",
         lambda: (straps(US, 1000, None), straps(US, 1001, None)), (1, 2)),
    ),
)  # fmt: skip
HAND_ROWS = rows_of(
    source="HSE L23, INDG143, push-pull assessment; NIOSH DHHS 94-110; MIL-STD-1472F",
    formula="hands",
    rows=(
        ("P-HSE-push", "seen", "start, keep going",
         lambda: tuple((one.start_kgf, one.keep_going_kgf) for one in HSE_LIMITS.values()),
         ((20, 10), (15, 7))),
        ("P-HSE-rolling", "seen", "2 % good, 10 % uneven; soft: common practice",
         lambda: tuple(ROLLING.values()), (.02, .10, .20)),
        ("P-HSE-400kg", "seen", "2 % and 1 in 12", lambda: (
            people_by_hse(PushTask(400_000), "mixed"),
            people_by_hse(PushTask(400_000, Slope.one_in(12)), "mixed")), ((1, 2), (3, 6))),
        ("P-HSE-zones", "mixed", "filter", lambda: tuple(
            tuple(one.kilograms.values()) for one in lift_zones.ZONES),
         ((10, 5, 7, 3), (20, 10, 13, 7), (25, 15, 16, 10), (20, 10, 13, 7), (10, 5, 7, 3))),
        ("P-HSE-at-height", "mixed", "25 kg at 36 in, 20 at 20 and 50 in, 10 at 6 in",
         lambda: (zone(25, 36), zone(26, 36), zone(20, 20), zone(21, 20), zone(10, 6)),
         (1, 2, 1, 2, 1)),
        ("P-HSE-heights", "memory", "landmarks of the body, common practice",
         lambda: tuple(one.top_um for one in lift_zones.ZONES),
         (250_000, 750_000, 1_050_000, 1_400_000, 1_750_000)),
        ("P-HSE-teams", "seen", "para 120",
         lambda: tuple(hse_capacity(n, 25) for n in (1, 2, 3)), (25, 33.333, 37.5), .001),
        ("P-MIL-teams", "memory", "5.9.11.3",
         lambda: tuple(mil_capacity(n, 44) for n in (1, 2, 3, 4)), (44, 88, 121, 154)),
        ("P-MIL-lift", "memory", "44 lb each: 154 lb for four, none above",
         lambda: tuple(lift_figure(LiftTask(to_g(lb, "lb"))).value for lb in (154, 155)),
         (4, None)),
        ("P-team-measured", "seen", "soldiers", lambda: tuple(MEASURED_SHARES.values()),
         (.873, .911, .802)),
        ("P-house-steps", "memory", "100, 250, 450, 650 lb", lambda: tuple(
            people_by_house(PushTask(to_g(lb, "lb"))) for lb in (100, 101, 250, 251, 450, 451)),
         (1, 2, 2, 3, 3, 4)),
        ("P-ramp-person", "memory", "85 kg with boots and tools",
         lambda: ramp_load(100_000, 2, 270_000).details, (("together_g", 270_000),
                                                           ("rating_g", 270_000))),
        ("P-population", "seen", "Weston et al.",
         lambda: tuple(bands("push_two_hands", h) is not None for h in (31, 32, 48, 49)),
         (False, True, True, False)),
        ("P-population-bands", "seen", "two-hand push and pull at 32, 36, 40, 44, 48 in",
         lambda: tuple(BANDS[way][at] for way in ("push_two_hands", "pull_two_hands")
                       for at in (0, 4, 8, 12, 16)),
         ((48, 61), (52, 63), (54, 64), (62, 73), (68, 79),
          (41, 57), (52, 68), (62, 74), (69, 80), (73, 83))),
        ("P-population-one-hand", "seen", "80 % at 32, 36, 40, 44, 48 in",
         lambda: tuple(BANDS["pull_one_hand"][at][0] for at in (0, 4, 8, 12, 16)),
         (38, 43, 44, 44, 42)),
        ("P-rolling", "seen", "handbook", lambda: (*LEVER_IN.values(), Caster(5, .5, .2).share()),
         (.2, .08, .8, .0835)),
        ("P-NIOSH", "seen", "example 4, origin", lambda: (
            recommended_limit(Lift(10, 22, 37, 0, 3, "short", "fair"), worksheet=False)),
         34.8, .05),
        ("P-NIOSH-parts", "seen", "multipliers", lambda: multipliers(
            Lift(20, 59, 37, 45, 3, "short", "fair")).each(), (.5, .7825, .8686, .856, .88, 1),
         .0005),
        ("P-NIOSH-table-5", "seen", "table 5, hands from 30 in", lambda: tuple(
            tuple(column[1] for column in cells) for cells in TABLE_5.values()), FM_HIGH),
        ("P-NIOSH-table-5-low", "seen", "table 5, hands below 30 in", lambda: tuple(
            tuple(column[0] for column in cells) for cells in TABLE_5.values()), FM_LOW),
        ("P-NIOSH-frequencies", "seen", "table 5", lambda: tuple(TABLE_5),
         (.2, .5, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15)),
        ("P-NIOSH-rest", "seen", "p. 13-14", lambda: (
            rest_needed(60), rest_needed(120), duration_of([(60, 0)])[0], duration_of([(61, 0)])[0],
            duration_of([(120, 0)])[0], duration_of([(121, 0)])[0], duration_of([(480, 0)])[0],
            duration_of([(481, 0)])[0]),
         (60, 36, "short", "moderate", "moderate", "long", "long", None)),
        ("P-NIOSH-us", "seen", "constants", lambda: constants("us"),
         (51, 10, 25, 30, .0075, 70, 1.8, 10, 70, 10, 8, 10)),
        ("P-NIOSH-metric", "seen", "constants", lambda: constants("metric"),
         (23, 25, 63, 75, .003, 175, 4.5, 25, 175, 25, 20, 25)),
        ("P-grip", "mixed", "0.4 wet: NIOSH; 70 kg, 0.6 dry: common practice", lambda: (
            grip_kgf(FLAT), people_by_hse(PushTask(45_000, steep(30.2)), "men") is None,
            people_by_hse(PushTask(45_000, steep(30.6)), "men") is None), (28, False, True), .001),
        ("P-cleats", "seen", "29 CFR 1926.451(e)(5)(iv)", lambda: (CLEATS_APART_IN, STEEP_SINE),
         (14, .12403), .0001),
        ("P-lift-top", "memory", "MIL-STD-1472F: to 5 ft", lambda: tuple(
            lift_figure(LiftTask(3_000, at, at)).value for at in (1_524_000, 1_524_001)),
         (1, None)),
        ("P-corners", "memory", "one at each corner above HSE's three",
         lambda: lift_figure(LiftTask(40_000, 0, 0)).value, 4),
        ("P-NIOSH-FM", "seen", "table 5", lambda: (
            frequency_multiplier(.2, "short", high=True),
            frequency_multiplier(9, "long", high=True),
            frequency_multiplier(9, "long", high=False)), (1.0, .15, 0)),
    ),
)  # fmt: skip
WEIGHT_ROWS = rows_of(
    source="23 CFR 658.17, 23 USC 127, 49 CFR 383.91, Directive 96/53/EC; loading guides",
    formula="weight",
    rows=(
        ("P-bridge-table", "seen", "printed table", lambda: tuple(
            bridge_formula_lb(feet, n).value
            for feet, n in ((9, 3), (11, 3), (13, 3), (8, 2), (9, 2), (36, 4), (51, 5), (60, 9))),
         (42_500, 44_000, 45_500, 34_000, 39_000, 66_000, 80_000, 80_000)),
        ("P-bridge-two", "seen", "two axles never above 40,000",
         lambda: bridge_formula_lb(30, 2).value, 40_000),
        ("P-group-b", "seen", "383.91(a)(2)",
         lambda: (is_heavy_straight(26_000), is_heavy_straight(26_001)), (False, True)),
        ("P-classes", "seen", "GVWR", lambda: tuple(
            vehicle_class(lb + more) for lb in CLASS_LB for more in (0, 1)),
         (1, 2, 2, 3, 3, 4, 4, 5, 5, 6, 6, 7, 7, 8)),
        ("P-class-limits", "seen", "GVWR", lambda: CLASS_LB,
         (6_000, 10_000, 14_000, 16_000, 19_500, 26_000, 33_000)),
        ("P-EU", "mixed", "annex I", lambda: (*EU_M.values(), *EU_T.values()),
         (2.55, 2.60, 4.00, 12.00, 16.50, 18.75, 18, 25, 40, 11.5, 10)),
        ("P-shares", "mixed", "tongue 10 to 15 %, steering 20 %", lambda: tuple(
            (one.least_share, one.most_share)
            for one in (Axles("truck", 0, 1, 0, 0), Axles("ball", 0, 1, 0, 0))),
         ((.20, None), (.10, .15))),
        ("P-densest", "memory", "500 kg a cubic metre",
         lambda: assumed_most_g(1_000_000, 1_000_000, 1_000_000), 500_000),
    ),
)  # fmt: skip
ROWS: Final = (*EN_ROWS, *US_ROWS, *HAND_ROWS, *WEIGHT_ROWS)
