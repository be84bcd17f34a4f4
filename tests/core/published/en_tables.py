"""Published rows on tables of EN 12195-1, the CTU Code and EN 12642."""

from __future__ import annotations

from server.core.securing import rules_en
from server.core.securing.criteria import body_wall_kn
from server.core.securing.friction import friction
from server.core.securing.rules_en import (
    EDITIONS,
    LATEST,
    Direction,
    acceleration,
)
from server.core.securing.slack import CTU_VOIDS_UM
from tests.core.published.row import Answer, rows_of


def accelerations(direction: Direction) -> Answer:
    return tuple(acceleration(one, direction) for one in EDITIONS.values())


def friction_of(cargo: str, floor: str) -> Answer:
    both = friction(cargo, floor), friction(cargo, floor, wet=True)
    return tuple(one and one.value for one in both)


def dynamic(cargo: str, floor: str) -> Answer:
    found = friction(cargo, floor)
    return found and found.detail("dynamic")


# k that fs amounts to
K_FACTOR = rows_of(
    source="Kaps, Securing cargo in road transport",
    formula="k_factor",
    rows=(("T2-03", "seen", "2.2.1", lambda: LATEST.legs / LATEST.excess, 1.82, 0.005),),
)

# older, 2003, 2010
ACCELERATIONS = rows_of(
    source="IRU slides; CTU Code 5.3; EN 12195-1:2010 table 2",
    formula="acceleration",
    rows=(
        (
            "T2-07",
            "seen",
            "IMO/ILO/UNECE; EN 12195-1:2003; revision",
            lambda: accelerations("forward"),
            (1.0, 0.8, 0.8),
        ),
        (
            "T2-08",
            "seen",
            "IMO/ILO/UNECE; EN 12195-1:2003; revision",
            lambda: accelerations("sideways"),
            (0.5, 0.5, 0.5),
        ),
    ),
)

# older, 2003, 2010
TIPPING_SHARES = rows_of(
    source="IRU slides: acceleration coefficients, road",
    formula="tipping",
    rows=(
        (
            "T2-09",
            "seen",
            "IMO/ILO/UNECE; EN 12195-1:2003; revision",
            lambda: tuple(one.tipping_direct for one in EDITIONS.values()),
            (0.5, 0.7, 0.6),
        ),
    ),
)

# shares of gravity
ROAD_2010 = rows_of(
    source="CTU Code 5.3 and EN 12195-1:2010 table 2",
    formula="acceleration",
    rows=(
        ("T2-10", "mixed", "road: forward", lambda: LATEST.forward, 0.8),
        ("T2-11", "mixed", "road: rearward", lambda: LATEST.rearward, 0.5),
        ("T2-12", "mixed", "road: sideways", lambda: LATEST.sideways, 0.5),
        ("T2-13", "mixed", "road: vertical down", lambda: LATEST.down, 1.0),
    ),
)

