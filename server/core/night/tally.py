"""Tally of one leg: what is due, on, off, not on and stray, and how its rows stand."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from server.core.crew.bundle import LOADING, Bundle, Move, RowSheet, VehicleSheet
from server.core.night.due import Due
from server.core.night.facts import LegFacts, MoveFacts, RowFacts
from server.core.night.house_state import AddedCase
from server.core.night.sheets import Sheets
from server.core.night.state import CaseMark, Conflict, Excuse, Leg, NotOn, RowState, Stray
from server.core.night.weight import Masses
from server.core.securing.straps import UNKNOWN_WLL_G, strength_count

Sort = Callable[[Iterable[str]], list[str]]


@dataclass(frozen=True, slots=True)
class LegInput:
    """What the tally of one leg reads."""

    bundle: Bundle
    sheets: Sheets
    move: Move
    sheet: VehicleSheet
    facts: MoveFacts
    leg: LegFacts
    due: Due
    added: Mapping[str, AddedCase]
    masses: Masses

    @property
    def loading(self) -> bool:
        """Return whether a case is done when it is on."""
        return self.move in LOADING


def tally(take: LegInput) -> Leg:
    """Return the leg with its cases and rows; checks, weights and gates come after."""
    sheet, facts = take.sheet, take.facts
    sort = _in_sequence(sheet.load if take.loading else sheet.unload)
    due = sort(_keys_of(take.due.due, sheet.id))
    marks = take.leg.marks if take.loading else _unload_marks(take, frozenset(due))
    off = sort(code for code, mark in marks.items() if mark.did == "off")
    if take.loading:
        on = sort(code for code, mark in facts.stands.items() if mark.vehicle == sheet.id)
    else:
        on = [code for code in due if code not in facts.latest or facts.latest[code].did != "off"]
    row_of = {code: _row_of(take, code) for code in on}
    here = _by_row({code: take.sheets.planned_row(sheet.id, code) for code in due})
    aboard = _by_row(row_of)
    rows = _call_full(
        [
            _row_state(take, row, here.get(row.number, ()), aboard.get(row.number, ()))
            for row in sheet.rows
        ]
    )
    done = set(on if take.loading else off)
    return Leg(
        move=take.move,
        vehicle=sheet.id,
        due=tuple(due),
        on=tuple(on),
        off=tuple(off),
        done=sum(code in done for code in due),
        marks=dict(marks),
        excused=_excused_on(take),
        not_on=_not_on(take, due, frozenset(on), rows, sort),
        strays=_strays(take, on if take.loading else off, frozenset(due)),
        conflicts=_conflicts(take),
        rows=tuple(rows),
        row_of=row_of,
        place_of={code: _place_of(take, code) for code in (*due, *on)},
    )


def _in_sequence(order: Sequence[str]) -> Sort:
    """Codes in the order of a sequence, those outside it last and by code."""
    at = {code: index for index, code in enumerate(order)}
    return lambda codes: sorted(codes, key=lambda code: (at.get(code, len(order)), code))


def _keys_of(held: Mapping[str, str], vehicle: str) -> list[str]:
    return [code for code, one in held.items() if one == vehicle]


def _unload_marks(take: LegInput, here: frozenset[str]) -> dict[str, CaseMark]:
    """Unloading: a case belongs to the leg it was due in, else to the vehicle it came off."""
    return {
        code: mark
        for code, mark in take.facts.latest.items()
        if code in here or (code not in take.due.due and mark.vehicle == take.sheet.id)
    }


def _row_of(take: LegInput, code: str) -> int | None:
    if take.loading:
        return take.facts.stands[code].row
    return take.sheets.planned_row(take.sheet.id, code)


def _place_of(take: LegInput, code: str) -> str | None:
    planned = take.sheets.planned(take.sheet.id, code)
    return None if planned is None else planned.place.code


def _excused_on(take: LegInput) -> dict[str, Excuse]:
    codes = sorted(_keys_of(take.due.excused, take.sheet.id))
    return {code: take.facts.excuses[code] for code in codes if code in take.facts.excuses}


def _by_row(row_of: Mapping[str, int | None]) -> dict[int, list[str]]:
    rows: dict[int, list[str]] = {}
    for code, row in row_of.items():
        if row is not None:
            rows.setdefault(row, []).append(code)
    return rows


def _row_state(take: LegInput, row: RowSheet, due: Sequence[str], on: Sequence[str]) -> RowState:
    facts = take.leg.rows.get(row.number, RowFacts())
    limit = take.bundle.slack_limit_um
    # A phone corrects its own count; between phones the higher stays and is flagged.
    counts = tuple(facts.counts[device] for device in sorted(facts.counts))
    numbers = {count.count for count in counts}
    counted = max(numbers, default=None)
    full = bool(due or on) and all(_stands_here(take, code) for code in due)
    needed = max(row.straps, straps_now(sum(take.masses.worst_g(code) for code in on), take.sheet))
    held = counted is not None and counted >= needed
    if take.loading:
        state = "strapped" if held else "full" if full else "open"
    else:
        state = "open" if on else "empty"
    return RowState(
        number=row.number,
        state=state,
        called_full=counted is not None,
        needed=needed if take.loading else row.straps,
        counts=counts,
        counted=counted,
        disagreement=len(numbers) > 1,
        filled=any(count.filled for count in counts),
        needs_fill=(limit is not None and row.slack_um > limit) or row.void_um > 0,
        due=tuple(due),
        on=tuple(on),
        taken_by=facts.taken_by,
        reopened=facts.reopened,
        photos=tuple(facts.photos),
    )


def straps_now(mass_g: int, sheet: VehicleSheet) -> int:
    """Return the straps that half of what stands in a row asks; none for an empty row.

    49 CFR 393.106(d) and 0.5 g rearward of EN 12195-1 ask the same of cases on casters.
    """
    limit = UNKNOWN_WLL_G if sheet.wll_g is None else sheet.wll_g
    return strength_count(mass_g / 2, limit)


def _stands_here(take: LegInput, code: str) -> bool:
    stands = take.facts.stands.get(code)
    return stands is not None and stands.vehicle == take.sheet.id


def _call_full(rows: list[RowState]) -> list[RowState]:
    """A row is called full when its straps, or those of one nearer the door, are counted."""
    last = max((row.number for row in rows if row.called_full), default=-1)
    return [replace(row, called_full=row.number <= last) for row in rows]


def _not_on(
    take: LegInput, due: list[str], on: frozenset[str], rows: list[RowState], sort: Sort
) -> tuple[NotOn, ...]:
    full = {row.number for row in rows if row.called_full} if take.loading else set()
    called = take.loading and take.leg.released is not None
    still = set(due) - on if take.loading else set(due) & on
    accounted = set(_keys_of(take.due.excused, take.sheet.id)) - on - set(due)
    found = []
    for code in sort(still | accounted):
        row = take.sheets.planned_row(take.sheet.id, code)
        held = take.facts.excuses.get(code) if code in accounted else None
        stands = take.facts.stands.get(code)
        found.append(
            NotOn(
                code=code,
                row=row,
                status=held.why if held else "missing" if called or row in full else "not_yet",
                accounted=held is not None,
                for_code=held.for_code if held else None,
                to_vehicle=held.to_vehicle if held else None,
                stands_on=stands.vehicle if stands else None,
            )
        )
    return tuple(found)


def _strays(take: LegInput, found: Iterable[str], due: frozenset[str]) -> tuple[Stray, ...]:
    strays = []
    for code in found:
        if code in due:
            continue
        due_on, held = take.due.due.get(code), take.facts.excuses.get(code)
        if due_on is not None:
            what = "other_vehicle"
        elif held is not None:
            what = "swapped" if held.why == "swapped" else "excused"
        else:
            known = code in take.bundle.cases or code in take.added
            what = "not_on_show" if known else "unknown"
        strays.append(Stray(code, what, due_on))
    return tuple(strays)


def _conflicts(take: LegInput) -> tuple[Conflict, ...]:
    """Recorded here, later on another vehicle, never taken off here nor excused."""
    if not take.loading:
        return ()
    found = []
    for code in sorted(take.leg.marks):
        now = take.facts.stands.get(code) or take.facts.latest.get(code)
        stands_on = None if now is None else now.vehicle
        held = take.facts.excuses.get(code)
        moved = take.leg.marks[code].did == "on" and stands_on not in {None, take.sheet.id}
        if moved and stands_on and not (held and held.why == "other_vehicle"):
            found.append(Conflict(code, take.sheet.id, stands_on))
    return tuple(found)
