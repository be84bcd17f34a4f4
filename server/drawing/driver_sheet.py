"""The driver's sheet: weights, axles, gear, hazards and hours of one vehicle on one page."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from server.core.base.figure import CAUTIONS
from server.core.base.units import Units, from_g
from server.core.crew.show_papers import ShowPapers
from server.core.road.notes import crew_note, goods_note, licence_note
from server.core.shop.case_mass import load_of, unweighed
from server.core.shop.plan import VehiclePlan
from server.drawing.flow import Flow
from server.drawing.pdf import paper_of
from server.drawing.scene import Line, Scene, Text
from server.drawing.views import short

# How long a driver may drive, by the rules that the show is planned under; the general rule only.
HOURS: Final = {
    "us-49cfr393": (
        "49 CFR 395.3: at most 11 hours of driving within 14 hours, after 10 hours off duty; "
        "30 minutes off after 8 hours of driving. A load-out is duty, no rest."
    ),
    "en-12195": (
        "Regulation (EC) 561/2006, articles 6 and 7: 9 hours of driving a day (10 twice a week), "
        "45 minutes of break after four and a half hours. A load-out is work, no rest."
    ),
}
LOOK_AGAIN: Final = {
    "us-49cfr393": (
        "49 CFR 392.9: look at the load within the first 50 miles, then every 3 hours or 150 "
        "miles or change of duty, whichever comes first."
    ),
    "en-12195": "Look at the load and its straps after the first kilometres and at every stop "
    "(common practice, no source).",
}
TO_FILL: Final = (
    "driver", "left at", "arrived at", "hours driven before", "breaks", "straps seen at",
)  # fmt: skip


def driver_pages(papers: ShowPapers) -> list[Scene]:
    """Return one page for each vehicle, more where its hazards are many."""
    pages: list[Scene] = []
    for plan, sheet in zip(papers.plan.vehicles, papers.sheets, strict=True):
        title = f"{sheet['name'] or sheet['id']}: driver's sheet, {papers.show.name}"
        flow = Flow(f"{title}, revision {papers.revision}", paper_of(papers.show.units))
        _weights(flow, papers, plan, sheet)
        _gear(flow, papers.show.units, sheet)
        _hazards(flow, sheet)
        _venue(flow, papers)
        _drops(flow, papers, plan)
        _goods(flow, papers)
        _hours(flow, papers)
        pages += flow.pages()
    return pages


def _weights(flow: Flow, papers: ShowPapers, plan: VehiclePlan, sheet: Mapping[str, Any]) -> None:
    units = papers.show.units
    without = len(unweighed(papers.show.case(place.code) for place in plan.places()))

    def mass(grams: int | None, without: str = "not known") -> str:
        return without if grams is None else f"{from_g(grams, units.mass):,.0f} {units.mass}"

    flow.heading("Weights")
    over = f"OVER THIS: {without} cases not weighed, so all below is too low" if without else ""
    plate = mass(sheet["payload_g"], "NOT KNOWN: read the plate")
    flow.line((0, "load"), (60, mass(sheet["mass_g"])), (95, over), bold=bool(without))
    flow.line((0, "payload by the plate"), (60, plate))
    axles = sheet["axles"]
    if axles is None:
        flow.line((0, "axles"), (60, "NOT KNOWN: weigh each axle before the road"))
        return
    for name, now, limit in (
        ("front axle with the load on", plan.front_g, axles["front_limit_g"]),
        ("rear axles with the load on", plan.rear_g, axles["rear_limit_g"]),
    ):
        flow.line((0, name), (60, mass(now)), (110, f"limit {mass(limit)}"))
    empty = axles["empty_front_g"] + axles["empty_rear_g"]
    gross = empty + sheet["mass_g"]
    flow.line(
        (0, "all together"), (60, mass(gross)), (110, f"limit {mass(axles['gross_limit_g'])}")
    )
    securing, load = (
        papers.show.rules.securing,
        load_of(papers.show.case(place.code) for place in plan.places()),
    )
    room = papers.show.vehicle(plan.vehicle)
    for text in (
        *crew_note(sheet["payload_g"], load.high or 0, units),
        *licence_note(room.axles, securing, units),
    ):
        flow.line((0, text))
    flow.line((0, CAUTIONS["axles"]))


def _gear(flow: Flow, units: Units, sheet: Mapping[str, Any]) -> None:
    need = sum(row["straps"] for row in sheet["rows"])
    board = sheet["straps"]
    there = "none stated" if board is None else str(board["count"])
    flow.heading("Gear")
    flow.line((0, "straps"), (60, f"{need} needed"), (110, f"{there} on board"))
    filled = [str(row["number"]) for row in sheet["rows"] if row["fill"] is not None]
    rows = f"rows {', '.join(filled)} need filling" if filled else "no row needs filling"
    flow.line((0, "load bars"), (60, f"{sheet['bars']} on board"), (110, rows))
    ramp = sheet["ramp"]
    if ramp is not None:
        length = f"{short(ramp['length_um'], units)} {units.length}"
        deck = f"{short(ramp['deck_height_um'], units)} {units.length}"
        flow.line((0, "ramp"), (60, length), (110, f"deck {deck} high"))
    else:
        flow.line((0, "ramp"), (60, "none stated"))


def _hazards(flow: Flow, sheet: Mapping[str, Any]) -> None:
    """Put what the briefing of this vehicle says, and every case that hands must not move."""
    flow.heading("Hazards and limits")
    cards = [
        f"{card['key'].replace('_', ' ')}: {card['figure']['derivation']}"
        for card in sheet.get("briefing") or ()
    ]
    refused = [
        place["code"]
        for row in sheet["rows"]
        for place in row["places"]
        if place.get("check") and not place["check"]["may_go"]
    ]
    if refused:
        cards.insert(0, f"NOT BY HAND: {', '.join(refused)}")
    for text in cards or ["None follows from the data entered. That does not mean there is none."]:
        flow.line((0, text))


def _venue(flow: Flow, papers: ShowPapers) -> None:
    """Put the days, and what is stated of the venue; nothing where nobody stated any."""
    details, units = papers.show.details, papers.show.units
    first, last = details.span(papers.show.date)
    if details.venue is None and first == last:
        return
    flow.heading("Days and venue")
    if first != last:
        flow.line((0, "load, show, return"), (60, f"{first}, {papers.show.date}, {last}"))
    venue = details.venue
    if venue is None:
        return

    def long(um: int | None) -> str:
        return "not known" if um is None else f"{short(um, units)} {units.length}"

    dock = "none: unloaded in the street" if venue.dock_height_um == 0 else None
    slope = "not known" if venue.slope_percent is None else f"{venue.slope_percent:g} %"
    flow.line((0, "venue"), (60, venue.name or "not named"), bold=True)
    flow.line((0, "dock"), (60, dock or long(venue.dock_height_um)))
    flow.line((0, "ramp to the dock"), (60, long(venue.ramp_length_um)))
    flow.line((0, "steepest slope"), (60, slope), (110, f"floor {venue.floor or 'not known'}"))
    flow.line((0, "way to the stage"), (60, long(venue.distance_um)))
    for line in venue.notes.splitlines():
        flow.line((0, line))


def _drops(flow: Flow, papers: ShowPapers, plan: VehiclePlan) -> None:
    counts: dict[int, int] = {}
    for place in plan.places():
        drop = papers.show.case(place.code).drop
        counts[drop] = counts.get(drop, 0) + 1
    if len(counts) < 2:
        return
    flow.heading("Drops")
    for drop, count in sorted(counts.items()):
        flow.line((0, papers.show.details.drop_words(drop)), (60, f"{count} cases"))


def _goods(flow: Flow, papers: ShowPapers) -> None:
    """Put the amounts that need no placard; what is on board is written in by hand."""
    flow.heading("Dangerous goods")
    flow.line((0, goods_note(papers.show.rules.securing)))
    flow.line((0, "Class and amount are not entered with the cases: read the labels, write them."))
    for name in ("class", "amount", "where"):
        flow.block([Text(0, 7, name, 3.2), Line(40, 7.5, flow.width, 7.5)], 9)


def _hours(flow: Flow, papers: ShowPapers) -> None:
    rule = papers.show.rules.securing
    flow.heading("Hours and stops")
    for text in (HOURS[rule], LOOK_AGAIN[rule]):
        flow.line((0, text))
    flow.line((0, "The general rule only: local law, the permit and the employer decide."))
    for name in TO_FILL:
        flow.block([Text(0, 7, name, 3.2), Line(40, 7.5, flow.width, 7.5)], 9)
