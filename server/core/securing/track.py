"""Track: which rows the anchors on the walls do not serve as they stand, by plain geometry.

A strap straight across a row needs an anchor on each wall where the row ends, lower than its top.
What an anchor, a fitting or a wall carries is its maker's to say.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from server.core.base.figure import Figure, count_words
from server.core.base.units import Units, from_um
from server.core.shop.plan import Row
from server.core.shop.vehicle import Track

SOURCE: Final = "geometry of the track as entered for the vehicle"
READ_IT: Final = "the ratings of track, fittings and wall are their makers': read them"


def track_figure(track: Track, rows: Iterable[Row], units: Units | None = None) -> Figure:
    """Return how many rows the track does not serve as entered, and which and why."""
    units = units or Units()
    every = list(rows)
    lowest = min(track.heights_um)
    low = [row.number for row in every if _top(row) <= lowest]
    shallow = [row.number for row in every if row.depth < track.pitch_um]
    words = []
    if low:
        words.append(
            f"{_rows(low)} no higher than the lowest track at {_said(lowest, units)}: a strap "
            "from there passes over"
        )
    if shallow:
        words.append(
            f"{_rows(shallow)} less deep than the {_said(track.pitch_um, units)} from anchor to "
            "anchor: there may be none where the row ends"
        )
    if not words:
        words.append("every row is higher than the lowest track and deeper than its pitch")
    parts = (("low", tuple(low)), ("shallow", tuple(shallow)))
    value = len({*low, *shallow})
    return Figure(value, "rows", SOURCE, "; ".join([*words, READ_IT]), "straps", parts)


def _top(row: Row) -> int:
    return max((place.z + place.dz for place in row.places), default=0)


def _rows(numbers: list[int]) -> str:
    names = ", ".join(map(str, numbers))
    return f"{count_words(len(numbers), 'row')} ({names})"


def _said(um: int, units: Units) -> str:
    return f"{from_um(um, units.length):.5g} {units.length}"
