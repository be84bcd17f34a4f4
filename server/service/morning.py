"""The morning after and the months behind: put-away, what is short, reports over every night."""

from __future__ import annotations

import threading
from collections import Counter
from collections.abc import Sequence
from typing import Any, Final

from server.core.crew.bundle import read_bundle
from server.core.night.fold import fold
from server.core.night.house_state import Contradiction, State
from server.core.night.state import Leg
from server.service import hand_out, office
from server.service.ports import Ports
from server.service.records import ShowRecord
from server.service.stored import read_stored

MOST_SHOWS: Final = 60  # newest nights that a report looks at
ADDED_A_REPORT: Final = 5  # nights folded anew for one report
_folding: Final = threading.Lock()


def state_of(ports: Ports, show_id: str) -> State | None:
    """Return the night as the events tell it; None while nothing is issued."""
    show = office.show_of(ports, show_id)
    if not show.issued:
        return None
    bundle = read_bundle(hand_out.bundle(ports, show_id))
    return fold(bundle, read_stored(ports.log.all(show_id)))


def put_away(ports: Ports, show_id: str) -> dict[str, Any]:
    """Return what goes to which home in walking order, what is damaged, short, or not ours."""
    fleet = {one.case.code: one for one in ports.fleet.cases()}
    state = state_of(ports, show_id)
    if state is None:
        empty = dict.fromkeys(("homes", "damaged", "contradictions", "short", "give_back"), ())
        return {**{key: list(none) for key, none in empty.items()}, "closed": False}
    on_show = {one.code for one in ports.shows.called(show_id)} | set(state.added)
    names = {code: one.case.name for code, one in fleet.items()}
    names |= {code: one.name for code, one in state.added.items()}
    owners = {code: one.owner for code, one in fleet.items() if one.owner and code in on_show}
    owners |= {code: one.owner for code, one in state.added.items() if one.owner}
    return {
        "homes": [
            {
                "home": home.home,
                "cases": [
                    {"code": one.code, "name": names.get(one.code, ""), "away": one.away,
                     "damaged": one.damaged}
                    for one in home.cases
                ],
            }
            for home in state.put_away
        ],
        "damaged": [
            {"code": code, "name": names.get(code, ""), "note": one.note, "by": one.by,
             "at": one.at, "photo": one.photo}
            for code, one in sorted(state.damaged.items())
        ],
        "contradictions": [_contradiction(one, names) for one in state.contradictions],
        "short": [_short(state, code, names) for code in state.not_back],
        "give_back": [
            {
                "code": code,
                "name": names.get(code, ""),
                "owner": owner,
                "return_on": fleet[code].notes.return_on if code in fleet else "",
            }
            for code, owner in sorted(owners.items())
        ],
        "closed": office.show_of(ports, show_id).closed_at is not None,
    }  # fmt: skip


def _contradiction(one: Contradiction, names: dict[str, str]) -> dict[str, Any]:
    """Return what the chief said of a case against what is recorded of it."""
    return {
        "code": one.code,
        "name": names.get(one.code, ""),
        "said": one.why,
        "why": one.note or "",
        "said_by": one.by,
        "said_at": one.at,
        "seen": "no such case" if one.seen is None else one.seen.words,
        "seen_by": "" if one.seen is None else one.seen.by,
        "seen_at": None if one.seen is None else one.seen.at,
    }


def _short(state: State, code: str, names: dict[str, str]) -> dict[str, Any]:
    """Return a case that did not come back, and where it was seen last."""
    seen = state.last_seen.get(code)
    excuse = next(
        (leg.excused[code] for leg in state.legs["load_out"].values() if code in leg.excused), None
    )
    return {
        "code": code,
        "name": names.get(code, ""),
        "seen": "" if seen is None else seen.words,
        "seen_by": "" if seen is None else seen.by,
        "seen_at": None if seen is None else seen.at,
        "excuse": "" if excuse is None else excuse.why,
        "custodian": "" if excuse is None else excuse.custodian or "",
        "collect_by": "" if excuse is None else excuse.collect_by or "",
    }


def report(ports: Ports) -> dict[str, Any]:
    """Return what the newest nights tell together; `left`: so many are not added up yet."""
    shows = [one for one in ports.shows.all() if one.issued and one.cursor][:MOST_SHOWS]
    found = sums(ports, shows, ADDED_A_REPORT)
    nights = [found[show.id] for show in shows if show.id in found]
    forgotten: Counter[str] = Counter(code for one in nights for code in one["short"])
    damaged: Counter[str] = Counter(code for one in nights for code in one["damaged"])
    names = {one.case.code: one.case.name for one in ports.fleet.cases()}

    def ranked(counts: Counter[str]) -> list[dict[str, Any]]:
        return [
            {"code": code, "name": names.get(code, ""), "count": count}
            for code, count in sorted(counts.items(), key=lambda one: (-one[1], one[0]))[:20]
        ]

    return {
        "nights": nights,
        "forgotten": ranked(forgotten),
        "damaged": ranked(damaged),
        "left": len(shows) - len(nights),
    }


def sums(ports: Ports, shows: Sequence[ShowRecord], most: int) -> dict[str, dict[str, Any]]:
    """Return what nights add up to, by show: those kept, and at most some folded anew.

    A night is folded once and kept until it has another fact or revision. One request of a process
    folds at a time: whoever comes meanwhile takes what is there.
    """
    found = ports.nights.sums(shows)
    missing = [show for show in shows if show.id not in found]
    if missing and _folding.acquire(blocking=False):
        try:
            for show in missing[:most]:
                found[show.id] = _summed(ports, show)
                ports.nights.keep(show, found[show.id])
        finally:
            _folding.release()
    by_id = {show.id: show for show in shows}
    return {
        name: {**one, "name": by_id[name].name, "date": by_id[name].date}
        for name, one in found.items()
    }


def _summed(ports: Ports, show: ShowRecord) -> dict[str, Any]:
    state = state_of(ports, show.id)
    assert state is not None
    return {
        "show": show.id,
        "short": list(state.not_back),
        "damaged": sorted(state.damaged),
        "legs": [
            _leg(move, leg) for move, legs in state.legs.items() for leg in legs.values()
            if leg.first_at is not None
        ],
        "signed": state.signed_off is not None,
    }  # fmt: skip


def _leg(move: str, leg: Leg) -> dict[str, Any]:
    """Return how long one vehicle took in one move, and its rows with slack to be filled."""
    end = leg.released.at if leg.released is not None else leg.last_at
    begin = leg.first_at or 0
    return {
        "move": move,
        "vehicle": leg.vehicle,
        "minutes": round(((end or begin) - begin) / 60_000, 1),
        "cases": leg.done,
        "rows": len(leg.rows),
        "slack_rows": sum(row.needs_fill for row in leg.rows),
        "unfilled": sum(row.needs_fill and not row.filled for row in leg.rows),
    }
