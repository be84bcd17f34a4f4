"""Questions on straps by 49 CFR 393: number, strength, defaults, criteria, walls."""

from __future__ import annotations

from fractions import Fraction
from typing import Final, cast

from server.checks.fields import UNITS, Field, Given, option
from server.checks.method import Method
from server.core.base.figure import Figure, Number
from server.core.base.units import Units
from server.core.securing import criteria, defaults_us, rules_us

MASS: Final = Field("mass", "mass", "mass of the article or row", aliases=("weight",), above=0)
LENGTH: Final = Field("length", "length", "length along the vehicle", above=0)
BLOCKED: Final = option(
    "blocked",
    "flag",
    "blocked from moving forward",
    default=False,
    aliases=("blocked_forward",),
)
WLL: Final = Field(
    "wll", "mass", "working load limit of one", aliases=("wll_each", "strap_wll"), above=0
)
WLL_MAYBE: Final = option(
    "wll", "mass", "working load limit of one", aliases=("wll_each", "strap_wll"), above=0
)
ROUTE_NAMES: Final = {
    "over": "over",
    "direct": "direct",
    "same_side": "same_side",
    "same side": "same_side",
    "over the cargo to the other side": "over",
}
ROUTE: Final = option(
    "route",
    "choice",
    "over (to the other side), direct (to the cargo), same_side (over and back)",
    default="over",
    choices=tuple(ROUTE_NAMES),
)


def units_of(given: Given, mass: str = "mass", length: str | None = None) -> Units:
    """Return the units in which the derivation speaks: those of the question."""
    metric = given.unit(mass) != "lb"
    feet = length is None or given.unit(length) in {"in", "ft"}
    return Units("in" if feet else "cm", "kg" if metric else "lb")


def as_mass(given: Given, name: str, grams: Number) -> float:
    """Return grams in the unit of a field of the question."""
    return float(Fraction(grams) / UNITS["mass"][given.unit(name)])


def _number(given: Given) -> Figure:
    units = units_of(given, length="length")
    mass, length = given.exact("mass"), given.exact("length")
    number = rules_us.number_of_tiedowns(length, mass, blocked=given["blocked"], units=units)
    half = as_mass(given, "mass", mass / 2)
    count = number.whole()
    unit = given.unit("mass")
    parts = (
        ("aggregate_min", half),
        ("wll_each_min", half / count),
        ("mass_unit", unit),
        ("by_number", count),
    )
    if not given.has("wll"):
        return Figure(count, "tiedowns", number.source, number.derivation, "straps", parts)
    both = rules_us.tiedowns_needed(
        length, mass, given.exact("wll"), blocked=given["blocked"], units=units
    )
    return Figure(
        both.value, "tiedowns", both.source, both.derivation, "straps", (*parts, *both.details)
    )


def _strength(given: Given) -> Figure:
    route = cast("rules_us.Route", ROUTE_NAMES[given["route"]])
    found = rules_us.tiedowns_for_strength(
        given.exact("mass"), given.exact("wll"), route, units_of(given)
    )
    least = given["least"] or 0
    exact = given.exact("mass") / 2 / (given.exact("wll") * rules_us.CREDIT[route])
    parts = (("by_strength", found.value), ("by_number", least), ("exact", float(exact)))
    if found.whole() >= least:
        return Figure(found.value, "tiedowns", found.source, found.derivation, "straps", parts)
    why = f"{least} because the number rule asks for no fewer; by strength {found.derivation}"
    source = f"{rules_us.NUMBER_SOURCE}; {found.source}"
    return Figure(least, "tiedowns", source, why, "straps", parts)


def _aggregate(given: Given) -> Figure:
    rows = given["tiedowns"]
    tiedowns = tuple(
        rules_us.Tiedowns(
            row["count"], row.exact("wll"), cast("rules_us.Route", ROUTE_NAMES[row["route"]])
        )
        for row in rows
    )
    found = rules_us.describe_tiedowns(tiedowns, units_of(rows[0], "wll"))
    total = rules_us.aggregate_wll_g(tiedowns)
    parts = (("greatest_mass", as_mass(rows[0], "wll", 2 * total)),)
    value, unit = as_mass(rows[0], "wll", total), rows[0].unit("wll")
    return Figure(value, unit, found.source, found.derivation, "straps", parts)


