"""Questions on single parts of the NIOSH equation: frequency, duration, rest, several tasks."""

from __future__ import annotations

from typing import Final

from server.checks.fields import Field, Given, option
from server.checks.lift import COUPLING, DURATION, DURATION_NAMES, SYSTEM, system_of
from server.checks.method import Method
from server.core.base.figure import Figure, Value
from server.core.handling import niosh, niosh_frequency

SOURCE: Final = niosh.SOURCE


def _vertical(given: Given) -> tuple[niosh.Constants, float]:
    constants = niosh.CONSTANTS[system_of(given)]
    return constants, given.to("vertical", constants.length_unit)


def _frequency(given: Given) -> Figure:
    constants, vertical = _vertical(given)
    duration = DURATION_NAMES[given["duration"]]
    high = vertical >= constants.knuckle
    value = niosh_frequency.frequency_multiplier(given["frequency"], duration, high=high)
    side = "at or above" if high else "below"
    why = f"{given['frequency']:g} a minute, {duration}, hands {side} knuckle height"
    return Figure(value, "", f"{SOURCE}, table 5, p. 15", why, "lift")


def _coupling(given: Given) -> Figure:
    constants, vertical = _vertical(given)
    lift = niosh.Lift(
        constants.horizontal,
        vertical,
        constants.travel_least,
        coupling=given["coupling"],
        system=system_of(given),
    )
    why = f"{given['coupling']} grip with hands {vertical:g} {constants.length_unit} up"
    value = niosh.coupling_multiplier(lift)
    return Figure(value, "", f"{SOURCE}, table 7, p. 18", why, "lift")


def _estimate(given: Given) -> Figure:
    constants, vertical = _vertical(given)
    unit = constants.length_unit
    value = niosh.estimate_horizontal(given.to("width", unit), vertical, system_of(given))
    why = f"half of {given.to('width', unit):g} {unit} and the body's share"
    return Figure(value, unit, f"{SOURCE}, 1.3.1.1, p. 8", why, "lift")


def _adjusted(given: Given) -> Figure:
    value = niosh_frequency.adjusted_frequency(given["frequency"], given["minutes"])
    why = f"{given['frequency']:g} a minute for {given['minutes']:g} of 15 minutes"
    return Figure(value, "lifts a minute", f"{SOURCE}, 1.3.5.5, p. 16", why, "lift")


def _duration(given: Given) -> Figure:
    sessions = [(row["work"], row["rest"]) for row in given["sessions"]]
    name, minutes = niosh_frequency.duration_of(sessions)
    why = f"{minutes:g} minutes count together, light work too short to recover left out"
    parts = (("minutes", minutes),)
    return Figure(name, "", f"{SOURCE}, 1.3.5.2, p. 13-14", why, "lift", parts)


def _rest(given: Given) -> Figure:
    value = niosh_frequency.rest_needed(given["work"])
    why = f"light work after {given['work']:g} minutes of lifting that keeps them in their category"
    return Figure(value, "min", f"{SOURCE}, 1.3.5.2, p. 14", why, "lift")


def _composite(given: Given) -> Figure:
    source = f"{SOURCE}, 2.4.5 and p. 28"
    if given.has("steps"):
        if not given.has("first"):
            raise given.trouble("first", "the largest single index beside steps")
        steps = [(row["index"], row["before"], row["with_task"]) for row in given["steps"]]
        for row in given["steps"]:
            if row["with_task"] > row["before"]:
                raise row.trouble("with_task", "no more than before: more lifts lower FM")
        value = niosh_frequency.composite_index(given["first"], steps)
        return Figure(value, "", source, f"{given['first']:g} and {len(steps)} steps", "lift")
    if not given.has("tasks"):
        raise given.trouble("tasks", "tasks, or first and steps")
    constants, vertical = _vertical(given)
    unit = given["tasks"][0].unit("mass")
    tasks = [(r.to("mass", unit), r.to("limit", unit), r["frequency"]) for r in given["tasks"]]
    duration = DURATION_NAMES[given["duration"]]
    high = vertical >= constants.knuckle
    value = niosh_frequency.composite_of_tasks(tasks, duration, high=high)
    return Figure(value, "", source, f"{len(tasks)} tasks by falling single index", "lift")


