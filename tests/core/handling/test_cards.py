"""Check card of a case and briefing card of a vehicle."""

from __future__ import annotations

from dataclasses import replace

from server.core.base.units import to_g, to_um
from server.core.handling.cards import Site, briefing, check_card, people_on_flat
from server.core.shop.case import Case
from server.core.shop.plan import Place
from server.core.shop.vehicle import Ramp, Vehicle

IN = to_um(1, "in")
TRUNK = Case("PW-031", 45 * IN, 23 * IN, 30 * IN, name="feeder trunk", mass_g=to_g(420, "lb"))
RACK = Case("AU-101", 22 * IN, 23 * IN, 24 * IN, name="mic trunk", mass_g=to_g(80, "lb"))
TRUCK = Vehicle(
    "T1",
    96 * IN,
    312 * IN,
    96 * IN,
    name="26 ft box",
    ramp=Ramp(144 * IN, 34 * IN, to_g(1500, "lb")),
)
DOCK = replace(TRUCK, ramp=None)
WET = replace(TRUCK, ramp=Ramp(144 * IN, 34 * IN, to_g(1500, "lb"), wet=True))


def test_a_card_says_people_stance_and_how_up_and_down() -> None:
    up = check_card(TRUNK, TRUCK, Site("shop_load", 6))
    down = check_card(TRUNK, TRUCK, Site("load_in", 6))
    assert (up.people, up.spotters, up.may_go) == (5, 1, True)
    assert up.stance == "wheels down"
    assert "push from behind" in up.how
    assert "uphill side" in down.how
    assert "local law" in up.caution.lower()


def test_at_a_dock_the_house_rule_gives_the_people() -> None:
    card = check_card(TRUNK, DOCK, Site("load_out", 3))
    assert (card.people, card.spotters) == (3, 0)
    assert people_on_flat(TRUNK).value == 3


def test_a_case_on_a_lid_is_also_lifted() -> None:
    low = Place("AU-101", 0, 0, 30 * IN, 22 * IN, 23 * IN, 24 * IN, on=("PW-031",))
    card = check_card(RACK, DOCK, Site("shop_load", 4), low)
    assert card.lift is not None
    assert card.people == 3  # HSE L23: 80 lb is within half of 3 x 25 kg
    high = check_card(RACK, DOCK, Site("shop_load", 4), replace(low, z=62 * IN))
    assert high.people is None
    assert not high.may_go
    assert "stand it on the floor instead" in high.way_words()


def test_a_case_without_casters_is_lifted_wherever_it_goes() -> None:
    assert check_card(replace(RACK, casters=False), DOCK, Site("load_in")).lift is not None
    assert check_card(RACK, DOCK, Site("load_in")).lift is None


def test_a_refused_case_carries_reasons_and_ways() -> None:
    card = check_card(TRUNK, WET, Site("load_out", 3))
    assert not card.may_go
    assert "3 are there" in card.reasons[0]
    assert any("lift gate" in way for way in card.way_words())
    assert any("dry the ramp" in way for way in card.way_words())


def test_the_briefing_is_made_of_tonights_list() -> None:
    site = Site("load_out", 4)
    cards = tuple(check_card(case, WET, site) for case in (RACK, TRUNK))
    card = briefing(WET, cards, site)
    assert card.heaviest is not None
    assert card.heaviest.code == "PW-031"
    assert card.hands_needed == 6
    assert [one.code for one in card.refused] == ["PW-031"]
    assert card.ramp == "wet ramp of 1 in 4.1 (13.7 degrees), rated 1,500 lb"
    assert "6 hands are needed and 4 are there" in [one.words for one in card.hazards]
    assert [one.name for one in card.hazards] == ["refused", "hands", "wet", "steep"]


def test_a_briefing_of_nothing_names_no_heaviest() -> None:
    card = briefing(DOCK, (), Site("load_in"))
    assert card.heaviest is None
    assert card.hands_needed == 0
    assert card.hazards == ()
    assert "no ramp known" in card.ramp
