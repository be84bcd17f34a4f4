"""How long each vehicle took in each move last time: vehicles are compared, people never."""

from __future__ import annotations

from typing import Any, Final

from server.service import hand_out, morning
from server.service.ports import Ports

MOST_SHOWS: Final = 20  # earlier nights that are looked at, so that a phone never waits for years
MOST_MINUTES: Final = 24 * 60.0  # longer is a clock that was wrong, not a move


def bundle(ports: Ports, show_id: str) -> dict[str, Any]:
    """Return the bundle of a show with the times of the nights before it."""
    return {**hand_out.bundle(ports, show_id), "last_times": last_times(ports, show_id)}


def last_times(ports: Ports, show_id: str) -> list[dict[str, Any]]:
    """Return vehicle, move, minutes, cases and date of the latest earlier night of each.

    Earlier is an earlier date: what is worked today is no last time, and its log still grows.
    """
    here = ports.shows.show(show_id)
    if here is None:
        return []
    wanted = set(ports.shows.vehicles(show_id))
    earlier = [
        one
        for one in ports.shows.all()
        if one.issued and one.cursor and one.id != show_id
        if one.date and (not here.date or one.date < here.date)
    ]
    found: dict[tuple[str, str], dict[str, Any]] = {}
    for show in sorted(earlier, key=lambda one: one.date, reverse=True)[:MOST_SHOWS]:
        if wanted.isdisjoint(ports.shows.vehicles(show.id)):
            continue
        for leg in morning.night(ports, show)["legs"]:
            if leg["vehicle"] in wanted and 0 < leg["minutes"] < MOST_MINUTES:
                found.setdefault(
                    (leg["vehicle"], leg["move"]),
                    {key: leg[key] for key in ("vehicle", "move", "minutes", "cases")}
                    | {"date": show.date},
                )
    return [found[key] for key in sorted(found)]
