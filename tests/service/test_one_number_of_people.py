"""One number of people for one case: card, briefing, bundle, wall sheet, label and phone.

An ordinary fleet of 64 cases of 38 to 480 lb, in each way to stand, at a 26 ft truck with a 12 ft
ramp, at a dock, in the rain and behind a lift gate. `pwa/tests/hands.test.ts` counts the same file
as the phone does. `pytest -s` prints how many cases say what.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any, Final

from server.core.base.units import Units, to_g, to_um
from server.core.handling.brief import briefing, hands_figure
from server.core.handling.cards import CheckCard, Site, check_card
from server.core.shop.case import Case
from server.core.shop.plan import Place
from server.core.shop.show import Rules, Show
from server.core.shop.vehicle import LiftGate, Ramp, Vehicle
from server.drawing.sheet import people
from server.labels.label_case import LabelCase, label_case
from server.service.hand_out import hands

FILE: Final = Path(__file__).resolve().parents[2] / "fixtures" / "handling" / "fleet.json"
IN: Final = to_um(1, "in")
SIDES: Final = ((22, 22, 24), (30, 22, 30), (45, 22, 30), (45, 30, 30), (60, 24, 36))
FLEET: Final = tuple(
    Case(
        f"C-{n:03d}",
        SIDES[n % len(SIDES)][0] * IN,
        SIDES[n % len(SIDES)][1] * IN,
        SIDES[n % len(SIDES)][2] * IN,
        mass_g=to_g(38 + round(n * (480 - 38) / 63), "lb"),
        casters=n % 16 != 5,
    )
    for n in range(64)
)
UNWEIGHED: Final = Case("C-900", 45 * IN, 30 * IN, 30 * IN)
TRUCK: Final = Vehicle("T1", 96 * IN, 312 * IN, 96 * IN, ramp=Ramp(144 * IN, 34 * IN))
VEHICLES: Final = {
    "ramp, no rating": TRUCK,
    "ramp, 1,000 lb": replace(TRUCK, ramp=Ramp(144 * IN, 34 * IN, to_g(1000, "lb"))),
    "ramp, wet": replace(TRUCK, ramp=Ramp(144 * IN, 34 * IN, to_g(1500, "lb"), wet=True)),
    "dock": replace(TRUCK, ramp=None),
    "lift gate, 500 lb": replace(
        TRUCK, ramp=None, lift_gate=LiftGate(40 * IN, 60 * IN, to_g(500, "lb"))
    ),
}
KEYS: Final = (
    "code", "mass_g", "rise", "length", "surface", "hands", "rating_g", "lift", "cards", "crew",
    "lift_limits", "gate_g", "weighed_g", "weighed_crew",
)  # fmt: skip


def places(case: Case) -> Iterator[Place]:
    """Yield a case on the floor, on a lid, and tipped on its end."""
    x, y, z = case.length_um, case.width_um, case.height_um
    yield Place(case.code, 0, 0, 0, x, y, z)
    yield Place(case.code, 0, 0, 30 * IN, x, y, z, on=("C-000",))
    yield Place(case.code, 0, 0, 0, z, y, x, stance="on_end")


def scenes() -> Iterator[tuple[str, Show, Vehicle, Case, Place]]:
    """Yield every case in every place at every vehicle, for men and for a mixed crew."""
    for name, vehicle in VEHICLES.items():
        for whose in ("men", "mixed"):
            rules = Rules(hands="men" if whose == "men" else "mixed")
            show = Show("S", (vehicle,), (*FLEET, UNWEIGHED), rules=rules, units=Units())
            for case in show.cases:
                for place in places(case):
                    yield name, show, vehicle, case, place


def card_of(show: Show, vehicle: Vehicle, case: Case, place: Place) -> CheckCard:
    """Return the check card of a case in its place."""
    site = Site("shop_load", units=show.units, hands=show.rules.hands)
    return check_card(case, vehicle, site, place)


def written() -> str:
    """Return one row a scene: what the phone holds, and the number that the card says."""
    rows: list[list[Any]] = [list(KEYS)]
    for _, show, vehicle, case, place in scenes():
        told = hands(show, vehicle, place, case)
        card, ramp = card_of(show, vehicle, case, place), vehicle.ramp
        gate = vehicle.lift_gate.rating_g if vehicle.lift_gate else None
        # a scale at the dock says more than the list: people by the same rule, at once
        heavy = replace(case, mass_g=case.mass_g + case.mass_g // 2 + 4_000)
        scaled = card_of(show, vehicle, heavy, place)
        rows.append([
            case.code, case.mass_g, ramp.deck_height_um if ramp else 0,
            ramp.length_um if ramp else 1, "wet" if ramp and ramp.wet else "dry",
            show.rules.hands, ramp.rating_g if ramp else None, told.lift,
            [one.key for one in told.cards], card.crew if card.may_go else None,
            told.lift_limits, gate, heavy.mass_g, scaled.crew if scaled.may_go else None,
        ])  # fmt: skip
    return "[\n" + ",\n".join(json.dumps(row, separators=(",", ":")) for row in rows) + "\n]\n"


def test_the_phone_is_handed_what_leads_to_the_number_of_the_card() -> None:
    assert FILE.read_text(encoding="utf-8") == written()


def test_card_bundle_and_wall_sheet_say_one_number() -> None:
    said: dict[str, Counter[str]] = {name: Counter() for name in VEHICLES}
    for name, show, vehicle, case, place in scenes():
        card, told = card_of(show, vehicle, case, place), hands(show, vehicle, place, case)
        sheet = people(show, vehicle, place)
        if place == next(places(case)) and show.rules.hands == "men":
            said[name][sheet] += 1
        if not case.mass_g:
            assert (sheet, card.may_go) == ("weigh it first", False)
        elif not card.may_go or card.crew is None:
            assert sheet == "not by hand"
            assert any(one.key.endswith("_machine") for one in told.cards), card
        else:
            assert sheet.split()[0] == str(card.crew)
            stand_by = card.spotters
            assert card.crew == max(told.push, told.lift + stand_by)
    for name, counts in said.items():
        told_words = ", ".join(f"{n} x {words}" for words, n in counts.most_common())
        print(f"{name}: {told_words}")
    # three heavy cases without casters, which no team lifts
    assert said["dock"]["not by hand"] == 3
    assert all(counts["weigh it first"] == 1 for counts in said.values())


def test_the_briefing_is_the_hardest_card_of_the_vehicle() -> None:
    for vehicle in VEHICLES.values():
        show = Show("S", (vehicle,), FLEET)
        site = Site("shop_load", units=show.units, hands=show.rules.hands)
        cards = tuple(card_of(show, vehicle, case, next(places(case))) for case in FLEET)
        hardest = max((card.crew or 0 for card in cards if card.may_go), default=0)
        assert briefing(vehicle, cards, site).hands_needed == hardest
        assert hands_figure(vehicle, cards).value == hardest


def test_no_label_says_more_or_fewer_than_the_card_on_a_level_floor() -> None:
    """A label names level floor and waist height; a ramp or a lid never takes fewer."""
    labels = {case.code: label_case(case, Units()) for case in (*FLEET, UNWEIGHED)}
    for name, show, vehicle, case, place in scenes():
        card, label = card_of(show, vehicle, case, place), labels[case.code]
        if not case.mass_g:
            assert (label.roll, label.lift, label.no_hand_lift) == ("", "", False)
            continue
        few, most = span(label, "roll" if case.casters else "lift")
        assert card.crew is None or card.crew >= few, (name, case.code)
        if vehicle.ramp is None and not place.z and place.stance == "upright" and card.may_go:
            assert card.crew is not None
            assert card.crew <= max(most, card.push.whole()), (name, case.code)


def span(label: LabelCase, what: str) -> tuple[int, int]:
    """Return the fewest and the most people that a label names."""
    counts = [int(part) for part in str(getattr(label, what)).split("-") if part]
    return min(counts, default=0), max(counts, default=0)
