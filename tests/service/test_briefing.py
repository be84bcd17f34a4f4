"""The briefing of a vehicle: limits, ways back into them, straps on board, the push."""

from __future__ import annotations

from dataclasses import replace

from server.core.base.units import to_g, to_um
from server.core.shop.case import Case
from server.core.shop.plan import Place, Row, VehiclePlan
from server.core.shop.show import Rules, Show
from server.core.shop.vehicle import Axles, Ramp, Straps, Vehicle
from server.service.briefing import briefing, push_on_ramp

IN = to_um(1, "in")
POUNDS = (60, 70, 350, 700)
CASES = tuple(
    Case(f"C-{n}", 30 * IN, 60 * IN, 40 * IN, mass_g=to_g(mass, "lb"))
    for n, mass in enumerate(POUNDS, 1)
)
TRAILER = Vehicle(
    "T1",
    70 * IN,
    142 * IN,
    74 * IN,
    ramp=Ramp(60 * IN, 18 * IN, to_g(2000, "lb")),
    axles=Axles("ball", -40 * IN, 84 * IN, to_g(120, "lb"), to_g(1030, "lb")),
    straps=Straps(2, to_g(1000, "lb")),
)


def loaded() -> tuple[Show, VehiclePlan]:
    """Return a trailer packed light to heavy, so that its tongue is too light."""
    rows = tuple(
        Row(
            n,
            (n - 1) * 30 * IN,
            30 * IN,
            0,
            1,
            (Place(case.code, 0, (n - 1) * 30 * IN, 0, 60 * IN, 30 * IN, 40 * IN),),
        )
        for n, case in enumerate(CASES, 1)
    )
    plan = VehiclePlan("T1", rows, 120 * IN, sum(case.mass_g for case in CASES))
    return Show("S", (TRAILER,), CASES, rules=Rules(hands="men")), plan


def test_a_light_tongue_comes_with_the_rows_to_exchange() -> None:
    show, plan = loaded()
    cards = {card.key: card.figure for card in briefing(show, TRAILER, plan)}
    # trailer-loading guides: 10 to 15 % of the gross mass on the tongue
    assert "under 10%" in cards["limit_front_share"].derivation
    assert cards["exchange_rows"].derivation.startswith("exchange rows")


def test_too_few_straps_on_board_are_named_before_the_crew_finds_out() -> None:
    show, plan = loaded()
    cards = {card.key: card.figure for card in briefing(show, TRAILER, plan)}
    assert "4 straps for 4 lines, 2 on board: 2 short" in cards["straps_on_board"].derivation


def test_the_heaviest_case_is_judged_against_hands_and_ramp() -> None:
    show, plan = loaded()
    cards = {card.key: card.figure for card in briefing(show, TRAILER, plan)}
    assert cards["heaviest_push"].value is None
    assert "Ways out" in cards["heaviest_push"].derivation
    dock = replace(TRAILER, ramp=None)
    assert "heaviest_push" not in {card.key for card in briefing(show, dock, plan)}
    assert push_on_ramp(dock, to_g(100, "lb"), show).value == 1


def test_the_hands_that_the_hardest_case_asks_are_said_with_the_spotter() -> None:
    show, plan = loaded()
    cards = {card.key: card.figure for card in briefing(show, TRAILER, plan)}
    hands = cards["hands_needed"]
    # 350 lb on 1 in 3.2: 51 kgf asks 6 people by HSE (10 kgf each) and a spotter; 700 lb a machine
    assert hands.value == 7
    assert "C-3" in hands.derivation
    assert "1 case not by hand as planned" in hands.derivation