def _product(given: Given) -> Figure:
    unit = given.unit("load_constant")
    constant = given.to("load_constant", unit)
    value = niosh.limit_of(constant, given["multipliers"])
    product = " x ".join(f"{one:g}" for one in given["multipliers"])
    why = f"{constant:g} {unit} x {product}"
    parts: tuple[tuple[str, Value], ...] = ()
    if given.has("mass"):
        parts = (("index", niosh.lifting_index(given.to("mass", unit), value)),)
    return Figure(value, unit, SOURCE, why, "lift", parts)


_V: Final = Field(
    "vertical", "length", "hands above the floor at the origin", aliases=("V",), least=0
)
_F: Final = Field("frequency", "number", "lifts a minute", aliases=("F", "lifts_per_min"), least=0)
METHODS: Final = (
    Method(
        "niosh_frequency",
        "frequency multiplier of table 5",
        (_F, _V, DURATION, SYSTEM),
        _frequency,
        {"F": 2.4, "V_in": 40, "duration": "short"},
    ),
    Method(
        "niosh_coupling",
        "coupling multiplier of table 7",
        (_V, COUPLING, SYSTEM),
        _coupling,
        {"coupling": "fair", "V_in": 10},
    ),
    Method(
        "niosh_estimate_h",
        "H from the width of the case",
        (Field("width", "length", "along the body's middle", aliases=("W",), above=0), _V, SYSTEM),
        _estimate,
        {"W_in": 24, "V_in": 20},
    ),
    Method(
        "niosh_adjusted_frequency",
        "frequency where lifting fills only part of 15 minutes",
        (_F, Field("minutes", "number", "of 15", aliases=("minutes_of_15",), above=0, most=15)),
        _adjusted,
        {"lifts_per_min": 10, "minutes_of_15": 8},
    ),
    Method(
        "niosh_duration",
        "category of a day of lifting and light work",
        (
            Field(
                "sessions",
                "rows",
                "minutes of lifting, minutes of light work after it",
                aliases=("min",),
                items=(
                    Field("work", "number", "minutes of lifting", least=0),
                    option("rest", "number", "minutes of light work", default=0, least=0),
                ),
            ),
        ),
        _duration,
        {"sessions": [[30, 10], [45, 0]]},
    ),
    Method(
        "niosh_rest",
        "light work that keeps lifting in its category",
        (Field("work", "number", "minutes of lifting", aliases=("work_min",), above=0),),
        _rest,
        {"work_min": 120},
    ),
    Method(
        "niosh_composite",
        "composite index of several tasks",
        (
            option(
                "tasks",
                "rows",
                "load, frequency-independent limit, lifts a minute of each task",
                items=(
                    Field("mass", "mass", "load", aliases=("load", "L"), least=0),
                    Field("limit", "mass", "FIRWL", aliases=("FIRWL",), above=0),
                    Field("frequency", "number", "lifts a minute", aliases=("F",), least=0),
                ),
            ),
            option(
                "vertical",
                "length",
                "hands above the floor",
                default=0,
                unit="in",
                aliases=("V",),
                least=0,
            ),
            DURATION,
            SYSTEM,
            option("first", "number", "largest single index", aliases=("stli_max",), least=0),
            option(
                "steps",
                "rows",
                "FILI, FM before it and FM with it, of each further task",
                items=(
                    Field("index", "number", "FILI", least=0),
                    Field("before", "number", "FM before", above=0, most=1),
                    Field("with_task", "number", "FM with it", above=0, most=1),
                ),
            ),
        ),
        _composite,
        {"tasks": [[30, 20, 1], [20, 20, 2], [10, 15, 4]], "units": {"mass": "lb"}},
    ),
    Method(
        "niosh_product",
        "limit from a load constant and multipliers",
        (
            Field("load_constant", "mass", "LC", aliases=("lc",), above=0),
            Field(
                "multipliers",
                "list",
                "HM, VM, DM, AM, FM, CM",
                aliases=("mult",),
                items=(Field("multiplier", "number", "0 to 1", least=0, most=1),),
            ),
            option("mass", "mass", "load, for the index", aliases=("load", "L"), least=0),
        ),
        _product,
        {"lc_kg": 23, "mult": [1, 0.93, 1, 0.71, 0.13, 1], "load_kg": 10},
    ),
)
