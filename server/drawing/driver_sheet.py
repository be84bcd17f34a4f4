"""The driver's sheet: weights, axles, gear, hazards and hours of one vehicle on one page."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from server.core.base.units import from_g
from server.core.crew.show_papers import ShowPapers
from server.core.road.notes import crew_note, goods_note, licence_note
from server.core.shop.case_mass import load_of, unweighed
from server.core.shop.plan import VehiclePlan
from server.drawing.flow import Flow
from server.drawing.pdf import paper_of
from server.drawing.scene import Line, Scene, Text
from server.drawing.views import short
from server.drawing.wall_sheet import drop_words
from server.words import words_of

TO_FILL: Final = ("driver", "left", "arrived", "before", "breaks", "straps")


def driver_pages(papers: ShowPapers) -> list[Scene]:
    """Return one page for each vehicle, more where its hazards are many."""
    pages: list[Scene] = []
    say = words_of(papers.language)
    for plan, sheet in zip(papers.plan.vehicles, papers.sheets, strict=True):
        named = sheet["name"] or sheet["id"]
        title = say("driver.title", vehicle=named, show=papers.show.name)
        flow = Flow(f"{title}, {say('revision', n=papers.revision)}", paper_of(papers.show.units))
        _weights(flow, papers, plan, sheet)
        _gear(flow, papers, sheet)
        _hazards(flow, papers, sheet)
        _venue(flow, papers)
        _drops(flow, papers, plan)
        _goods(flow, papers)
        _hours(flow, papers)
        pages += flow.pages()
    return pages


def _weights(flow: Flow, papers: ShowPapers, plan: VehiclePlan, sheet: Mapping[str, Any]) -> None:
    units, say = papers.show.units, words_of(papers.language)
    without = len(unweighed(papers.show.case(place.code) for place in plan.places()))

    def mass(grams: int | None, missing: str = "unknown") -> str:
        return say(missing) if grams is None else f"{from_g(grams, units.mass):,.0f} {units.mass}"

    flow.heading(say("driver.weights"))
    over = say("driver.too_low", n=without) if without else ""
    plate = mass(sheet["payload_g"], "driver.read_plate")
    flow.line((0, say("driver.load")), (60, mass(sheet["mass_g"])), (95, over), bold=bool(without))
    flow.line((0, say("driver.payload")), (60, plate))
    axles = sheet["axles"]
    if axles is None:
        flow.line((0, say("driver.axles")), (60, say("driver.weigh_axles")))
        return
    for name, now, limit in (
        (say("driver.front"), plan.front_g, axles["front_limit_g"]),
        (say("driver.rear"), plan.rear_g, axles["rear_limit_g"]),
    ):
        flow.line((0, name), (60, mass(now)), (110, say("driver.limit", mass=mass(limit))))
    empty = axles["empty_front_g"] + axles["empty_rear_g"]
    gross = empty + sheet["mass_g"]
    flow.line(
        (0, say("driver.together")),
        (60, mass(gross)),
        (110, say("driver.limit", mass=mass(axles["gross_limit_g"]))),
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
    flow.line((0, say("caution.axles")))


def _gear(flow: Flow, papers: ShowPapers, sheet: Mapping[str, Any]) -> None:
    units, say = papers.show.units, words_of(papers.language)
    need = sum(row["straps"] for row in sheet["rows"])
    board = sheet["straps"]
    there = say("driver.none_stated") if board is None else str(board["count"])
    flow.heading(say("driver.gear"))
    flow.line(
        (0, say("driver.straps")),
        (60, say("driver.needed", n=need)),
        (110, say("driver.on_board", count=there)),
    )
    filled = [str(row["number"]) for row in sheet["rows"] if row["fill"] is not None]
    filling = ", ".join(filled)
    rows = say("driver.fill_rows", rows=filling) if filled else say("driver.no_fill")
    bars = say("driver.on_board", count=sheet["bars"])
    flow.line((0, say("driver.bars")), (60, bars), (110, rows))
    ramp = sheet["ramp"]
    if ramp is not None:
        length = f"{short(ramp['length_um'], units)} {units.length}"
        deck = f"{short(ramp['deck_height_um'], units)} {units.length}"
        flow.line((0, say("driver.ramp")), (60, length), (110, say("driver.deck", length=deck)))
    else:
        flow.line((0, say("driver.ramp")), (60, say("driver.none_stated")))


def _hazards(flow: Flow, papers: ShowPapers, sheet: Mapping[str, Any]) -> None:
    """Put what the briefing of this vehicle says, and every case that hands must not move."""
    say = words_of(papers.language)
    flow.heading(say("driver.hazards"))
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
        cards.insert(0, say("driver.not_by_hand", codes=", ".join(refused)))
    for text in cards or [say("driver.no_hazards")]:
        flow.line((0, text))


def _venue(flow: Flow, papers: ShowPapers) -> None:
    """Put the days, and what is stated of the venue; nothing where nobody stated any."""
    details, units, say = papers.show.details, papers.show.units, words_of(papers.language)
    first, last = details.span(papers.show.date)
    if details.venue is None and first == last:
        return
    flow.heading(say("driver.days_venue"))
    if first != last:
        flow.line((0, say("driver.days")), (60, f"{first}, {papers.show.date}, {last}"))
    venue = details.venue
    if venue is None:
        return

    def long(um: int | None) -> str:
        return say("unknown") if um is None else f"{short(um, units)} {units.length}"

    dock = say("driver.street") if venue.dock_height_um == 0 else None
    slope = say("unknown") if venue.slope_percent is None else f"{venue.slope_percent:g} %"
    flow.line((0, say("driver.venue")), (60, venue.name or say("driver.unnamed")), bold=True)
    flow.line((0, say("driver.dock")), (60, dock or long(venue.dock_height_um)))
    flow.line((0, say("driver.dock_ramp")), (60, long(venue.ramp_length_um)))
    floor = say("unknown") if venue.floor is None else say(f"floor.{venue.floor}")
    flow.line((0, say("driver.slope")), (60, slope), (110, say("driver.floor", floor=floor)))
    flow.line((0, say("driver.way")), (60, long(venue.distance_um)))
    for line in venue.notes.splitlines():
        flow.line((0, line))


def _drops(flow: Flow, papers: ShowPapers, plan: VehiclePlan) -> None:
    counts: dict[int, int] = {}
    for place in plan.places():
        drop = papers.show.case(place.code).drop
        counts[drop] = counts.get(drop, 0) + 1
    if len(counts) < 2:
        return
    say = words_of(papers.language)
    flow.heading(say("driver.drops"))
    for drop, count in sorted(counts.items()):
        flow.line((0, drop_words(papers, drop)), (60, say("cases", n=count)))


def _goods(flow: Flow, papers: ShowPapers) -> None:
    """Put the amounts that need no placard; what is on board is written in by hand."""
    say = words_of(papers.language)
    flow.heading(say("driver.goods"))
    flow.line((0, goods_note(papers.show.rules.securing)))
    flow.line((0, say("driver.goods.read")))
    for name in ("class", "amount", "where"):
        flow.block(
            [Text(0, 7, say(f"driver.goods.{name}"), 3.2), Line(40, 7.5, flow.width, 7.5)], 9
        )


def _hours(flow: Flow, papers: ShowPapers) -> None:
    rule = papers.show.rules.securing
    say = words_of(papers.language)
    flow.heading(say("driver.hours"))
    for key in (f"driver.hours.{rule}", f"driver.look.{rule}", "driver.general"):
        flow.line((0, say(key)))
    for name in TO_FILL:
        flow.block(
            [Text(0, 7, say(f"driver.blank.{name}"), 3.2), Line(40, 7.5, flow.width, 7.5)], 9
        )
