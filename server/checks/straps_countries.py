"""Questions on restraint by the rules of other countries."""

from __future__ import annotations

from typing import Final, cast

from server.checks.fields import Field, Given
from server.checks.method import Method
from server.checks.straps_us import LENGTH, MASS
from server.core.base.figure import Figure
from server.core.securing import countries


def _restraint(given: Given) -> Figure:
    unit = given.unit("mass")
    country = cast("countries.Country", given["country"])
    way = cast("countries.Direction", given["direction"])
    return countries.restraint(given.to("mass", unit), unit, country, way)


def _canada(given: Given) -> Figure:
    return countries.tiedowns(given.exact("length"), given.exact("mass"), blocked=given["blocked"])


METHODS: Final = (
    Method(
        "restraint",
        "force to hold in one direction by the rules of the UK, Australia or Canada",
        (
            MASS,
            Field("country", "choice", "whose rules", choices=tuple(countries.PERFORMANCE)),
            Field(
                "direction",
                "choice",
                "which way; never guessed",
                choices=("forward", "rearward", "sideways", "vertical"),
            ),
        ),
        _restraint,
        {"mass_kg": 1000, "country": "australia", "direction": "forward"},
    ),
    Method(
        "ca_number",
        "least number of tiedowns by Canada's standard 10 (from memory)",
        (LENGTH, MASS, Field("blocked", "flag", "blocked from moving forward; never guessed")),
        _canada,
        {"length_m": 3.65, "mass_kg": 600, "blocked": False},
    ),
)
