"""Published rows on axles, sliders, road rules and slack."""

from __future__ import annotations

from typing import cast

from server.core.securing.slack import slack_um
from server.core.weight.axle_rules import (
    EU_M,
    Tractor,
    bridge_formula_lb,
    holes_to_slide,
    is_heavy_straight,
    vehicle_class,
)
from server.core.weight.balance import Load, two_supports
from tests.core.published.row import Answer, rows_of


def truck(load_lb: float, place_in: float, span_in: float) -> Answer:
    loads = [Load(round(load_lb * 1000), round(place_in * 25_400))]
    front, rear = two_supports(loads, 0, round(span_in * 25_400))
    return float(rear) / 1000, float(front) / 1000


def water_level(body: float, offset: float, load_lb: float, span: float) -> Answer:
    centre = body / 2 + offset
    rear, front = cast("tuple[float, float]", truck(load_lb, centre, span))
    return centre, rear, front


def slid(steer: float, drives: float, trailer: float, holes: int, each: float) -> Answer:
    after = Tractor(steer, drives, trailer).slid(holes, each)
    return after.drives, after.trailer, after.gross


def slid_to(limit: float, steer: float, drives: float, trailer: float, each: float) -> Answer:
    holes = holes_to_slide(trailer - limit, each)
    after = Tractor(steer, drives, trailer).slid(-holes, each)
    return trailer - limit, holes, after.trailer, after.drives, after.gross


# centre in, rear lb, front lb
BODY = rows_of(
    source="truck body-builder manual, appendix B",
    formula="moments",
    rows=(
        (
            "T5-03",
            "seen",
            "water-level payload 14,500 lb: CG = body length/2 + 72",
            lambda: water_level(168, 72, 14500, 214),
            (156, 10570, 3929.9),
            0.6,
        ),
    ),
)

# lb
SLIDER = rows_of(
    source="freight training page",
    formula="slider",
    rows=(
        (
            "T5-04",
            "seen",
            "example 1: drives, trailer, gross",
            lambda: slid(11590, 34700, 32100, 2, 400),
            (33900, 32900, 78390),
        ),
        (
            "T5-05",
            "mixed",
            "example 2: over, holes, trailer, drives, gross",
            lambda: slid_to(34000, 11320, 31300, 35050, 250),
            (1050, 5, 33800, 32550, 77670),
        ),
    ),
)

# length ft, axles → lb
BRIDGE = rows_of(
    source="23 USC 127, 23 CFR 658.17: bridge formula (examples from memory)",
    formula="bridge",
    rows=(
        (
            "T5-06",
            "memory",
            "W = 500 (LN/(N-1) + 12N + 36), nearest 500 lb",
            lambda: bridge_formula_lb(20, 3).value,
            51000,
        ),
        (
            "T5-07",
            "memory",
            "W = 500 (LN/(N-1) + 12N + 36), nearest 500 lb",
            lambda: bridge_formula_lb(35, 4).value,
            65500,
        ),
        (
            "T5-08",
            "memory",
            "W = 500 (LN/(N-1) + 12N + 36), nearest 500 lb",
            lambda: bridge_formula_lb(51, 5).value,
            80000,
        ),
    ),
)

# GVWR lb
GROUP_B = rows_of(
    source="49 CFR 383.91(a)(2)",
    formula="group_b",
    rows=(
        (
            "T5-12",
            "seen",
            "heavy straight vehicle (group B) from 26,001 lb",
            lambda: is_heavy_straight(26001),
            True,
        ),
        (
            "T5-14",
            "seen",
            "heavy straight vehicle (group B) from 26,001 lb",
            lambda: is_heavy_straight(25999),
            False,
        ),
    ),
)

# lb
CLASS = rows_of(
    source="US vehicle class by GVWR",
    formula="class",
    rows=(
        ("T5-15", "seen", "class table", lambda: vehicle_class(14000), 3),
        ("T5-16", "seen", "class table", lambda: vehicle_class(14001), 4),
        ("T5-18", "seen", "class table", lambda: vehicle_class(25999), 6),
        ("T5-19", "seen", "class table", lambda: vehicle_class(26000), 6),
        ("T5-20", "seen", "class table", lambda: vehicle_class(26001), 7),
    ),
)

# metres
EU = rows_of(
    source="Directive 96/53/EC annex I",
    formula="eu_size",
    rows=(
        ("T5-22", "seen", "1.1-1.3", lambda: EU_M["width"], 2.55),
        ("T5-23", "seen", "1.1-1.3", lambda: EU_M["width conditioned"], 2.6),
        ("T5-24", "seen", "1.1-1.3", lambda: EU_M["height"], 4.0),
        ("T5-25", "seen", "1.1-1.3", lambda: EU_M["truck length"], 12.0),
        ("T5-26", "seen", "1.1-1.3", lambda: EU_M["articulated"], 16.5),
        ("T5-27", "seen", "1.1-1.3", lambda: EU_M["road train"], 18.75),
    ),
)

# load lb, place in, wheelbase in → rear, front
TRUCK = rows_of(
    source="two-axle moments",
    formula="moments",
    rows=(
        (
            "T5-33",
            "formula",
            "CG behind the rear axle unloads the front axle",
            lambda: truck(6000, 100, 217),
            (2764.98, 3235.02),
            0.05,
        ),
        (
            "T5-34",
            "formula",
            "CG behind the rear axle unloads the front axle",
            lambda: truck(8000, 230, 217),
            (8479.26, -479.26),
            0.05,
        ),
    ),
)

# load lb, place ft, span ft → tandem, kingpin
TRAILER = rows_of(
    source="semi-trailer moments",
    formula="moments",
    rows=(
        ("T5-35", "formula", "", lambda: truck(30000, 240, 480), (15000, 15000), 0.01),
        ("T5-36", "formula", "", lambda: truck(30000, 288, 480), (18000, 12000), 0.01),
    ),
)

# width, cases (any one unit)
SLACK = rows_of(
    source="row fit: width less cases",
    formula="slack",
    rows=(
        ("T8-21", "formula", "", lambda: slack_um(100, (30, 30, 30)), 10, 0.001),
        ("T8-22", "formula", "", lambda: slack_um(100, (48, 48)), 4, 0.001),
        ("T8-23", "formula", "", lambda: slack_um(96, (24, 24, 24, 24)), 0, 0.001),
        ("T8-24", "formula", "", lambda: slack_um(92, (30, 30, 30)), 2, 0.001),
        ("T8-25", "formula", "", lambda: slack_um(245, (60, 60, 60, 60)), 5, 0.001),
        ("T8-26", "formula", "", lambda: slack_um(245, (80, 80, 80)), 5, 0.001),
    ),
)

ROWS = (*BODY, *SLIDER, *BRIDGE, *GROUP_B, *CLASS, *EU, *TRUCK, *TRAILER, *SLACK)
