"""Questions on ramps: slope, force, people, rating, and figures of other rules."""

from __future__ import annotations

from typing import Any, Final

from server.checks.fields import Field, Given, option
from server.checks.method import Method
from server.checks.push import HANDS, WET, force, task_of, units_of
from server.checks.way import MASS, ROLLING, WAY_FIELDS, ramp_of
from server.core.base.figure import Figure, Value
from server.core.handling import gate, ramp, tilt
from server.core.handling.slope import Slope

REFERENCE: Final = "reference only: no rule sets a slope for the walk ramp of a truck"


def _slope(given: Given) -> Figure:
    slope = ramp_of(given)
    parts: tuple[tuple[str, Value], ...] = (
        ("degrees", slope.angle_deg),
        ("one_in", slope.run_per_rise),
        ("percent", slope.percent),
        ("share_of_weight", slope.sine),
        ("percent_of_weight", 100 * slope.sine),
    )
    why = f"{slope.words()}, a grade of {slope.percent:.1f} %"
    return Figure(slope.angle_deg, "deg", "geometry of the ramp", why, "ramp", parts)


def _people(given: Given) -> Figure:
    ramp_of(given)
    rating = round(given.exact("rating")) if given.has("rating") else None
    crossing = ramp.Crossing(task_of(given), given["hands_there"], rating)
    verdict = ramp.judge_crossing(crossing, units_of(given))
    found = verdict.figure
    ways = tuple(ramp.WAY_WORDS[way] for way in verdict.ways)
    parts: tuple[tuple[str, Value], ...] = (
        ("may_go", verdict.may_go),
        ("reasons", verdict.reasons),
        ("ways_out", ways),
        ("asks", tuple(ramp.WAY_WORDS[way] for way in verdict.asks)),
        *found.details,
    )
    why = found.derivation
    if verdict.asks:
        why += f". First: {'; '.join(ramp.WAY_WORDS[way] for way in verdict.asks)}"
    if not verdict.may_go:
        why += f". NOT as planned: {'; '.join(verdict.reasons)}. Ways out: {'; '.join(ways)}"
    return Figure(found.value, found.unit, found.source, why, "ramp", parts)


def _load(given: Given) -> Figure:
    rating = round(given.exact("rating")) if given.has("rating") else None
    return ramp.ramp_load(round(given.exact("mass")), given["people"], rating, units_of(given))


def _ada(given: Given) -> Figure:
    rise = given.to("rise", "in")
    parts: tuple[tuple[str, Value], ...] = (
        ("run_ft", ramp.ada_run_ft(rise)),
        ("length_with_landings_ft", ramp.ada_length_ft(rise)),
        ("degrees", Slope.one_in(ramp.ADA_RUN_PER_RISE).angle_deg),
        ("most_rise_of_one_run_in", ramp.ADA_RISE_IN),
        ("cross_slope", ramp.ADA_CROSS),
        ("width_in", ramp.ADA_WIDTH_IN),
    )
    why = f"1 in {ramp.ADA_RUN_PER_RISE} for a rise of {rise:g} in ({REFERENCE})"
    return Figure(ramp.ada_run_ft(rise), "ft", "2010 ADA standards 405", why, "ramp", parts)


def _reference(given: Given) -> Figure:
    rules: dict[str, tuple[Value, str, str, tuple[tuple[str, Value], ...]]] = {
        "cleats": (
            Slope.one_in(ramp.CLEATS_RUN_PER_RISE).angle_deg,
            "deg",
            "29 CFR 1926.451(e)(5)(iv)",
            (("one_in", ramp.CLEATS_RUN_PER_RISE), ("apart_in", ramp.CLEATS_APART_IN)),
        ),
        "railing": (
            ramp.RAILING_DEG,
            "deg",
            "29 CFR 1918.25(b)",
            (("deg", ramp.RAILING_DEG), ("ft", ramp.RAILING_FALL_FT)),
        ),
        "dockboard": (len(ramp.DOCKBOARD), "requirements", "29 CFR 1910.26", ()),
    }
    value, unit, source, parts = rules[given["rule"]]
    if given["rule"] == "dockboard":
        parts = (("requirements", ramp.DOCKBOARD),)
    return Figure(value, unit, source, f"{given['rule']} ({REFERENCE})", "ramp", parts)


