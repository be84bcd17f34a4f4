"""Release: why a vehicle may not go yet, every gate of DESIGN 5.3, each reason by itself."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Any

from server.core.base.units import SHARE_BLUR, within
from server.core.crew.bundle import LOADING, Move, VehicleSheet
from server.core.night.events import overridable
from server.core.night.house_state import State
from server.core.night.state import Held, Leg


def held(gate: str, **what: Any) -> Held:
    """Return one reason; only some gates may be overridden."""
    return Held(gate=gate, **what, overridable=overridable(gate))


def with_reasons(sheet: VehicleSheet, leg: Leg, gaps: Iterable[str]) -> Leg:
    """Return the leg with every reason that still stands, overridden ones left out."""
    reasons = [*_cases(leg)]
    if leg.move in LOADING:
        reasons += [*_rows(leg), *_checks(leg), *_unweighed(leg), *_unread(sheet, leg)]
        reasons += [*_masses(sheet, leg), *_unsent(leg, gaps)]
    else:
        reasons += _checks(leg)
    said = {one.gate for one in leg.overridden}
    kept = (
        one
        for one in reasons
        if not (one.overridable and said & {one.gate, f"{one.gate}:{one.row}"})
    )
    return replace(leg, held=tuple(kept))


def _cases(leg: Leg) -> Iterator[Held]:
    for one in leg.not_on:
        if not one.accounted:
            yield held("cases", code=one.code, row=one.row, what=one.status)


def _rows(leg: Leg) -> Iterator[Held]:
    for row in leg.rows:
        if not row.on:
            continue
        if row.needed > (row.counted or 0):
            yield held("straps", row=row.number, value=row.counted, limit=row.needed)
        if row.needs_fill and not row.filled:
            yield held("slack", row=row.number)


def _checks(leg: Leg) -> Iterator[Held]:
    for check in leg.checks:
        if check.open:
            what = "not_ok" if check.ok is False else "unanswered"
            what = what if check.lacks is None else f"no_{check.lacks}"
            yield held(f"checks:{check.id}", check=check.id, what=what)


def _unweighed(leg: Leg) -> Iterator[Held]:
    """Weigh it or answer for the guess: every case on board whose mass is assumed."""
    for code in leg.unweighed:
        yield held("mass", code=code, what="assumed")


def _unread(sheet: VehicleSheet, leg: Leg) -> Iterator[Held]:
    """Read the plate or answer for it: a figure of ours allows nothing by itself."""
    for name in sheet.unread if leg.on else ():
        if name != "straps" or any(row.on and row.needed for row in leg.rows):
            yield held(f"plate:{name}", what=name)


def _masses(sheet: VehicleSheet, leg: Leg) -> Iterator[Held]:
    limits = [("payload", "payload", leg.mass_g, sheet.payload_g)]
    if leg.axles is not None and sheet.axles is not None:
        limits += [
            ("axles", "front", leg.axles.front_g, sheet.axles.front_limit_g),
            ("axles", "rear", leg.axles.rear_g, sheet.axles.rear_limit_g),
            ("axles", "gross", leg.axles.gross_g, sheet.axles.gross_limit_g),
        ]
    for gate, what, value, limit in limits:
        if not within(value, limit, len(leg.on)):
            yield held(gate, what=what, value=value, limit=limit)
    if leg.axles is None or sheet.axles is None or leg.axles.share is None or not leg.on:
        return
    ends = (("front", leg.axles.least_front_g), ("rear", leg.axles.least_rear_g))
    for what, value in ends:
        if value < 0:  # the load lifts this support off the ground
            yield held("axles", what=f"{what}_lifted", value=value, limit=0)
    share, least, most = leg.axles.share, sheet.axles.least_share, sheet.axles.most_share
    if least is not None and share < least - SHARE_BLUR:
        yield held("axles", what="share_min", value=share, limit=least)
    share = share if leg.axles.most_share is None else leg.axles.most_share
    if most is not None and share > most + SHARE_BLUR:
        yield held("axles", what="share_max", value=share, limit=most)


def _unsent(leg: Leg, devices: Iterable[str]) -> Iterator[Held]:
    for device in devices:
        if device not in leg.unsent_known:
            yield held("unsent", device=device)


def release_reasons(
    state: State, move: Move, vehicle: str, unsent: Iterable[str] = ()
) -> tuple[Held, ...]:
    """Return all reasons against releasing a vehicle now.

    `unsent` names phones that said by heartbeat that they hold scans not sent yet; gaps in a
    phone's running numbers count without being told.
    """
    leg = state.legs[move].get(vehicle)
    if leg is None:
        return (held("vehicle", vehicle=vehicle),)
    known = {one.device for one in leg.held if one.gate == "unsent"}
    more = _unsent(leg, sorted(set(unsent) - known))
    again = [] if leg.released is None else [held("already_released", vehicle=vehicle)]
    return (*leg.held, *more, *again)