# dry, wet
FRICTION = rows_of(
    source="CTU Code annex 7 appendix 2, swept clean",
    formula="friction",
    rows=(
        (
            "T2-14",
            "seen",
            "wooden pallet on plywood",
            lambda: friction_of("wooden pallet", "plywood"),
            (0.45, 0.45),
        ),
        (
            "T2-15",
            "seen",
            "sawn timber on grooved aluminium",
            lambda: friction_of("sawn timber", "grooved aluminium"),
            (0.4, 0.4),
        ),
        (
            "T2-16",
            "seen",
            "sawn timber on stainless sheet",
            lambda: friction_of("sawn timber", "stainless sheet"),
            (0.3, 0.3),
        ),
        (
            "T2-17",
            "seen",
            "planed wood on plywood",
            lambda: friction_of("planed wood", "plywood"),
            (0.3, 0.3),
        ),
        (
            "T2-18",
            "seen",
            "planed wood on grooved aluminium",
            lambda: friction_of("planed wood", "grooved aluminium"),
            (0.25, 0.25),
        ),
        (
            "T2-19",
            "seen",
            "planed wood on stainless sheet",
            lambda: friction_of("planed wood", "stainless sheet"),
            (0.2, 0.2),
        ),
        (
            "T2-20",
            "seen",
            "plastic pallet on plywood",
            lambda: friction_of("plastic pallet", "plywood"),
            (0.2, 0.2),
        ),
        (
            "T2-21",
            "seen",
            "plastic pallet on grooved aluminium",
            lambda: friction_of("plastic pallet", "grooved aluminium"),
            (0.15, 0.15),
        ),
        (
            "T2-22",
            "seen",
            "steel crate on plywood",
            lambda: friction_of("steel crate", "plywood"),
            (0.45, 0.45),
        ),
        (
            "T2-23",
            "seen",
            "steel crate on grooved aluminium",
            lambda: friction_of("steel crate", "grooved aluminium"),
            (0.3, 0.3),
        ),
        (
            "T2-24",
            "seen",
            "steel crate on stainless sheet",
            lambda: friction_of("steel crate", "stainless sheet"),
            (0.2, 0.2),
        ),
        (
            "T2-25",
            "seen",
            "cardboard on cardboard",
            lambda: friction_of("cardboard", "cardboard"),
            (0.5, None),
        ),
        (
            "T2-26",
            "seen",
            "cardboard on wooden pallet",
            lambda: friction_of("cardboard", "wooden pallet"),
            (0.5, None),
        ),
        (
            "T2-27",
            "seen",
            "dynamic beside direct lashing",
            lambda: dynamic("wooden pallet", "plywood"),
            0.3375,
            1e-06,
        ),
    ),
)

# centimetres
VOIDS = rows_of(
    source="CTU Code informative material 5",
    formula="slack",
    rows=(("T2-32", "seen", "1.1.3", lambda: CTU_VOIDS_UM / 10_000, 15),),
)

# 80, 50 and 20 degrees
ANGLES = rows_of(
    source="ro-ro carrier’s instruction quoting the quick lashing guide",
    formula="angle",
    rows=(
        (
            "T2-33",
            "seen",
            "lashing angle",
            lambda: tuple(rules_en.angle_rule(a) for a in (80, 50, 20)),
            ("table value", "twice the lashings", "other method"),
        ),
    ),
)

# payload kg → kN
BODY = rows_of(
    source="EN 12642, from memory",
    formula="body",
    rows=(
        (
            "T2-65",
            "memory",
            "code L, front wall",
            lambda: body_wall_kn(10000, "L", "front").value,
            39.24,
            0.02,
        ),
        (
            "T2-66",
            "memory",
            "code L, front wall",
            lambda: body_wall_kn(20000, "L", "front").value,
            49.05,
            0.02,
        ),
        (
            "T2-67",
            "memory",
            "code L, rear wall",
            lambda: body_wall_kn(10000, "L", "rear").value,
            24.53,
            0.02,
        ),
        (
            "T2-68",
            "memory",
            "code L, side wall",
            lambda: body_wall_kn(10000, "L", "side").value,
            29.43,
            0.02,
        ),
        (
            "T2-69",
            "memory",
            "code XL, front wall",
            lambda: body_wall_kn(10000, "XL", "front").value,
            49.05,
            0.02,
        ),
        (
            "T2-70",
            "memory",
            "code XL, side wall",
            lambda: body_wall_kn(10000, "XL", "side").value,
            39.24,
            0.02,
        ),
        (
            "T2-71",
            "memory",
            "code XL, rear wall",
            lambda: body_wall_kn(10000, "XL", "rear").value,
            29.43,
            0.02,
        ),
    ),
)

ROWS = (*K_FACTOR, *ACCELERATIONS, *TIPPING_SHARES, *ROAD_2010, *FRICTION, *VOIDS, *ANGLES, *BODY)
