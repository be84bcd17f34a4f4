"""Fold: bundle and set of events in, state of the night out. Order and repeats are nothing.

Rules, the same on the phone (`pwa/src/core/fold.ts`):
- Facts count in the order of `order.py`. An `undone` of the same device voids an event for good;
  what only the chief may say counts for nothing from a loader.
- A phone's running numbers that are missing, though a later one is here, are scans not sent yet,
  unless the phone says that they are withdrawn (the server can never take them).
- A case stands on the vehicle where it was last put on. Recorded on another before, without coming
  off there, it is a conflict until it is taken off there or excused as on another vehicle. A second
  scan of what already stands there changes nothing. It stands in the row that the crew says, else
  in its planned row, else in that of the case it goes for.
- A row's straps count from its last change on. Each phone's latest count stands for that phone; of
  several phones the higher stays and the disagreement is flagged.
- An answer by the chief or owner beats any loader's; then the latest counts;
  that phones disagree is flagged.
- A mass is what the scale says last, or the chief's guess; else by card, as said when added, and
  else assumed: at worst for payload, supports, straps and people, and named until it is settled.
- A row needs no fewer straps than planned, and as many as half of what stands in it now asks.
- The latest of excused and unexcused counts; coming on board later ends an excuse (on the vehicle
  named, for one excused as on another vehicle, it does not).
- Due at shop load is what is planned, with added cases, spares for swapped ones; at load-in what
  stands on the vehicle (what was due, where nothing was recorded); at load-out all that rode in, by
  the vehicle it came off, with added cases that travel; at put-away what came back.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from server.core.base.quantity import total
from server.core.crew.bundle import LOADING, MOVES, Bundle, Move
from server.core.night.checklist import Answers, before_open, checklist, gather_answers, walk
from server.core.night.contradictions import contradictions
from server.core.night.due import due_by_move
from server.core.night.events import Event, standing, unique
from server.core.night.facts import LegFacts, gather
from server.core.night.house import devices, gather_house
from server.core.night.house_state import State
from server.core.night.marks import milliseconds
from server.core.night.order import in_order
from server.core.night.put_away import not_back, put_away_by_home
from server.core.night.release import with_reasons
from server.core.night.sheets import Sheets
from server.core.night.signoff import signoff_held
from server.core.night.state import Leg
from server.core.night.tally import LegInput, tally
from server.core.night.weight import Masses, weigh_on_board


def fold(bundle: Bundle, events: Iterable[Event]) -> State:
    """Return the state of the night."""
    every = in_order(unique(events))
    said = standing(every)
    sheets = Sheets(bundle, said)
    facts = gather(bundle, sheets, said)
    house = gather_house(said)
    masses = Masses(bundle, house.added, house.weighed)
    phones = devices(every)
    answers = gather_answers(bundle, said)
    due = due_by_move(bundle, facts, house.added)
    gaps = sorted(device for device, phone in phones.items() if phone.gaps)
    legs: dict[Move, dict[str, Leg]] = {move: {} for move in MOVES}
    for move in MOVES:
        for sheet in bundle.vehicles:
            leg = facts[move].legs[sheet.id]
            take = LegInput(
                bundle, sheets, move, sheet, facts[move], leg, due[move], house.added, masses
            )
            legs[move][sheet.id] = _leg(take, answers, gaps)
    stops = walk(bundle, said)
    load_out, put_away = tuple(legs["load_out"].values()), tuple(legs["put_away"].values())
    return State(
        legs=legs,
        walk=stops,
        hazards=tuple(house.hazards[name] for name in sorted(house.hazards)),
        damaged=house.damaged,
        added=house.added,
        weighed=house.weighed,
        devices=phones,
        last_seen=house.last_seen,
        contradictions=contradictions(bundle, legs, house.last_seen, house.added),
        put_away=put_away_by_home(bundle, house.damaged, put_away),
        not_back=not_back(load_out, put_away),
        signoff_held=signoff_held(load_out, stops),
        signed_off=house.signed_off,
        closed=house.closed,
    )


def _leg(take: LegInput, answers: Answers, gaps: Iterable[str]) -> Leg:
    """Return a leg with its checks, weights, signatures and the reasons that hold it."""
    bundle, sheet, facts, masses = take.bundle, take.sheet, take.leg, take.masses
    counted = tally(take)
    load = [masses.of(code) for code in counted.on]
    axles = None
    if sheet.axles is not None:
        axles = weigh_on_board(sheet.axles, take.sheets, sheet.id, counted.row_of, masses)
    first_at, last_at = _times(counted)
    checks = checklist(bundle, answers, take.move, sheet.id)
    leg = replace(
        counted,
        checks=checks,
        before_open=before_open(bundle, checks, take.move) if first_at is None else (),
        hands=facts.hands,
        ramp=facts.ramp,
        mass_g=total(load).high or 0,
        least_mass_g=total(load).low,
        unweighed=tuple(sorted(code for code in counted.on if not masses.of(code).known)),
        axles=axles,
        overridden=tuple(facts.overridden[gate] for gate in sorted(facts.overridden)),
        unsent_known=tuple(sorted(facts.unsent_known)),
        released=facts.released,
        recalled=facts.recalled,
        changed_since_release=_changed(facts),
        first_at=first_at,
        last_at=last_at,
    )
    return with_reasons(sheet, leg, gaps)


def _changed(facts: LegFacts) -> bool:
    """Return whether a case came on or went off after the release."""
    released = facts.released
    return released is not None and any(mark.hlc > released.hlc for mark in facts.marks.values())


def _times(leg: Leg) -> tuple[int | None, int | None]:
    """Return when the first and the last case were done, milliseconds by the hybrid clock."""
    here = {*leg.due, *leg.on}
    did = "on" if leg.move in LOADING else "off"
    done = [
        milliseconds(mark.hlc)
        for code, mark in leg.marks.items()
        if code in here and mark.did == did
    ]
    return min(done, default=None), max(done, default=None)
