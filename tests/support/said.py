"""Every kind of sentence in which the server gives reasons and figures to a phone.

`python -m tests.support.said` writes one of each kind to `fixtures/said/sentences.json`; the tests
of the phone say them all in every language. Run it after a wording of the server has changed.
"""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import product
from pathlib import Path
from typing import Any, Final

from PIL import Image

from server.core.base.figure import Figure
from server.core.base.units import Units
from server.core.handling.cards import Site, over_gate
from server.core.handling.gate import gate_figure
from server.core.handling.lift_zones import Reach
from server.core.handling.push import Hands, PushTask
from server.core.handling.ramp import Crossing, judge_crossing, verdict_figure
from server.core.handling.slope import FLAT, Slope
from server.core.handling.team import LiftTask, lift_figure
from server.core.night.state import Held
from server.core.planner.problem.answer import NoPlan
from server.core.planner.solve import solve
from server.core.securing.straps import EN, US, RowLoad, StrapRule, straps_for
from server.core.securing.track import track_figure
from server.core.shop.case import Case
from server.core.shop.plan import Place, Plan, Row, VehiclePlan
from server.core.shop.show import Show
from server.core.shop.vehicle import Axles, LiftGate, Track, Vehicle
from server.core.weight.balance import Balance
from server.core.weight.limits import FRONT_WORDS, limits
from server.files.show_file import parse_show, read_json
from server.labels.photo_header import inspect
from server.labels.reading import Limits, Refused
from server.service import judge_again
from server.service.briefing import unweighed
from server.service.hand_out import sheets
from server.settings import ROOT

FILE: Final = ROOT / "fixtures" / "said" / "sentences.json"
SHOWS: Final = (
    ROOT / "fixtures" / "demo" / "show.json",
    ROOT / "fixtures" / "shows" / "s2-band-trailer.json",
)
US_UNITS: Final = Units(length="in", mass="lb")
HELD: Final = Held(
    gate="cases", code="PA-404-5", row=3, value=1, limit=2, what="front", device="device-bo",
    vehicle="T1", overridable=False,
)  # fmt: skip
HANDS: Final[tuple[Hands, ...]] = ("men", "mixed")
REACHES: Final[tuple[Reach, ...]] = ("close", "arms_out")
TIMES: Final = (0.2, 1, 1.4, 2.5, 6)


def kind(sentence: str) -> str:
    """Return a sentence without its numbers and names: two of one kind differ in nothing else."""
    bare = re.sub(r"(for) [^,;]+? \([^)]+\),", r"\1 #,", sentence)
    return re.sub(r"-?\d[\d.,]*", "#", bare)


def clauses(found: Iterable[str]) -> set[str]:
    """Return the kinds of all clauses, one and many alike: plans differ in how they join them."""
    parts = (part for sentence in found for part in kind(sentence).split("; "))
    return {re.sub(r"# (strap|line|bar|case|thing)s?\b", r"# \1", part) for part in parts}


def sentences() -> set[str]:
    """Return what the server says of many loads, ramps and lifts, and of whole shows."""
    found: set[str] = set()
    for figure in (*_straps(), *_pushes(), *_lifts(), *_gates(), *_tracks(), *_limits()):
        found |= {figure.derivation, figure.source}
    found |= set(_beyond_hands())
    for path in SHOWS:
        found |= set(_of_sheets(path))
    return found | set(_judged()) | set(_photos())


def _judged() -> Iterator[str]:
    """What stands against a signature once everything has arrived."""
    reasons = [judge_again.said(replace(HELD, gate=gate)) for gate in judge_again.HELD_WORDS]
    yield from reasons
    for what in ("T1 was released (load out) by Bo", "The night was signed off by Bo"):
        yield judge_again.told(what, reasons[:1], 1)
        yield judge_again.told(what, reasons, 5)


def _photos() -> Iterator[str]:
    """Why a file is no photo that is read here, by what it begins with."""
    begins = (b"", b"%PDF", b"\xff\xd8\xff", b"1234ftypheic", b"1234ftypavif", b"none of them")
    for begin in (*begins, b"\x89PNG\r\n\x1a\n", b"9" * 3_000_000):
        told = inspect(begin, replace(Limits(), file_bytes=2_000_000))
        assert isinstance(told, Refused)
        yield told.reason
    wide = io.BytesIO()
    Image.new("1", (2_000, 1_000)).save(wide, "PNG")
    told = inspect(wide.getvalue(), replace(Limits(), pixels=1_000_000))
    assert isinstance(told, Refused)
    yield told.reason


def _straps() -> Iterator[Figure]:
    grid = product(
        (20_000, 400_000, 2_500_000), (300_000, 3_000_000), (600_000, 2_500_000),
        (True, False), (True, False), (US, EN), (None, 450_000), (1, 9),
    )  # fmt: skip
    for mass, depth, height, blocked, casters, rules, wll, least in grid:
        row = RowLoad(mass, depth, height, blocked, casters)
        yield straps_for(row, StrapRule(rules, wll, least, US_UNITS))


def _pushes() -> Iterator[Figure]:
    slopes = (FLAT, Slope.one_in(14), Slope.one_in(4.3), Slope.one_in(2))
    grid = product(
        (15_000, 60_000, 160_000, 320_000), slopes, (True, False), ("men", "mixed"),
        (None, 1, 9), (None, 200_000),
    )  # fmt: skip
    for mass, slope, wet, hands, there, rating in grid:
        task = PushTask(mass, slope, wet=wet, hands="men" if hands == "men" else "mixed")
        yield verdict_figure(judge_crossing(Crossing(task, there, rating), US_UNITS))