def _gate(given: Given) -> Figure:
    unit = given.unit("rating")
    allowed = gate.allowed_at_g(
        float(given.exact("rating")),
        float(given.exact("load_centre")),
        float(given.exact("load_at")),
    )
    value = allowed / float(given.exact("rating")) * given.to("rating", unit)
    why = (
        f"equal moment: {given.to('rating', unit):g} {unit} at the plate's distance, {value:g} here"
    )
    source = "EN 1756-1, principle of the load diagram (from memory); the plate decides"
    if not given.has("mass"):
        return Figure(value, unit, source, why, "ramp")
    lifted = float(given.exact("mass")) + (
        float(given.exact("operator")) if given.has("operator") else ramp.PERSON_G
    )
    within = lifted <= allowed
    why += f"; case and operator are {'within' if within else 'over'} it"
    return Figure(value, unit, source, why, "ramp", (("within", within), ("lifted_g", lifted)))


def _tilt(given: Given) -> Figure:
    if given.has("offset_mg"):
        error = tilt.error_deg(given["offset_mg"])
        why = f"arcsine of {given['offset_mg']:g} thousandths of g, one reading alone"
        return Figure(error, "deg", "geometry", why, "ramp")
    readings: tuple[Any, ...] = given["readings"] or ()
    if len(readings) != 2:
        raise given.trouble("readings", "two readings, the phone turned end for end between them")
    one, other = readings
    value = tilt.both_ways_deg(one.value, other.value)
    why = "half the difference of two readings turned end for end: the offset cancels"
    parts = (("offset_deg", tilt.offset_deg(one.value, other.value)),)
    return Figure(value, "deg", "geometry", why, "ramp", parts)


METHODS: Final = (
    Method(
        "slope",
        "angle, 1 in so many, percent of a ramp",
        WAY_FIELDS,
        _slope,
        {"deck_in": 36, "ramp_in": 144},
    ),
    Method(
        "force",
        "push up the ramp, W (sin t + Crr cos t)",
        (MASS, *WAY_FIELDS, ROLLING),
        force,
        {"mass_lb": 500, "deck_in": 36, "ramp_in": 144},
    ),
    Method(
        "people",
        "people on the case; with hands_there and rating: may it go, why not, ways out",
        (
            MASS,
            *WAY_FIELDS,
            ROLLING,
            WET,
            HANDS,
            option("hands_there", "count", "hands on site for this case", least=0),
            option("rating", "mass", "the maker's rating of the ramp", above=0),
        ),
        _people,
        {"mass_lb": 420, "deck_in": 34, "ramp_in": 144, "wet": True, "hands_there": 3},
    ),
    Method(
        "load",
        "case and people together against the rating",
        (
            MASS,
            Field("people", "count", "on the ramp with it", least=0),
            option("rating", "mass", "the maker's rating of the ramp", above=0),
        ),
        _load,
        {"mass_lb": 420, "people": 3, "rating_lb": 1000},
    ),
    Method(
        "gate",
        "what a lift gate carries with the load's centre out from the plate's, case and operator",
        (
            Field("rating", "mass", "by the plate", aliases=("rated",), above=0),
            Field("load_centre", "length", "of the plate, from the truck", above=0),
            Field("load_at", "length", "centre of this load from the truck", above=0),
            option("mass", "mass", "case with its trolley", above=0),
            option("operator", "mass", "people on the platform; else one of 85 kg", least=0),
        ),
        _gate,
        {"rated_kg": 1500, "load_centre_mm": 600, "load_at_mm": 900},
    ),
    Method(
        "tilt",
        "slope from two readings of a phone laid on the ramp, turned end for end",
        (
            option(
                "readings",
                "list",
                "degrees of both readings",
                aliases=("reading",),
                items=(Field("reading", "angle", "one reading", least=-89, most=89),),
            ),
            option("offset_mg", "number", "else: error by an offset of g/1000", least=0, most=1000),
        ),
        _tilt,
        {"readings": [6.2, -3.4], "units": {"angle": "deg"}},
    ),
    Method(
        "ada",
        "run of a 1 in 12 ramp, with landings (reference only)",
        (Field("rise", "length", "height to reach", above=0),),
        _ada,
        {"rise_in": 36},
    ),
    Method(
        "reference",
        "figures of other rules at a ramp (reference only)",
        (Field("rule", "choice", "which", choices=("cleats", "railing", "dockboard")),),
        _reference,
        {"rule": "cleats"},
    ),
)
