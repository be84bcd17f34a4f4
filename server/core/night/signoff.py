"""Sign-off: why the night is not complete yet: vehicles, cases, the walk."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from server.core.night.release import held
from server.core.night.state import Held, Leg, StopState


def signoff_held(load_out: Sequence[Leg], walk: Iterable[StopState]) -> tuple[Held, ...]:
    """Return every reason against signing the night off."""
    vehicles = [
        held("vehicles", vehicle=leg.vehicle)
        for leg in load_out
        if (leg.due or leg.on) and leg.released is None
    ]
    cases = [
        held("cases", code=one.code, row=one.row, vehicle=leg.vehicle, what=one.status)
        for leg in load_out
        for one in leg.not_on
        if not one.accounted
    ]
    stops = [
        held("walk", check=stop.id, what="not_ok" if stop.ok is False else "unanswered")
        for stop in walk
        if not stop.done
    ]
    return (*vehicles, *cases, *stops)
