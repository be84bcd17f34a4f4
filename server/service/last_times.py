"""How long each vehicle took in each move last time: vehicles are compared, people never."""

from __future__ import annotations

from typing import Any, Final

from server.service import hand_out, morning
from server.service.ports import Ports
from server.service.records import Role

MOST_SHOWS: Final = 20  # earlier nights that are looked at, so that a phone never waits for years
MOST_MINUTES: Final = 24 * 60.0  # longer is a clock that was wrong, not a move


def bundle(ports: Ports, show_id: str, role: Role) -> dict[str, Any]:
    """Return the bundle of a show for a role, with the times of the nights before it."""
    return {**hand_out.bundle(ports, show_id, role), "last_times": last_times(ports, show_id)}


def last_times(ports: Ports, show_id: str) -> list[dict[str, Any]]:
    """Return vehicle, move, minutes, cases and date of the latest earlier night of each.

    Earlier is an earlier date: what is worked today is no last time, and its log still grows.
    Nights that are not added up yet are added one a request, and are missing until then.
    """
    here = ports.shows.show(show_id)
    if here is None:
        return []
    wanted = set(ports.shows.vehicles(show_id))
    earlier = ports.shows.worked_before(here.date, MOST_SHOWS + 1)
    newest = [one for one in earlier if one.id != show_id][:MOST_SHOWS]
    nights = morning.sums(ports, newest, 1)
    found: dict[tuple[str, str], dict[str, Any]] = {}
    for show in newest:
        for leg in nights.get(show.id, {"legs": []})["legs"]:
            if leg["vehicle"] in wanted and 0 < leg["minutes"] < MOST_MINUTES:
                found.setdefault(
                    (leg["vehicle"], leg["move"]),
                    {key: leg[key] for key in ("vehicle", "move", "minutes", "cases")}
                    | {"date": show.date},
                )
    return [found[key] for key in sorted(found)]
