"""Planning again in mid-load: loaded rows stay, the rest moves as little as it can."""

from __future__ import annotations

import time
from dataclasses import replace
from pathlib import Path

import pytest

from server.core.judge import judge
from server.core.planner.replanning.replan import replan
from server.core.planner.solve import solve
from server.core.shop.plan import Plan
from server.files.show_file import parse_show, read_show
from tests.bench.planner_replan import changed_shows, kept_share
from tests.bench.show_generator import make_show

SHOWS = Path(__file__).resolve().parents[3] / "fixtures" / "shows"
IN = 25_400


def planned(name: str) -> tuple[Plan, Plan]:
    """The festival before the swap and its plan again after it, with row 1 loaded."""
    before = solve(read_show(SHOWS / "s3-festival.json"), 5.0)
    assert isinstance(before, Plan)
    show = read_show(SHOWS / f"{name}.json")
    answer = replan(show, before, {"F": 1})
    assert answer.refusal is None
    assert judge(show, answer.plan) == ()
    return before, answer.plan


def test_a_late_swap_leaves_the_loaded_row_and_every_row_number() -> None:
    before, after = planned("s3-festival-after-swap")
    assert before.vehicles[0].rows[0].places == after.vehicles[0].rows[0].places
    assert after.revision == before.revision + 1
    # Fixture: 8,610 lb less two moving lights of 260 lb, plus four of 150 lb.
    assert round(after.vehicles[0].mass_g / 453.59237) == 8_690
    assert after.floor_length_um <= before.floor_length_um
    rows = {p.code: row.number for row in before.vehicles[0].rows for p in row.places}
    again = {p.code: row.number for row in after.vehicles[0].rows for p in row.places}
    kept = [code for code in rows if code in again]
    assert sum(rows[code] == again[code] for code in kept) >= len(kept) - 1


def test_the_moves_of_a_swap_are_what_came_and_what_went_and_who_lost_a_lid() -> None:
    before = solve(read_show(SHOWS / "s3-festival.json"), 5.0)
    assert isinstance(before, Plan)
    show = read_show(SHOWS / "s3-festival-after-swap.json")
    moves = replan(show, before, {"F": 1}).moves
    kinds = {move.code: move.kind for move in moves}
    assert {code for code, kind in kinds.items() if kind == "off"} == {"LX-303", "LX-304"}
    new = {code for code, kind in kinds.items() if kind == "new"}
    assert new == {"LX-320", "LX-321", "LX-322", "LX-323"}
    lost = {
        place.code for place in before.vehicles[0].places() if {"LX-303", "LX-304"} & set(place.on)
    }
    assert {code for code, kind in kinds.items() if kind == "moved"} == lost
    assert all(move.words() for move in moves)


@pytest.mark.untraced
@pytest.mark.parametrize("seed", range(4))
def test_half_a_loaded_truck_of_120_cases_takes_one_change_in_a_second(seed: int) -> None:
    show = parse_show(make_show(120, seed))
    before = solve(show, 3.0)
    assert isinstance(before, Plan)
    loaded = len(before.vehicles[0].rows) // 2
    for _, changed in changed_shows(show, before, loaded):
        used = time.process_time()
        answer = replan(changed, before, {"T1": loaded})
        assert time.process_time() - used < 1.0
        assert judge(changed, answer.plan) == ()
        for old, new in zip(
            before.vehicles[0].rows[:loaded], answer.plan.vehicles[0].rows[:loaded], strict=True
        ):
            assert old.places == new.places
        assert kept_share(before, answer.plan, loaded) >= 0.8


def test_a_narrower_truck_is_planned_anew_when_nothing_is_loaded() -> None:
    before = solve(read_show(SHOWS / "s3-festival.json"), 5.0)
    assert isinstance(before, Plan)
    show = read_show(SHOWS / "s4a-narrower-truck.json")
    answer = replan(show, before, {}, seconds=5.0)
    assert answer.refusal is None
    assert judge(show, answer.plan) == ()


def test_a_truck_too_small_is_refused_with_the_rest_planned() -> None:
    before = solve(read_show(SHOWS / "s3-festival.json"), 5.0)
    assert isinstance(before, Plan)
    show = read_show(SHOWS / "s4b-too-small-truck.json")
    answer = replan(show, before, {}, seconds=5.0)
    assert answer.refusal is not None
    assert answer.plan.left_out
    assert judge(show, answer.plan) == ()


def test_a_case_that_no_row_takes_any_more_stays_with_its_reason() -> None:
    show = read_show(SHOWS / "s3-festival.json")
    before = solve(show, 5.0)
    assert isinstance(before, Plan)
    tall = replace(show.case("TOOL-901"), code="TOOL-999", length_um=96 * IN, turn=False)
    changed = replace(show, cases=(*show.cases, tall))
    rows = len(before.vehicles[0].rows)
    answer = replan(changed, before, {"F": rows})
    assert answer.refusal is not None
    assert [left.code for left in answer.plan.left_out] == ["TOOL-999"]
    assert judge(changed, answer.plan) == ()
