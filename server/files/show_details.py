"""Names of drops, days and venue of a show file, in core types."""

from __future__ import annotations

from server.core.base.units import Units, to_um
from server.core.shop.details import Details, Venue, detail_faults
from server.core.shop.show import Show
from server.files.show_schema import ShowModel
from server.trouble import BadInput


def details_of(model: ShowModel, units: Units) -> Details:
    """Return names of drops, days and venue; lengths in the units of the file."""
    names = sorted((int(drop), name.strip()) for drop, name in model.drops.items())
    return Details(
        tuple((drop, name) for drop, name in names if name),
        model.load_day,
        model.return_day,
        _venue(model, units),
    )


def refuse_details(show: Show, place: str) -> None:
    """Raise BadInput naming the first name, day or value of the venue that cannot be."""
    for fault in detail_faults(show.details, show.date, show.units):
        raise BadInput(f"{place}: {fault.field}", fault.expected, fault.got)


def _venue(model: ShowModel, units: Units) -> Venue | None:
    venue = model.venue
    if venue is None:
        return None

    def um(value: float | None) -> int | None:
        return None if value is None else to_um(value, units.length, "near")

    return Venue(
        name=venue.name,
        dock_height_um=um(venue.dock_height),
        ramp_length_um=um(venue.ramp_length),
        slope_percent=venue.slope,
        floor=venue.floor,
        distance_um=um(venue.distance),
        notes=venue.notes,
    )
