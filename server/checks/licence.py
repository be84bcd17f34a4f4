"""Questions on licences, couplings and shares of axles by law."""

from __future__ import annotations

from typing import Final

from server.checks.fields import Field, Given, option
from server.checks.method import Method
from server.core.base.figure import Figure
from server.core.road import licence


def _pounds(given: Given, name: str) -> float:
    return given.to(name, "lb") if given.has(name) else 0.0


def _us(given: Given) -> Figure:
    trailer = [given.has(f"trailer_{what}") for what in ("rating", "actual")]
    if any(trailer) and not trailer[0]:
        raise given.trouble("trailer_rating", "the rating beside the actual mass (0: no trailer)")
    names = ("truck_rating", "truck_actual", "trailer_rating", "trailer_actual")
    return licence.us_licence(licence.Combination(*(_pounds(given, name) for name in names)))


def _gb(given: Given) -> Figure:
    trailer = given.to("trailer_max", "kg") if given.has("trailer_max") else 0.0
    return licence.gb_category(given.to("max_mass", "kg"), trailer)


def _c1e(given: Given) -> Figure:
    vehicle, trailer = given.to("vehicle_max", "kg"), given.to("trailer_max", "kg")
    why = f"{vehicle + trailer:,g} kg together, at most 12,000; the trailer not the heavier"
    allowed = licence.c1e_allows(vehicle, trailer)
    return Figure(allowed, "", licence.GB_SOURCE, why, "planning")


def _coupling(given: Given) -> Figure:
    return licence.coupling_least_kg(given.to("max_towable", "kg"))


def _steered(given: Given) -> Figure:
    unit = given.unit("max_laden")
    found = licence.steered_least(given.to("max_laden", unit), unit, given["kind"])
    if not given.has("front"):
        return found
    enough = (
        given.exact("front")
        >= given.exact("max_laden") * round(100 * licence.STEERED[given["kind"]]) / 100
    )
    parts = (("enough", enough),)
    return Figure(found.value, unit, found.source, found.derivation, "axles", parts)


def _driving(given: Given) -> Figure:
    unit = given.unit("gross")
    return licence.driving_least(given.to("gross", unit), unit)


def _mass(name: str, text: str, *aliases: str) -> Field:
    return Field(name, "mass", text, aliases=aliases, above=0)


METHODS: Final = (
    Method(
        "us",
        "US: licence group and commercial vehicle, by rating and actual mass, the greater of both",
        (
            _mass("truck_rating", "gross rating of the truck", "gvwr"),
            option("truck_actual", "mass", "actual mass of the truck", least=0),
            option("trailer_rating", "mass", "gross rating of the trailer; 0: none", least=0),
            option("trailer_actual", "mass", "actual mass of the trailer", least=0),
        ),
        _us,
        {"truck_rating_lb": 16000, "trailer_rating_lb": 10001},
    ),
    Method(
        "gb",
        "GB and EU: lowest category by maximum mass",
        (
            _mass("max_mass", "maximum mass of the vehicle"),
            option("trailer_max", "mass", "maximum mass of the trailer", least=0),
        ),
        _gb,
        {"max_mass_kg": 7200},
    ),
    Method(
        "c1e",
        "GB: does C1E cover this combination",
        (_mass("vehicle_max", "of the vehicle"), _mass("trailer_max", "of the trailer")),
        _c1e,
        {"vehicle_max_kg": 7500, "trailer_max_kg": 4500},
    ),
    Method(
        "coupling",
        "EU: least vertical load for which the coupling is rated",
        (_mass("max_towable", "greatest mass that may be towed"),),
        _coupling,
        {"max_towable_kg": 2000},
    ),
    Method(
        "steered_axle",
        "least mass on the front steered axle, and whether it is enough",
        (
            _mass("max_laden", "laden mass: by the plate, or gross on the day", "gross"),
            option("front", "mass", "on the front axle", least=0),
            option("kind", "choice", "kind of vehicle", default="goods", choices=("goods", "car")),
        ),
        _steered,
        {"max_laden_kg": 18000},
    ),
    Method(
        "driving_axle",
        "EU international traffic: least mass on the driving axles (from memory)",
        (_mass("gross", "gross mass"),),
        _driving,
        {"gross_kg": 18000},
    ),
)
