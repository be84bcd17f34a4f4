"""What is wrong with a plan before the crew gets it: one page, each with its way out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from server.core.shop.case import Case
from server.core.shop.plan import VehiclePlan
from server.service.records import PlanRecord
from server.service.venue_check import venue_lines


@dataclass(frozen=True, slots=True)
class Concern:
    """One kind of trouble: what it is, which cases or rows, the way out and the page that has it.

    `key` names it when the owner answers it with a word; `page` is a room of the office, empty for
    what no page can change.
    """

    key: str
    title: str
    lines: tuple[str, ...]
    way: str
    page: str


def concerns(record: PlanRecord, sheets: Iterable[Mapping[str, Any]]) -> tuple[Concern, ...]:
    """Return everything that should be settled, or accepted with a word, before issue."""
    show = f"shows/{record.show_id}"
    cases = {case.code: case for case in record.show.cases}
    sheets = list(sheets)
    found = [
        Concern(
            "left_out",
            "Cases that do not travel",
            tuple(_left_out(record, cases)),
            "Book another vehicle, or take them off the show.",
            show,
        ),
        Concern(
            "unweighed",
            "Cases without a weight: loads, axles and straps come out too low",
            tuple(f"{code} {case.name}".strip() for code, case in cases.items() if not case.mass_g),
            "Weigh them and enter the weight in the fleet.",
            "fleet",
        ),
        Concern(
            "no_hands",
            "Cases that people alone must not move",
            tuple(_no_hands(sheets)),
            "Provide a lift gate, forklift or winch, or take the contents out.",
            "",
        ),
        *_gear(sheets),
        Concern(
            "drops",
            "Cases that stand behind a later drop",
            tuple(line for one in record.plan.vehicles for line in _blocked(one, cases)),
            "Plan again, move rows by hand, or change the drops.",
            f"{show}/edit/{record.revision}",
        ),
        Concern(
            "venue",
            "What the venue asks",
            venue_lines(record.show, (cases[code] for code in _on_board(record))),
            "Bring more hands, a plate or a machine, or correct the venue of the show.",
            show,
        ),
        Concern(
            "unknown",
            "Vehicle data that nobody entered: not checked",
            tuple(line for sheet in sheets for line in _not_stated(sheet)),
            "Read the plate and enter it at the vehicle.",
            "vehicles",
        ),
    ]
    return tuple(one for one in found if one.lines)


def _left_out(record: PlanRecord, cases: Mapping[str, Case]) -> Iterable[str]:
    """Return what stays, cases that must go before those that are nice to have."""
    nice = {code for code, case in cases.items() if case.priority == "nice"}
    for one in sorted(record.plan.left_out, key=lambda one: one.code in nice):
        wish = " (nice to have)" if one.code in nice else ""
        yield f"{one.code}{wish}: {one.reason}"


def _on_board(record: PlanRecord) -> Iterable[str]:
    return (place.code for one in record.plan.vehicles for place in one.places())


def _no_hands(sheets: Iterable[Mapping[str, Any]]) -> Iterable[str]:
    for sheet in sheets:
        for row in sheet["rows"]:
            for place in row["places"]:
                check = place.get("check")
                if check is not None and not check["may_go"]:
                    why = "; ".join(check["reasons"]) or "see its card"
                    yield f"{place['code']} ({sheet['id']}, row {row['number']}): {why}"


def _gear(sheets: Iterable[Mapping[str, Any]]) -> Iterable[Concern]:
    """Return what straps, bars and ramps are short of."""
    straps: list[str] = []
    gaps: list[str] = []
    ramps: list[str] = []
    for sheet in sheets:
        need = sum(row["straps"] for row in sheet["rows"])
        there = sheet["straps"]
        if there is None:
            straps.append(f"{sheet['id']}: {need} straps needed, none stated on board")
        else:
            if need > there["count"]:
                straps.append(f"{sheet['id']}: {need} straps needed, {there['count']} on board")
            if there["wll_g"] is None:
                straps.append(f"{sheet['id']}: the working load limit of the straps is not known")
        filled = [row["number"] for row in sheet["rows"] if row["fill"] is not None]
        if len(filled) > sheet["bars"]:
            rows = ", ".join(str(number) for number in filled)
            bars = f"{sheet['bars']} load bars on board"
            gaps.append(f"{sheet['id']}: gaps to fill in rows {rows}, {bars}")
        if sheet["ramp"] is None and not sheet.get("lift_gate"):
            ramps.append(f"{sheet['id']}: no ramp is stated, so pushing was not checked")
    return (
        Concern("straps", "Straps are short or unknown", tuple(straps),
                "Put more on board, and enter the count and the limit on their label.", "vehicles"),
        Concern("gaps", "Gaps without load bars or filling", tuple(gaps),
                "Bring bars, air bags or boards for these rows.", "vehicles"),
        Concern("ramp", "Ramp not known", tuple(ramps),
                "Enter the ramp or the lift gate at the vehicle.", "vehicles"),
    )  # fmt: skip


def _blocked(plan: VehiclePlan, cases: Mapping[str, Case]) -> Iterable[str]:
    """Return the cases that come off before a case of a row nearer the door."""
    later = 0  # the latest drop among the rows nearer the door
    for number in range(len(plan.rows), 0, -1):
        row = plan.rows[number - 1]
        drops = [cases[place.code].drop for place in row.places]
        for place in row.places:
            drop = cases[place.code].drop
            if drop < later:
                yield f"{place.code}: drop {drop}, row {number}, behind drop {later}"
        later = max([later, *drops])


def _not_stated(sheet: Mapping[str, Any]) -> Iterable[str]:
    if sheet["payload_g"] is None:
        yield f"{sheet['id']}: no payload"
    if sheet["axles"] is None:
        yield f"{sheet['id']}: no axle data"