def _default(given: Given) -> Figure:
    kind, size = given["kind"], given["size"]
    if kind != "chain" and given.has("grade"):
        raise given.trouble("grade", "a grade with a chain only")
    if kind == "chain":
        if not given.has("grade"):
            raise given.trouble("grade", "the grade of the chain")
        found = defaults_us.chain_limit(given["grade"], size)
        table = [s for g, s in defaults_us.CHAIN if g == given["grade"]]
    elif kind == "wire_rope":
        found, table = defaults_us.wire_rope_limit(size), list(defaults_us.WIRE_ROPE)
    else:
        found, table = defaults_us.webbing_limit(size), list(defaults_us.WEBBING)
    if found is None:
        raise given.trouble("size", f"a size of the table ({', '.join(table) or 'none'})")
    if given["unit"] == "lb":
        return found
    kilograms = found.detail("kilograms")
    parts = (("pounds", found.value),)
    return Figure(kilograms, "kg", found.source, found.derivation, "straps", parts)


def _mat(given: Given) -> Figure:
    unit = given.unit("mass")
    return defaults_us.friction_mat(given.to("mass", unit), unit)


def _criterion(given: Given) -> Figure:
    unit = given.unit("mass")
    mass = given.to("mass", unit)
    if given["direction"] == "down":
        return criteria.down_criterion(mass, unit)
    if not given.has("at"):
        raise given.trouble("at", "wll or breaking (they differ, so it is never guessed)")
    way = "lateral" if given["direction"] == "sideways" else given["direction"]
    return criteria.criterion(mass, unit, cast("criteria.Way", way), given["at"])


def _front(given: Given) -> Figure:
    unit = given.unit("mass")
    return criteria.front_wall(given.to("height", "ft"), given.to("mass", unit), unit)


METHODS: Final = (
    Method(
        "us_number",
        "least number of tiedowns (393.110); with wll also their strength, the larger taken",
        (LENGTH, MASS, BLOCKED, WLL_MAYBE),
        _number,
        {"length_ft": 2.5, "mass_lb": 1800, "blocked": False},
    ),
    Method(
        "us_strength",
        "tiedowns whose working load limits add up to half the mass (393.106(d))",
        (
            Field("mass", "mass", "mass of the article", aliases=("weight", "row_weight"), above=0),
            WLL,
            ROUTE,
            option("least", "count", "least number by length", aliases=("n_from_length",), least=0),
        ),
        _strength,
        {"mass_lb": 2001, "wll_lb": 1000, "route": "over", "least": 1},
    ),
    Method(
        "us_aggregate",
        "aggregate working load limit of tiedowns and the heaviest article it holds (393.106(d))",
        (
            Field(
                "tiedowns",
                "rows",
                "count, limit and route of each kind",
                items=(Field("count", "count", "how many", least=1), WLL, ROUTE),
            ),
        ),
        _aggregate,
        {
            "tiedowns": [
                {"count": 2, "wll_lb": 1000},
                {"count": 2, "wll_lb": 3333, "route": "direct"},
            ]
        },
    ),
    Method(
        "us_default",
        "working load limit of an unmarked tiedown (393.108 tables)",
        (
            option(
                "kind",
                "choice",
                "what it is",
                default="webbing",
                choices=("webbing", "chain", "wire_rope"),
            ),
            Field(
                "size", "text", "width or size as the table has it, e.g. 2 in", aliases=("width",)
            ),
            option("grade", "text", "grade of a chain: 30, 43, 70, 80, 100"),
            option("unit", "choice", "column of the table", default="lb", choices=("lb", "kg")),
        ),
        _default,
        {"kind": "chain", "grade": "70", "size": "3/8 in"},
    ),
    Method(
        "us_friction_mat",
        "resistance of an unmarked friction mat (393.108(g))",
        (Field("mass", "mass", "weight on the mat", aliases=("weight", "weight_on_mat"), least=0),),
        _mat,
        {"mass_lb": 1000},
    ),
    Method(
        "us_criteria",
        "force to hold in one direction (393.102)",
        (
            MASS,
            Field(
                "direction",
                "choice",
                "which way",
                choices=("forward", "rearward", "lateral", "sideways", "down"),
            ),
            option(
                "at",
                "choice",
                "at breaking strength or working load limit; needed but for down",
                choices=("wll", "breaking"),
            ),
        ),
        _criterion,
        {"mass_lb": 2000, "direction": "forward", "at": "wll"},
    ),
    Method(
        "us_front_wall",
        "static load of a front end structure (393.114, from memory)",
        (
            Field("height", "length", "height above the floor", above=0),
            Field("mass", "mass", "cargo", aliases=("cargo_weight", "weight"), least=0),
        ),
        _front,
        {"height_ft": 4, "mass_lb": 20000},
    ),
)
