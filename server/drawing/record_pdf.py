"""The record of a night on paper: each vehicle as it was loaded, and how the night ended."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from server.core.base.figure import CAUTIONS
from server.core.base.units import from_g
from server.core.crew.bundle import LOADING, Move
from server.core.handling.slope import STEEPEST, Slope
from server.core.night.record_sheet import Night
from server.core.night.state import Leg, Mark, RampState, Signed
from server.core.shop.plan import VehiclePlan
from server.drawing.flow import LEADING, Flow
from server.drawing.pdf import paper_of, to_pdf
from server.drawing.scene import Picture, Shape, shifted
from server.drawing.signature import signed_box
from server.drawing.views import top_view

MOVES: Final[dict[Move, str]] = {
    "shop_load": "load at the shop",
    "load_in": "load-in",
    "load_out": "load-out",
    "put_away": "put-away",
}
WHY: Final = {
    "left_on_purpose": "left on purpose",
    "never_came": "never came",
    "swapped": "swapped",
    "other_vehicle": "on another vehicle",
    "not_yet": "not yet on",
    "missing": "MISSING",
}
READS: Final = {"row_photo": "row photo", "tap": "tapped, no scan"}
VIEW: Final = 42.0
PHOTO: Final = (58.0, 44.0)


def record_pdf(night: Night) -> bytes:
    """Return the record: a part for every vehicle and loading move that began, then the night."""
    title = f"{night.show.name} {night.show.date}: record"
    flow = Flow(title, paper_of(night.show.units))
    parts = [
        (move, leg)
        for move, legs in night.state.legs.items()
        for leg in legs.values()
        if move in LOADING and (leg.first_at is not None or leg.released is not None)
    ]
    for move, leg in parts:
        _vehicle(flow, night, move, leg)
        flow.new_page()
    _night(flow, night)
    return to_pdf(flow.pages(), title)


def _vehicle(flow: Flow, night: Night, move: Move, leg: Leg) -> None:
    vehicle = night.show.vehicle(leg.vehicle)
    flow.heading(f"{vehicle.name or vehicle.id}: {MOVES[move]}")
    mass = night.show.units.mass
    times = " to ".join(night.when(at) for at in (leg.first_at, leg.last_at) if at is not None)
    flow.line(
        (0, f"{leg.done} of {len(leg.due)} due on board, {from_g(leg.mass_g, mass):,.0f} {mass}")
    )
    flow.line((0, f"loaded {times or 'not begun'}; hands counted: {leg.hands or 'not counted'}"))
    if leg.ramp is not None:
        flow.line((0, f"ramp measured: {_ramp(leg.ramp)}"))
    if leg.axles is not None:
        front, rear = from_g(leg.axles.front_g, mass), from_g(leg.axles.rear_g, mass)
        flow.line((0, f"front {front:,.0f} {mass}, rear {rear:,.0f} {mass} with the load on"))
    planned = next((one for one in night.plan.vehicles if one.vehicle == leg.vehicle), None)
    if planned is not None:
        _drawing(flow, night, leg, planned)
    _rows(flow, night, leg)
    _accounted(flow, night, leg)
    _checks(flow, night, leg)
    _signatures(flow, night, leg.released, "released")
    flow.line((0, CAUTIONS["planning"]))


def _ramp(ramp: RampState) -> str:
    """Say the ramp as it lay at the venue, by the same slope that every figure counts."""
    floors = {"good": "smooth floor", "rough": "rough floor", "soft": "grass, gravel or mud"}
    steep = ramp.rise_um >= ramp.length_um
    slope = STEEPEST if steep else Slope(float(ramp.rise_um), float(ramp.length_um))
    return f"{slope.words()}, {floors[ramp.floor]}"


def _drawing(flow: Flow, night: Night, leg: Leg, planned: VehiclePlan) -> None:
    """Draw the planned rows with only what stands on board in them."""
    vehicle = night.show.vehicle(leg.vehicle)
    on = set(leg.on)
    rows = tuple(
        replace(row, places=tuple(place for place in row.places if place.code in on))
        for row in planned.rows
    )
    high = vehicle.length_um / vehicle.width_um * VIEW
    view = top_view(vehicle, replace(planned, rows=rows), VIEW, night.show.units)
    flow.block(shifted(view, 8, 5), high + 12)


def _rows(flow: Flow, night: Night, leg: Leg) -> None:
    flow.heading("Rows as loaded")
    for row in leg.rows:
        straps = (
            f"straps {row.counted if row.counted is not None else 'not counted'} of {row.needed}"
        )
        extras = [
            *(["counted differently by phones"] if row.disagreement else []),
            *(["slack filled"] if row.filled else ["slack open"] if row.needs_fill else []),
            *([f"reopened {row.reopened} times"] if row.reopened else []),
        ]
        flow.line(
            (0, f"Row {row.number}: {row.state}"), (40, ", ".join([straps, *extras])), bold=True
        )
        for code in row.on:
            mark = leg.marks.get(code)
            flow.line((6, code), (40, "" if mark is None else _said(night, mark, mark.read)))
        _pictures(flow, night, row.photos)


def _pictures(flow: Flow, night: Night, photos: tuple[str, ...]) -> None:
    shown: list[Shape] = [
        Picture(6 + number * (PHOTO[0] + 2), 1, *PHOTO, night.photos[photo])
        for number, photo in enumerate(photos[:3])
        if photo in night.photos
    ]
    if shown:
        flow.block(shown, PHOTO[1] + 3)


def _accounted(flow: Flow, night: Night, leg: Leg) -> None:
    if leg.not_on:
        flow.heading("Due and not on board")
    for one in leg.not_on:
        excuse = leg.excused.get(one.code)
        details = (
            []
            if excuse is None
            else [
                *([f"kept by {excuse.custodian}"] if excuse.custodian else []),
                *([f"collect by {excuse.collect_by}"] if excuse.collect_by else []),
                *([f"{excuse.for_code} goes instead"] if excuse.for_code else []),
                *([f"on {excuse.to_vehicle}"] if excuse.to_vehicle else []),
                *([excuse.note] if excuse.note else []),
                _said(night, excuse),
            ]
        )
        flow.line((0, one.code), (40, "; ".join([WHY[one.status], *details])))
    for stray in leg.strays:
        flow.line((0, stray.code), (40, f"on board, not due here: {stray.what.replace('_', ' ')}"))


def _unloaded(flow: Flow, night: Night) -> None:
    """The checks of load-in and put-away, vehicle by vehicle, where any was answered."""
    for move, legs in night.state.legs.items():
        for leg in legs.values():
            if move not in LOADING and any(check.mark for check in leg.checks):
                vehicle = night.show.vehicle(leg.vehicle)
                _checks(flow, night, leg, f"{vehicle.name or vehicle.id}: checks of {MOVES[move]}")


def _checks(flow: Flow, night: Night, leg: Leg, title: str = "Checks") -> None:
    flow.heading(title)
    for check in leg.checks:
        answer = {None: "not answered", True: "yes", False: "no"}[check.ok]
        said = "" if check.mark is None else _said(night, check.mark)
        note = f" ({check.note})" if check.note else ""
        flow.line((0, answer + note), (40, night.checks.get(check.id, check.id)), (138, said))
        _pictures(flow, night, (check.photo,) if check.photo else ())
    for override in leg.overridden:
        said = _said(night, override)
        flow.line((0, "overridden"), (40, f"{override.gate}: {override.why}"), (138, said))


def _signatures(flow: Flow, night: Night, signed: Signed | None, what: str) -> None:
    if signed is None:
        flow.line((0, f"not {what}"), bold=True)
        return
    flow.heading(f"{what.capitalize()} {_said(night, signed)}")
    flow.line((0, f"over the record with digest {signed.digest}"))
    width = 52.0
    boxes = [
        signed_box(role, name, path, width)
        for role, name, path in night.drawings.get(signed.event, ())
    ]
    shapes = [
        shape
        for number, (drawn, _) in enumerate(boxes)
        for shape in shifted(drawn, number * (width + 6), 1)
    ]
    if shapes:
        flow.block(shapes, max(high for _, high in boxes) + 2)


def _contradictions(flow: Flow, night: Night) -> None:
    """What the chief said of a case against what is recorded of it."""
    if night.state.contradictions:
        flow.heading("Contradictions")
    for one in night.state.contradictions:
        said = f"{one.by} {night.when(one.at)}: {WHY[one.why]}" + (f"; {one.note}" * bool(one.note))
        seen = one.seen
        fact = (
            f"{one.code} goes for no known case"
            if seen is None
            else f"recorded: {seen.words}, {night.when(seen.at)} by {seen.by}"
        )
        flow.line((0, one.code), (40, said), bold=True)
        flow.line((40, fact))


def _night(flow: Flow, night: Night) -> None:
    state = night.state
    flow.heading("The walk of the venue")
    for stop in state.walk:
        answer = "walked" if stop.ok else "not clear" if stop.done else "not walked"
        said = "" if stop.mark is None else _said(night, stop.mark)
        note = f"; {stop.note}" if stop.note else ""
        flow.line((0, answer), (40, night.walk.get(stop.id, stop.id) + note), (138, said))
    _unloaded(flow, night)
    _contradictions(flow, night)
    flow.heading("Cases of the night")
    for code, damage in sorted(state.damaged.items()):
        flow.line((0, code), (40, f"damaged: {damage.note}"))
    for code, added in sorted(state.added.items()):
        flow.line((0, code), (40, f"added at the dock: {added.name}, of {added.owner or 'ours'}"))
    for code in state.not_back:
        flow.line((0, code), (40, "not back"))
    against = len(state.contradictions)
    extra = f" with {against} contradiction{'s' if against > 1 else ''}" if against else ""
    _signatures(flow, night, state.signed_off, "signed off" + extra)
    flow.heading("How to check this record")
    flow.line((0, "digest over all events:"), (40, night.head))
    if night.key:
        flow.line((0, "sealed by the key:"), (40, night.key))
        flow.line(
            (0, "The JSON record is verified by the page /verify.html of any Rowcall server.")
        )
    flow.line((0, "`python3 server verify RECORD.json` says whether the record is unchanged."))
    flow.block([], LEADING)


def _said(night: Night, mark: Mark, read: str | None = None) -> str:
    how = f", {READS.get(read, read)}" if read else ""
    return f"{mark.by}, {night.when(mark.at)}{how}"