def _lifts() -> Iterator[Figure]:
    for mass, height, hands, reach in product(
        (0, 3_000, 12_000, 22_000, 30_000, 45_000, 90_000),
        (0, 300_000, 900_000, 1_200_000, 1_500_000, 1_700_000),
        HANDS,
        REACHES,
    ):
        yield lift_figure(LiftTask(mass, height, height, hands, reach), US_UNITS)


def _beyond_hands() -> Iterator[str]:
    """Ice, cases without a mass, and what a lift gate without a ramp does not take."""
    for slope in (FLAT, Slope.one_in(14), Slope.one_in(2)):
        task = PushTask(60_000, slope, hands="men", ice=True)
        yield verdict_figure(judge_crossing(Crossing(task), US_UNITS)).derivation
    steep = PushTask(60_000, Slope.one_in(1))
    yield from judge_crossing(Crossing(steep), US_UNITS).reasons
    vehicle = Vehicle("T1", 1, 1, 1, lift_gate=LiftGate(1_000_000, 1_500_000, 300_000))
    for side in (900_000, 1_900_000):
        case = Case("PA-404-5", side, side, 600_000, mass_g=400_000)
        yield from over_gate(case, vehicle, Site("load_in"))
    cases = tuple(Case(f"PA-{n}", 900_000, 900_000, 600_000) for n in range(3))
    axles = Axles("truck", 0, 2_000_000, 1_000, 900_000, None, 901_000, 902_000)
    rooms = (vehicle, replace(vehicle, payload_g=1_000, axles=axles))
    for room, count in product(rooms, (1, 2)):
        show = Show("unweighed", (room,), cases)
        places = tuple(
            Place(case.code, 0, at * 3_000_000, 0, 900_000, 900_000, 600_000)
            for at, case in enumerate(cases[:count])
        )
        plan = VehiclePlan("T1", (Row(1, 0, 900_000, 0, 1, places),), 900_000, 0)
        yield from (card.figure.derivation for card in unweighed(show, room, plan))


def _gates() -> Iterator[Figure]:
    """One case and many, over the rating, larger than the platform, never weighed."""
    for count, mass, side, rating in product((1, 9), (0, 900_000), (1, 3), (None, 500_000)):
        cases = [
            Case(f"PA-{number:03}-5", side * 800_000, side * 600_000, 600_000, mass_g=mass)
            for number in range(count)
        ]
        yield gate_figure(LiftGate(1_200_000, 2_000_000, rating), cases, US_UNITS)


def _tracks() -> Iterator[Figure]:
    for count, depth, height in product((1, 3), (500_000, 900_000), (400_000, 1_200_000)):
        place = Place("PA-404-5", 0, 0, 0, 600_000, depth, height)
        rows = [Row(number + 1, 0, depth, 0, 1, (place,)) for number in range(count)]
        yield track_figure(Track((457_200,), 609_600), rows, US_UNITS)


def _limits() -> Iterator[Figure]:
    """Every kind of support, light and laden, at either end, tipped to either side or even."""
    for kind, shares, front in product(FRONT_WORDS, (None, 0.2), (-300_000, 500_000, 9_000_000)):
        axles = Axles(
            kind, 0, 4_000_000, 600_000, 900_000, 1_000_000, 2_000_000, 4_000_000, shares, shares
        )
        vehicle = Vehicle("T1", 8_000_000, 2_400_000, 2_400_000, payload_g=1_500_000, axles=axles)
        for rear, left in product((600_000, 5_000_000), (0.2, 0.5, 0.8)):
            load = front + rear
            sides = round(load * left), load - round(load * left)
            gross = load + axles.empty_front_g + axles.empty_rear_g
            balance = Balance(load, *sides, None, front, rear, gross, front / gross)
            yield from (limit.figure for limit in limits(vehicle, balance, 0.1, US_UNITS))


def _of_sheets(path: Path) -> Iterator[str]:
    """What the phone gets of a planned show, with cases lighter and heavier than they are."""
    show = parse_show(read_json(path))
    answer = solve(show, 0.0)  # the first plan: the same one on a quick machine and on a slow one
    plan = answer.best if isinstance(answer, NoPlan) else answer
    for times, end in product(TIMES, ("as planned", "bulkhead", "door")):
        heavy = replace(show, cases=tuple(_weighed(show, plan, times, end)))
        yield from _said(sheets(heavy, plan, {}))


def _weighed(show: Show, plan: Plan, times: float, end: str) -> Iterator[Case]:
    """The show's cases, all heavier; at one end of each vehicle much heavier than at the other."""
    rows = {
        place.code: (row.number - 0.5) / len(load.rows)
        for load in plan.vehicles
        for row in load.rows
        for place in row.places
    }
    for case in show.cases:
        at_bulkhead = rows.get(case.code, 0.0) < 0.5
        more = end != "as planned" and at_bulkhead == (end == "bulkhead")
        yield replace(case, mass_g=round(case.mass_g * times * (4 if more else 1)))


def _said(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        if "derivation" in value:
            yield value["derivation"]
            yield value["source"]
        yield from value.get("reasons") or ()
        for one in value.values():
            yield from _said(one)
    elif isinstance(value, list | tuple):
        for one in value:
            yield from _said(one)


def one_of_each(found: set[str]) -> dict[str, str]:
    """Return kind → the first sentence of that kind."""
    kinds: dict[str, str] = {}
    for sentence in sorted(found):
        kinds.setdefault(kind(sentence), sentence)
    return kinds


if __name__ == "__main__":
    kinds = one_of_each(sentences())
    FILE.parent.mkdir(exist_ok=True)
    FILE.write_text(json.dumps(sorted(kinds.values()), indent=1, ensure_ascii=False) + "\n")
    print(f"{len(kinds)} kinds of sentences")
