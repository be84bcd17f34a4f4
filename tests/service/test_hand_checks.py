"""Check card of each case and briefing of each vehicle, as the phone gets them with the plan."""

from __future__ import annotations

from dataclasses import replace

from server.core.base.units import to_g
from server.core.handling.ramp import WAY_WORDS
from server.core.shop.plan import Plan, VehiclePlan
from server.core.shop.vehicle import Ramp
from server.service.hand_out import sheets
from tests.service.test_briefing import CASES, IN, TRAILER, loaded


def test_every_case_carries_the_card_that_a_hand_reads_first() -> None:
    show, plan = loaded()
    made = sheets(replace(show, vehicles=(TRAILER,)), _plan(plan), {"T1": 0})[0]
    checks = {place["code"]: place["check"] for row in made["rows"] for place in row["places"]}
    assert checks.keys() == {case.code for case in CASES}
    # 60 lb on 1 in 3.2 dry: one by the house rule, two more above 1 in 4, and a spotter
    assert checks["C-1"] | {"people": 3, "spotters": 1, "may_go": True} == checks["C-1"]
    no = checks["C-4"]
    assert not no["may_go"]
    assert no["slope"]
    assert any("more than the house rule gives hands" in reason for reason in no["reasons"])
    assert {"lift_gate", "winch"} <= set(no["ways"]) <= WAY_WORDS.keys()


def test_the_briefing_names_what_is_heavy_and_dangerous_tonight() -> None:
    show, plan = loaded()
    made = sheets(show, _plan(plan), {"T1": 0})[0]["brief"]
    assert made["heaviest"] == "C-4"
    assert made["refused"] == ["C-4"]
    assert made["slope"].startswith("1 in 3.2")
    assert dict(made["hazards"]) == {"refused": 1, "steep": 1}
    wet = replace(TRAILER, ramp=Ramp(60 * IN, 18 * IN, to_g(2000, "lb"), wet=True))
    told = sheets(replace(show, vehicles=(wet,)), _plan(plan), {"T1": 0})[0]["brief"]
    assert "wet" in dict(told["hazards"])


def test_a_case_without_casters_is_lifted_and_named() -> None:
    show, plan = loaded()
    bare = replace(show, cases=(replace(CASES[0], casters=False), *CASES[1:]))
    made = sheets(bare, _plan(plan), {"T1": 0})[0]
    place = made["rows"][0]["places"][0]
    # 60 lb is 27.2 kg from grips under the knuckles: 20 kg each, two thirds of two are 26.7 kg,
    # half of three are 30 kg (HSE L23)
    assert place["lift"] == 3
    assert made["brief"]["lifts"] == ["C-1"]


def test_mixed_hands_are_asked_by_the_lower_figures_of_the_same_guidance() -> None:
    show, plan = loaded()
    mixed = replace(show, rules=replace(show.rules, hands="mixed"))
    men, both = (sheets(one, _plan(plan), {"T1": 0})[0] for one in (show, mixed))
    heavy = [row["places"][0]["push"] for sheet in (men, both) for row in sheet["rows"][2:3]]
    # 350 lb on 1 in 3.2 asks 51 kgf to keep going: 10 kgf each (men) are 6, 7 kgf (mixed) are 8,
    # more than find room at one case, so no number of mixed hands is given (HSE push-pull)
    assert heavy == [7, 0]  # with the spotter
    light = [sheet["rows"][0]["places"][0]["cards"][0]["figure"] for sheet in (men, both)]
    assert "HSE 20 kgf each to start" in light[0]["derivation"]
    assert "HSE 15 kgf each to start" in light[1]["derivation"]
    bare = (replace(CASES[0], casters=False), *CASES[1:])
    lifts = [
        sheets(replace(one, cases=bare), _plan(plan), {"T1": 0})[0]["rows"][0]["places"][0]["lift"]
        for one in (show, mixed)
    ]
    # 60 lb is 27.2 kg under the knuckles: half of 3 x 20 kg are 30 kg, of 3 x 13 kg 19.5 kg:
    # HSE gives mixed hands no team, the house one at each corner
    assert lifts == [3, 4]


def _plan(vehicle: VehiclePlan) -> Plan:
    return Plan((vehicle,), vehicle.floor_length_um, 0, proven=False)
