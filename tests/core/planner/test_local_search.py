"""The local search: its sums are those of the rest of the planner, and what it takes is lawful."""

from __future__ import annotations

from random import Random

import pytest

from server.core.planner.construction.greedy_stacks import build_stacks
from server.core.planner.improvement.neighbours import agree
from server.core.planner.improvement.violation import broken
from server.core.planner.local_search.annealing import LocalSearch, Rooms
from server.core.planner.local_search.cost import off
from server.core.planner.local_search.order import aimed, moment_of
from server.core.planner.problem.model import Line, Load, Task, length_of
from server.core.planner.problem.support_limits import Window
from server.files.show_file import parse_show
from tests.bench.rules_shows import all_rules_show, planted_show


def search_of(task: Task, moves: int, taken: list[Rooms]) -> LocalSearch:
    """Return a search that ends after so many looks at its clock and takes all it is given."""
    looks = iter(range(moves))

    def take(rooms: Rooms) -> bool:
        taken.append(rooms)
        return True

    return LocalSearch(task, lambda: next(looks, None) is None, take)


@pytest.mark.parametrize("seed", range(5, 11))
def test_what_costs_no_fault_is_lawful_and_what_is_lawful_costs_none(seed: int) -> None:
    task = Task.of(parse_show(all_rules_show(20, seed)))
    (room,) = task.vehicles
    search = search_of(task, 1, [])
    state = search.from_stacks(build_stacks(search.bare))
    assert state is not None
    for _ in range(80):
        state = search.moves.neighbour(state) or state
        (lines,) = search.rooms_of(state)
        load = Load(room, tuple(lines))
        assert load.length == state.length
        lawful = broken(load) <= 0 and all(agree(line) for line in lines)
        assert lawful == (state.faults <= 0)
        assert sorted(case.code for line in lines for case in line.cases) == sorted(
            case.code for case in task.cases
        )


def test_each_plan_taken_is_shorter_than_the_one_before_and_lawful() -> None:
    task = Task.of(parse_show(all_rules_show(20, 4)))
    taken: list[Rooms] = []
    search = search_of(task, 40, taken)
    state = search.from_stacks(build_stacks(search.bare))
    assert state is not None
    search.run(state, lambda: 0.5)
    lengths = [sum(length_of(lines) for lines in rooms) for rooms in taken]
    assert lengths
    assert lengths == sorted(set(lengths), reverse=True)
    for (lines,) in taken:
        assert broken(Load(task.vehicles[0], tuple(lines))) <= 0


def test_the_same_looks_at_the_clock_give_the_same_plans() -> None:
    task = Task.of(parse_show(all_rules_show(20, 1)))
    found = []
    for _ in range(2):
        taken: list[Rooms] = []
        search = search_of(task, 10, taken)
        state = search.from_stacks(build_stacks(search.bare))
        assert state is not None
        search.run(state, lambda: 0.5)
        found.append([[_codes(lines) for lines in rooms] for rooms in taken])
    assert found[0] == found[1]


def _codes(lines: list[Line]) -> list[list[str]]:
    return [[case.code for case in line.cases] for line in lines]


def test_rows_move_inside_their_blocks_until_the_moment_is_in_its_range() -> None:
    document, _ = planted_show(30, 2)
    task = Task.of(parse_show(document))
    search = search_of(task, 1, [])
    state = search.from_stacks(build_stacks(search.bare))
    assert state is not None
    rows = list(state.rooms[0])
    other = list(rows)
    Random(3).shuffle(other)
    other.sort(key=lambda row: row.key)
    aim = moment_of(other)
    found = aimed(rows, Window(aim - abs(aim) // 1_000, aim + abs(aim) // 1_000))
    assert abs(off(Window(aim, aim), moment_of(found))) <= abs(aim - moment_of(rows))
    assert sorted(row.key for row in found) == [row.key for row in found]
    assert sorted(map(id, found)) == sorted(map(id, rows))
