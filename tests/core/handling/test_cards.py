"""Check card of a case and briefing card of a vehicle."""

from __future__ import annotations

from dataclasses import replace

from server.core.base.units import to_g, to_um
from server.core.handling.brief import briefing, hands_figure
from server.core.handling.cards import Site, check_card, lift_limits_g
from server.core.handling.team import LiftTask, team_limits_g
from server.core.shop.case import Case
from server.core.shop.plan import Place
from server.core.shop.vehicle import LiftGate, Ramp, Vehicle

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
    up = check_card(TRUNK, TRUCK, Site("shop_load", 6, hands="men"))
    down = check_card(TRUNK, TRUCK, Site("load_in", 6, hands="men"))
    assert (up.people, up.spotters, up.may_go) == (5, 1, True)
    assert up.stance == "wheels down"
    assert "push from behind" in up.how
    assert "uphill side" in down.how
    assert "local law" in up.caution.lower()


def test_at_a_dock_the_house_rule_gives_the_people() -> None:
    card = check_card(TRUNK, DOCK, Site("load_out", 3, hands="men"))
    assert (card.people, card.spotters) == (3, 0)


def test_a_case_on_a_lid_is_also_lifted() -> None:
    low = Place("AU-101", 0, 0, 30 * IN, 22 * IN, 23 * IN, 24 * IN, on=("PW-031",))
    card = check_card(RACK, DOCK, Site("shop_load", 4, hands="men"), low)
    assert card.lift is not None
    # hands end elbow to shoulder at arm's length: HSE gives 10 kg each, too little for three;
    # MIL-STD-1472F (memory) gives a mixed crew of two 88 lb, the house one at each corner
    assert card.people == 4
    high = check_card(RACK, DOCK, Site("shop_load", 4, hands="men"), replace(low, z=62 * IN))
    assert high.people is None
    assert not high.may_go
    assert "stand_on_floor" in high.ways


def test_a_case_without_casters_is_lifted_wherever_it_goes() -> None:
    assert (
        check_card(replace(RACK, casters=False), DOCK, Site("load_in", hands="men")).lift
        is not None
    )
    assert check_card(RACK, DOCK, Site("load_in", hands="men")).lift is None


def test_a_refused_case_carries_reasons_and_ways() -> None:
    card = check_card(TRUNK, WET, Site("load_out", 3, hands="men"))
    assert not card.may_go
    assert "3 are there" in card.reasons[0]
    assert "lift_gate" in card.ways
    assert "dry_it" in card.ways


def test_the_briefing_is_made_of_tonights_list() -> None:
    site = Site("load_out", 4, hands="men")
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
    card = briefing(DOCK, (), Site("load_in", hands="men"))
    assert card.heaviest is None
    assert card.hands_needed == 0
    assert card.hazards == ()
    assert "no ramp known" in card.ramp


PLATE = replace(TRUCK, ramp=Ramp(60 * IN, 0, to_g(800, "lb")))
HEAVY = Case("H", 48 * IN, 32 * IN, 40 * IN, mass_g=to_g(1500, "lb"))
SITE = Site("shop_load", 6, hands="men")


def test_a_rating_counts_on_a_flat_ramp_as_on_a_slope() -> None:
    for vehicle in (PLATE, TRUCK):
        card = check_card(HEAVY, vehicle, SITE)
        assert not card.may_go
        assert any("over the rating of" in reason for reason in card.reasons)


def test_a_ramp_that_cannot_be_is_never_a_level_floor() -> None:
    wrong = replace(TRUCK, ramp=Ramp(12 * IN, 34 * IN, to_g(1000, "lb")))
    card = check_card(RACK, wrong, SITE)
    assert not card.may_go
    assert card.spotters == 1


def test_an_unknown_rating_refuses_nothing_and_asks_for_the_plate() -> None:
    card = check_card(RACK, replace(TRUCK, ramp=Ramp(144 * IN, 34 * IN)), SITE)
    assert card.may_go
    assert card.asks == ("read_the_plate",)


