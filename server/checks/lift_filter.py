"""Questions on the HSE lifting filter, team bands and the load of a night."""

from __future__ import annotations

from typing import Final, cast

from server.checks.fields import Field, Given, option
from server.checks.method import Method
from server.core.base.figure import Figure, Value
from server.core.handling import day_load, lift_filter, lift_zones

NAMES: Final = tuple(zone.name for zone in lift_zones.ZONES)
REACHES: Final[dict[str, lift_zones.Reach]] = {
    "close": "close",
    "arms_out": "arms_out",
    "arms extended": "arms_out",
}
WHO: Final = ("men", "women", "mixed")


def _cell(zone: str, who: str, reach: str) -> float:
    found = next(one for one in lift_zones.ZONES if one.name == zone)
    return found.kilograms["men" if who == "men" else "mixed", REACHES[reach]]


def _zone(given: Given) -> Figure:
    cells = []
    if given.has("zones"):
        if given.has("zone"):
            raise given.trouble("zone", "zone and reach, or zones")
        cells = [(row["zone"], row["reach"]) for row in given["zones"]]
    elif given.has("zone") and given.has("reach"):
        cells = [(given["zone"], given["reach"])]
    if not cells:
        raise given.trouble("zone", "zone and reach (never guessed), or zones")
    value, zone, reach = min(
        (_cell(zone, given["who"], reach), zone, reach) for zone, reach in cells
    )
    return Figure(value, "kg", lift_zones.SOURCE, f"{zone}, {reach}", "lift")


def _pace(given: Given) -> Figure:
    value = given.to("filter", "kg")
    pace = lift_filter.pace_share(given["per_minute"])
    twist = lift_filter.twist_share(given.to("twist", "deg"))
    why = f"{value:g} kg x {pace:g} at {given['per_minute']:g} a minute x {twist:g} for the twist"
    parts: tuple[tuple[str, Value], ...] = (("pace", pace), ("twist", twist))
    return Figure(value * pace * twist, "kg", lift_filter.PACE_SOURCE, why, "lift", parts)


def _band(given: Given) -> Figure:
    people, mass = given["people"], given.to("mass", "kg")
    band = lift_filter.team_band(people, mass)
    why = f"{mass:g} kg by {people} people"
    return Figure(band, "colour", lift_filter.BANDS_SOURCE, why, "lift")


def _limits(given: Given) -> Figure:
    metres = given.to("carry", "m")
    found = day_load.carried_limits(metres)
    if found is None:
        raise given.trouble("carry", "at most 20 m, where figures exist")
    parts = (
        ("kg_per_min", found.minute_kg),
        ("kg_per_h", found.hour_kg),
        ("kg_per_8h", found.night_kg),
    )
    why = f"one person, each carry of {metres:g} m or less"
    return Figure(found.night_kg, "kg", day_load.SOURCE, why, "lift", parts)


def _night(given: Given) -> Figure:
    return day_load.night_figure(given["carries"], given.to("each", "kg"), given.to("carry", "m"))


def _reference(given: Given) -> Figure:
    who = cast("str", given["who"])
    value = day_load.REFERENCE_KG["men" if who == "men" else "mixed"]
    source = "ISO 11228-1 annex C, reference mass (mixed: from memory)"
    return Figure(value, "kg", source, f"reference mass, {who}", "lift")


_WHO: Final = option("who", "choice", "who lifts", default="mixed", choices=WHO)
METHODS: Final = (
    Method(
        "zone",
        "what one person lifts by the zone of the hands (HSE filter); of several the smallest",
        (
            option("zone", "choice", "where the hands are", choices=NAMES),
            option("reach", "choice", "close to the body or arms out", choices=tuple(REACHES)),
            option(
                "zones",
                "rows",
                "zone and reach of each part of the lift",
                items=(
                    Field("zone", "choice", "where the hands are", choices=NAMES),
                    Field("reach", "choice", "how far", choices=tuple(REACHES)),
                ),
            ),
            _WHO,
        ),
        _zone,
        {"zone": "knuckle to elbow", "reach": "close", "who": "men"},
    ),
    Method(
        "pace",
        "filter value cut for pace and twist",
        (
            Field("filter", "mass", "filter value", above=0),
            option(
                "per_minute",
                "number",
                "lifts a minute",
                default=0.2,
                aliases=("lifts_per_min", "frequency"),
                least=0,
            ),
            option("twist", "angle", "of the trunk", default=0, unit="deg", least=0, most=180),
        ),
        _pace,
        {"filter_kg": 16, "lifts_per_min": 2},
    ),
    Method(
        "team_band",
        "colour of a team lift by its load (MAC tool, from memory)",
        (
            Field("people", "count", "how many", least=2, most=4),
            Field("mass", "mass", "load", aliases=("load",), above=0),
        ),
        _band,
        {"people": 2, "load_kg": 45},
    ),
    Method(
        "carried_limits",
        "most that one person carries in a minute, an hour, 8 hours (ISO 11228-1, from memory)",
        (Field("carry", "length", "distance of each carry", above=0),),
        _limits,
        {"carry_m": 10},
    ),
    Method(
        "carried",
        "whether carries of a mass keep the limit of 8 hours",
        (
            Field("carries", "count", "how many", least=0),
            Field("each", "mass", "mass of each", aliases=("kg_each",), above=0),
            Field("carry", "length", "distance of each carry", above=0),
        ),
        _night,
        {"carries": 600, "each_kg": 15, "carry_m": 10},
    ),
    Method("reference_mass", "reference mass of ISO 11228-1", (_WHO,), _reference, {"who": "men"}),
)
