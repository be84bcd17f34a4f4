"""What a show states beside its load: names of its drops, the days it takes, the venue.

Nothing here binds the planner. `detail_faults` names what cannot be, by its path in a show file.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

from server.core.base.units import Units, from_um

Floor = Literal["good", "rough", "soft"]
# Above these the unit or the figure was mistaken. Common practice, no source: trailers' floors are
# 1.0 to 1.5 m above the road; a slope of 50 % is steeper than any walk ramp.
MOST_DOCK_UM: Final = 3_000_000
MOST_RAMP_UM: Final = 50_000_000
MOST_WAY_UM: Final = 5_000_000_000
MOST_SLOPE: Final = 50.0
MOST_DAYS: Final = 366


@dataclass(frozen=True, slots=True)
class Venue:
    """Where the load goes; None: not known, a dock of zero: unloading at street level.

    `slope_percent`: the steepest slope between dock and stage. `distance_um`: from the vehicle to
    the stage. `floor`: good (smooth and hard), rough (uneven, cobbles), soft (grass, gravel).
    """

    name: str = ""
    dock_height_um: int | None = None
    ramp_length_um: int | None = None
    slope_percent: float | None = None
    floor: Floor | None = None
    distance_um: int | None = None
    notes: str = ""


@dataclass(frozen=True, slots=True)
class Details:
    """Names of drops by number, the days of loading and return (as 2027-04-17), the venue.

    Vehicles and cases are busy from `load_day` to `return_day`; empty: the day of the show.
    """

    drop_names: tuple[tuple[int, str], ...] = ()
    load_day: str = ""
    return_day: str = ""
    venue: Venue | None = None

    def drop_name(self, drop: int) -> str:
        """Return the name of a drop, empty where it has none."""
        return dict(self.drop_names).get(drop, "")

    def span(self, show_day: str) -> tuple[str, str]:
        """Return the first and the last day that the show takes; empty where it has no day."""
        return self.load_day or show_day, self.return_day or show_day


@dataclass(frozen=True, slots=True)
class DetailFault:
    """One impossible value: the field, what is expected, what was there."""

    field: str
    expected: str
    got: str


def as_day(text: str) -> date | None:
    """Return a calendar day written as 2027-04-18, or None."""
    try:
        return date.fromisoformat(text) if len(text) == len("2027-04-18") else None
    except ValueError:
        return None


def detail_faults(
    details: Details, show_day: str, units: Units | None = None
) -> tuple[DetailFault, ...]:
    """Return everything about names, days and venue that cannot be."""
    found = [*_names(details), *_days(details, show_day)]
    if details.venue is not None:
        found += _venue(details.venue, units or Units())
    return tuple(found)


def _names(details: Details) -> Iterator[DetailFault]:
    seen: dict[str, int] = {}
    for drop, name in details.drop_names:
        first = seen.setdefault(name.strip().casefold(), drop)
        if first != drop:
            yield DetailFault(f"drops.{drop}", f"a name of its own (drop {first} has it)", name)


def _days(details: Details, show_day: str) -> Iterator[DetailFault]:
    stated = (("load_day", details.load_day), ("return_day", details.return_day))
    if not any(text for _, text in stated):
        return
    for field, text in (*stated, ("date", show_day)):
        if text and as_day(text) is None:
            yield DetailFault(field, "a day of the calendar, such as 2027-04-18", text)
            return
    if not show_day:
        yield DetailFault("date", "the day of the show, where load or return day are given", "none")
        return
    first, last = details.span(show_day)
    if first > show_day:
        yield DetailFault("load_day", f"no later than the day of the show ({show_day})", first)
    elif last < show_day:
        yield DetailFault("return_day", f"no earlier than the day of the show ({show_day})", last)
    elif (date.fromisoformat(last) - date.fromisoformat(first)).days > MOST_DAYS:
        yield DetailFault("return_day", f"at most {MOST_DAYS} days after the load day", last)


def _venue(venue: Venue, units: Units) -> Iterator[DetailFault]:
    def long(um: int) -> str:
        return f"{from_um(um, units.length):g} {units.length}"

    for field, value, most in (
        ("dock_height", venue.dock_height_um, MOST_DOCK_UM),
        ("ramp_length", venue.ramp_length_um, MOST_RAMP_UM),
        ("distance", venue.distance_um, MOST_WAY_UM),
    ):
        if value is not None and value > most:
            yield DetailFault(f"venue.{field}", f"at most {long(most)}", long(value))
    dock, ramp = venue.dock_height_um, venue.ramp_length_um
    if dock is not None and ramp is not None and ramp <= dock:
        yield DetailFault(
            "venue.ramp_length", f"more than the dock is high ({long(dock)})", long(ramp)
        )
    slope = venue.slope_percent
    if slope is not None and not 0 <= slope <= MOST_SLOPE:
        yield DetailFault("venue.slope", f"0 to {MOST_SLOPE:g} percent", f"{slope:g}")