def test_a_case_without_a_mass_goes_nowhere_by_a_figure() -> None:
    card = check_card(replace(RACK, mass_g=0), TRUCK, SITE)
    assert (card.people, card.crew, card.may_go) == (None, None, False)
    assert card.ways == ("weigh_it",)


def test_a_lift_gate_is_no_way_out_for_what_it_cannot_take() -> None:
    gate = LiftGate(60 * IN, 80 * IN, to_g(500, "lb"))
    by_ramp = check_card(HEAVY, replace(TRUCK, lift_gate=gate), SITE)
    assert "lift_gate" not in by_ramp.ways
    alone = check_card(HEAVY, replace(DOCK, lift_gate=gate), SITE)
    assert not alone.may_go
    assert any("lift gate's rating of 500 lb" in reason for reason in alone.reasons)
    # 400 lb fit the plate, but not with an operator of 85 kg
    light = replace(HEAVY, mass_g=to_g(400, "lb"))
    assert not check_card(light, replace(DOCK, lift_gate=gate), SITE).may_go
    assert check_card(light, replace(DOCK, lift_gate=replace(gate, rating_g=None)), SITE).may_go


def test_the_spotter_is_in_the_one_number_of_a_case() -> None:
    card = check_card(TRUNK, TRUCK, SITE)
    assert card.crew == 6
    assert briefing(TRUCK, (card,), SITE).hands_needed == card.crew
    assert hands_figure(TRUCK, (card,)).value == card.crew


def test_a_case_on_its_side_is_tipped_by_a_team() -> None:
    side = Place("Q", 0, 0, 0, 60 * IN, 45 * IN, 18 * IN, "on_side")
    tipped = Case("Q", 60 * IN, 18 * IN, 45 * IN, mass_g=to_g(215, "lb"), stances=("on_side",))
    card = check_card(tipped, DOCK, SITE, side)
    assert card.tip is not None
    assert (card.tip.value, card.people) == (4, 4)
    assert check_card(tipped, DOCK, SITE, replace(side, stance="upright")).tip is None
    heavy = check_card(replace(tipped, mass_g=to_g(400, "lb")), DOCK, SITE, side)
    assert heavy.people is None
    assert not heavy.may_go


def test_a_rough_floor_asks_more_people_than_a_good_one() -> None:
    good, rough, soft = (
        check_card(TRUNK, DOCK, Site("shop_load", hands="men", floor=floor)).people
        for floor in ("good", "rough", "soft")
    )
    assert (good, rough, soft) == (3, 3, 4)  # 190.5 kg: 3.8, 19.1 and 38.1 kgf at 10 kgf each


def test_the_heaviest_case_of_each_team_is_what_the_lift_itself_gives() -> None:
    high = Place("D-1", 0, 0, 24 * IN, 30 * IN, 30 * IN, 20 * IN, on=("D-2",))
    tipped = replace(high, z=0, on=(), stance="on_end")
    both = replace(high, stance="on_end")
    for whose in ("men", "mixed"):
        site = Site("shop_load", hands="men" if whose == "men" else "mixed")
        for place in (high, tipped, both):
            limits = lift_limits_g(TRUNK, site, place)
            assert list(limits) == sorted(limits)
            for people, most in enumerate(limits, 1):
                card = check_card(replace(TRUNK, mass_g=most), DOCK, site, place)
                found = [one.value for one in (card.lift, card.tip) if one is not None]
                assert all(isinstance(one, int) and one <= people for one in found)
                card = check_card(replace(TRUNK, mass_g=most + 1), DOCK, site, place)
                found = [one.value for one in (card.lift, card.tip) if one is not None]
                assert not all(isinstance(one, int) and one <= people for one in found)
    rolls = Place("D-1", 0, 0, 0, 30 * IN, 30 * IN, 20 * IN)
    assert lift_limits_g(TRUNK, Site("shop_load"), rolls) == ()
    # HSE, men, knuckle to elbow at the waist: 25 kg, 2/3 of two, 1/2 of three, and four by
    # MIL-STD-1472F (154 lb)
    assert team_limits_g(LiftTask(0, hands="men")) == (25_000, 33_333, 37_500, to_g(154, "lb"))
