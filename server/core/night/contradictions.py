"""Where the chief's account of a case speaks against what was recorded of it: both are kept."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from server.core.crew.bundle import LOADING, MOVES, Bundle, Move
from server.core.night.event_kinds import ExcuseWhy
from server.core.night.house_state import AddedCase, Contradiction, SeenState
from server.core.night.state import Excuse, Leg

Legs = Mapping[Move, Mapping[str, Leg]]


def contradictions(
    bundle: Bundle,
    legs: Legs,
    last_seen: Mapping[str, SeenState],
    added: Mapping[str, AddedCase],
) -> tuple[Contradiction, ...]:
    """Return every contradiction in the order of the evening: move, vehicle, case."""
    found: list[Contradiction] = []
    for excuse in _excuses(bundle, legs):
        seen = last_seen.get(excuse.code)
        spare = excuse.for_code
        if excuse.why == "swapped" and not (spare in bundle.cases or spare in added):
            found.append(_against(excuse, None))
        elif seen is not None and speaks_against(excuse.why, excuse.move, excuse.to_vehicle, seen):
            found.append(_against(excuse, seen))
    return tuple(found)


def speaks_against(why: ExcuseWhy, move: Move, to_vehicle: str | None, seen: SeenState) -> bool:
    """Return whether what the chief says cannot be true of where a case was last seen."""
    if why == "never_came":
        return True
    aboard = move in LOADING and seen.what == "on" and seen.move == move
    return aboard and not (why == "other_vehicle" and seen.vehicle == to_vehicle)


def _excuses(bundle: Bundle, legs: Legs) -> Iterator[Excuse]:
    for move in MOVES:
        for sheet in bundle.vehicles:
            leg = legs[move].get(sheet.id)
            if leg is not None:
                yield from (leg.excused[code] for code in sorted(leg.excused))


def _against(excuse: Excuse, seen: SeenState | None) -> Contradiction:
    return Contradiction(
        code=excuse.code,
        move=excuse.move,
        vehicle=excuse.vehicle,
        why=excuse.why,
        note=excuse.note,
        by=excuse.by,
        at=excuse.at,
        seen=seen,
    )
