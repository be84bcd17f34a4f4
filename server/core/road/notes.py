"""What the mass of a vehicle asks of its driver: crew in the payload, licence, towing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from server.core.base.figure import mass_words
from server.core.base.units import Units, from_g
from server.core.handling.ramp import PERSON_G
from server.core.road import goods
from server.core.road.licence import Combination, gb_category, us_licence
from server.core.securing.straps import EN
from server.core.shop.vehicle import Axles

CREW: Final = 2  # who rides along; common practice, no source


def crew_note(payload_g: int | None, load_g: int, units: Units) -> Iterator[str]:
    """Yield that a crew does not fit what the load leaves of the payload."""
    if payload_g is None or not load_g <= payload_g < load_g + CREW * PERSON_G:
        return
    left, crew = mass_words(payload_g - load_g, units), mass_words(CREW * PERSON_G, units)
    yield f"{left} of the payload left: a crew of {CREW} ({crew}) and gear count in it too"


def licence_note(axles: Axles | None, securing: str, units: Units) -> Iterator[str]:
    """Yield the licence that the gross limit asks for by the rules the show is planned under."""
    if axles is None or axles.gross_limit_g is None:
        return
    if axles.kind != "truck":
        yield "licence and towing limit hang on the towing vehicle, which is not stated: read both"
        return
    gross = mass_words(axles.gross_limit_g, units)
    if securing == EN:
        found = gb_category(axles.gross_limit_g / 1000)
        yield f"gross limit {gross}: licence category {found.value} ({found.source})"
        return
    found = us_licence(Combination(from_g(axles.gross_limit_g, "lb")))
    kind = "a commercial vehicle" if found.detail("cmv") else "no commercial vehicle"
    yield f"gross limit {gross}: {kind}, licence group {found.value} ({found.source})"


def goods_note(securing: str) -> str:
    """Return the amounts of dangerous goods that need no placard, by the rules of the show."""
    if securing == EN:
        return (
            f"{goods.ADR_SOURCE}: at most {goods.ADR_MOST:,} points; petrol, propane, lithium "
            f"batteries over {goods.SP188_WH['battery']:g} Wh x {goods.ADR_FACTORS[2]}, diesel and "
            f"CO2 x {goods.ADR_FACTORS[3]} for each kg or L"
        )
    return (
        f"{goods.US_SOURCE}: {goods.US_TOGETHER_KG:g} kg (440 lb) gross together, a cylinder "
        f"{goods.US_CYLINDER_KG:g} kg, a package {goods.US_PACKAGE['II']:g} kg or L (packing group "
        f"I: {goods.US_PACKAGE['I']:g}); effects of class 1 never; lithium batteries to "
        f"{goods.US_ROAD_WH['battery']:g} Wh by 173.185(c)"
    )
