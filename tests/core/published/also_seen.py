"""Further printed values, so that no row from memory stands alone; pages named by kind."""

from __future__ import annotations

from server.core.securing.criteria import BodyCode, Wall, body_wall_kn
from server.core.securing.rules_en import G, TopOver, blocking_n, short_of_demand
from server.core.weight.axle_rules import SINGLE_LB, TANDEM_LB, bridge_formula_lb
from tests.core.published.row import Answer, rows_of


def wall_dan(payload_kg: float, code: BodyCode, wall: Wall) -> Answer:
    """Return daN as the maker's page prints them, one daN for each kilogram."""
    value = body_wall_kn(payload_kg, code, wall).value
    assert isinstance(value, float)
    return value * 1000 / G


def slides_off_kn(mass_kg: float, friction: float, share: float) -> Answer:
    """Return what is left of the demand when friction alone has held its part."""
    demand, short = short_of_demand(mass_kg, friction, share, TopOver(0.0), 1)
    return demand * short / 1000


# test loads for a payload of 27,000 kg, daN
BODY = rows_of(
    source="curtain maker's page on EN 12642 (code L and XL); inspection body's page for XL shares",
    formula="body",
    rows=(
        ("X-01", "seen", "L, front wall", lambda: wall_dan(27000, "L", "front"), 5000, 0.5),
        ("X-02", "seen", "L, side wall", lambda: wall_dan(27000, "L", "side"), 8100, 0.5),
        ("X-03", "seen", "L, rear wall", lambda: wall_dan(27000, "L", "rear"), 3100, 0.5),
        ("X-04", "seen", "XL, front wall", lambda: wall_dan(27000, "XL", "front"), 13500, 0.5),
        ("X-05", "seen", "XL, side wall", lambda: wall_dan(27000, "XL", "side"), 10800, 0.5),
        ("X-06", "seen", "XL, rear wall", lambda: wall_dan(27000, "XL", "rear"), 8100, 0.5),
    ),
)

# without the exception for two tandems 36 ft apart the formula would give 66,000 lb
BRIDGE = rows_of(
    source="federal brochure on bridge formula weights, quoted on a heavy-haul page",
    formula="bridge",
    rows=(
        ("X-07", "seen", "tandems at 36 ft", lambda: bridge_formula_lb(36, 4).value, 66000),
        ("X-08", "seen", "single, tandem", lambda: (SINGLE_LB, TANDEM_LB), (20000, 34000)),
    ),
)

# 3 t at 0.5 g with friction 0.38: the part that lashings or blocking must take
BLOCKING = rows_of(
    source="Kaps, Securing cargo in road transport",
    formula="blocking",
    rows=(
        (
            "X-09",
            "seen",
            "4.4, demand less friction",
            lambda: (blocking_n(3000, 0.38, 0.5) / 1000, slides_off_kn(3000, 0.38, 0.5)),
            (14.715 - 0.38 * 3 * 9.81, 14.715 - 0.38 * 3 * 9.81),
            0.001,
        ),
    ),
)

ROWS = (*BODY, *BRIDGE, *BLOCKING)
