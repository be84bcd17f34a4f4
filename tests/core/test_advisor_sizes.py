"""Best footprints for new cases agree with every choice tried, on 200 small fleets.

The check shares no code with the search: it tries every set of sizes and every split, and packs
rows by a dynamic programme over what is left to stand.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import cache, lru_cache
from itertools import combinations, product
from random import Random

import pytest

from server.core.advisor.footprints import candidates, smallest
from server.core.advisor.questions import Footprint, Need
from server.core.advisor.sizes import Scenario, Sizing
from server.core.shop.case import Case
from server.core.shop.vehicle import Vehicle

INCH = 25_400
Counts = tuple[int, ...]


@lru_cache(maxsize=64)
def _packer(outlines: tuple[tuple[Footprint, ...], ...], width: int) -> Callable[[Counts], int]:
    """Return what gives the least sum of row depths: every row with one of the first kind left."""

    @cache
    def least_floor(left: Counts) -> int:
        first = next((kind for kind, count in enumerate(left) if count), None)
        if first is None:
            return 0
        best = 10**12
        for depth in {d for outline in outlines for _, d in outline}:
            slim = [min((w for w, d in one if d <= depth), default=0) for one in outlines]
            if slim[first] and slim[first] <= width:
                for row in rows(left, slim, first):
                    rest = tuple(a - b for a, b in zip(left, row, strict=True))
                    best = min(best, depth + least_floor(rest))
        return best

    def rows(left: Counts, slim: list[int], first: int) -> Iterator[Counts]:
        ranges = [
            range(min(count, width // across) + 1) if across else range(1)
            for count, across in zip(left, slim, strict=True)
        ]
        for row in product(*ranges):
            if row[first] and sum(n * w for n, w in zip(row, slim, strict=True)) <= width:
                yield row

    return least_floor


def _splits(total: int, parts: int) -> Iterator[tuple[int, ...]]:
    if parts == 1:
        yield (total,)
        return
    for first in range(total + 1):
        for rest in _splits(total - first, parts - 1):
            yield (first, *rest)


def _by_trying(
    needs: Sequence[Need], scenarios: Sequence[Scenario], tried: Sequence[Footprint], most: int
) -> int:
    best = 10**12
    for chosen in combinations(tried, most):
        ways = []
        for need in needs:
            holds = [one for one in chosen if need.inside(one)]
            ways.append(
                [dict(zip(holds, split, strict=True)) for split in _splits(need.count, len(holds))]
                if holds
                else []
            )
        for split in product(*ways):
            counts = [sum(part.get(one, 0) for part in split) for one in chosen]
            total = 0
            for scenario in scenarios:
                outlines = [outline for outline, _ in scenario.stacks]
                outlines += [((wide, long), (long, wide)) for long, wide in chosen]
                numbers = (*(count for _, count in scenario.stacks), *counts)
                pack = _packer(tuple(outlines), scenario.vehicle.width_um)
                total += pack(numbers) * scenario.times
            best = min(best, total)
    return best


def _small_fleet(seed: int) -> tuple[list[Need], list[Scenario], list[Footprint], int]:
    random = Random(seed)
    sides = [15, 18, 20, 22.5, 24, 30, 33, 36, 40, 45]
    needs = [
        Need(
            count=random.randint(1, 3),
            height_um=30 * INCH,
            inside_um=(random.choice([14, 20, 26]) * INCH, random.choice([12, 16]) * INCH, INCH),
        )
        for _ in range(random.randint(1, 2))
    ]
    found: set[Footprint] = set()
    while len(found) < random.randint(2, 4):
        one, other = random.choice(sides), random.choice(sides)
        pair = (int(max(one, other) * INCH), int(min(one, other) * INCH))
        if any(need.inside(pair) for need in needs):
            found.add(pair)
    width = random.choice([60, 88, 90, 96])
    vehicle = Vehicle("V", width * INCH, 10_000 * INCH, 96 * INCH)
    stacks = []
    for _ in range(random.randint(0, 2)):
        one, other = (int(random.choice(sides) * INCH) for _ in range(2))
        stacks.append((tuple(sorted({(one, other), (other, one)})), random.randint(1, 3)))
    scenarios = [Scenario("load", vehicle, tuple(stacks), random.choice([1, 2]))]
    if random.random() < 0.3:
        other_room = Vehicle("U", 72 * INCH, 10_000 * INCH, 96 * INCH)
        scenarios.append(Scenario("other", other_room, ()))
    return needs, scenarios, sorted(found), random.randint(1, 2)


@pytest.mark.parametrize("start", range(0, 200, 25))
def test_the_best_sizes_agree_with_every_choice_tried(start: int) -> None:
    for seed in range(start, start + 25):
        needs, scenarios, tried, most = _small_fleet(seed)
        found = Sizing(needs, scenarios, tried).best(most)
        expected = _by_trying(needs, scenarios, tried, min(most, len(tried)))
        if expected == 10**12:
            assert found is None, seed
            continue
        assert found is not None, seed
        assert found.low_um <= expected == found.high_um, seed
        assert found.proven, seed
        assert [sum(part) for part in zip(*found.split, strict=True)] == [n.count for n in needs]


def _ninety() -> Vehicle:
    return Vehicle("T", 90 * INCH, 312 * INCH, 96 * INCH)


def _need(count: int, long: float, wide: float) -> Need:
    inside = (int(long * INCH), int(wide * INCH), 20 * INCH)
    return Need(count=count, height_um=30 * INCH, inside_um=inside)


def test_what_must_fit_inside_rules_out_the_small_ones() -> None:
    need = _need(6, 28, 20)
    found = candidates([need], (), [_ninety()])
    assert found
    assert all(need.inside(one) for one in found)
    # 30 in less two walls of half an inch hold 28 in; 22.5 in hold 20 in
    assert (30 * INCH, int(22.5 * INCH)) in found
    assert (45 * INCH, int(20.5 * INCH)) not in found


def test_a_volume_is_kept_whichever_side_is_chosen() -> None:
    need = Need(4, 30 * INCH, volume_um3=20 * 20 * 20 * INCH**3)
    found = candidates([need], (), [_ninety()])
    assert found
    for long, wide in found:
        assert (long - INCH) * (wide - INCH) * 29 * INCH >= need.volume_um3


def test_the_fleets_own_sides_and_the_rest_of_its_rows_are_candidates() -> None:
    owned = [Case("A", 45 * INCH, 33 * INCH, 30 * INCH)]
    found = candidates([_need(2, 22, 20)], owned, [_ninety()])
    sides = {side for one in found for side in one}
    assert 33 * INCH in sides
    assert 24 * INCH in sides  # 90 less two of 33


def test_room_for_cable_and_a_connection_panel_lies_along_the_length() -> None:
    bare = _need(1, 20, 20)
    rack = replace(bare, front_um=4 * INCH, behind_um=6 * INCH, panel_um=2 * INCH)
    assert rack.least == (33 * INCH, 21 * INCH)
    assert rack.inside((33 * INCH, 21 * INCH)) > 0
    assert rack.inside((32 * INCH, 32 * INCH)) == 0


def test_the_smallest_of_those_that_hold_the_same_are_kept() -> None:
    need = _need(1, 20, 20)
    small, large, slim = (30 * INCH, 22 * INCH), (40 * INCH, 30 * INCH), (60 * INCH, 21 * INCH)
    assert set(smallest([small, large, slim], [need])) == {small, slim}


def test_six_trunks_fill_two_rows_of_thirds_rather_than_three_of_odd_ones() -> None:
    scenario = Scenario("gala", _ninety())
    odd, third = (32 * INCH, 24 * INCH), (30 * INCH, 24 * INCH)
    best = Sizing([_need(6, 22, 22)], [scenario], [odd, third]).best(1)
    assert best is not None
    assert (best.footprints, best.high_um, best.proven) == ((third,), 48 * INCH, True)


def test_sizes_that_take_the_same_floor_are_called_ties() -> None:
    scenario = Scenario("gala", Vehicle("W", 96 * INCH, 312 * INCH, 96 * INCH))
    # common practice, no source: 48 x 24 takes the same floor both ways, so does 24 x 48 in 96
    sizing = Sizing(
        [_need(8, 22, 22)], [scenario], [(48 * INCH, 24 * INCH), (32 * INCH, 36 * INCH)]
    )
    best = sizing.best(1)
    assert best is not None
    ties = sizing.ties(best, 1)
    assert [one.high_um for one in ties] == [best.high_um] * len(ties)
    assert best.high_um == 96 * INCH


def test_two_sizes_are_no_worse_than_one() -> None:
    needs = [_need(4, 22, 20), _need(2, 42, 28)]
    found = candidates(needs, (), [_ninety()])
    sizing = Sizing(needs, [Scenario("gala", _ninety())], smallest(found, needs))
    one, two = sizing.best(1), sizing.best(2)
    assert one is not None
    assert two is not None
    assert two.high_um <= one.high_um
    assert two.low_um <= two.high_um


def test_a_need_that_no_size_holds_has_no_answer() -> None:
    sizing = Sizing([_need(1, 80, 80)], [Scenario("gala", _ninety())], [(30 * INCH, 30 * INCH)])
    assert sizing.best(3) is None


@pytest.mark.parametrize(
    "changes", [{"count": 0}, {"front_um": -1}, {"height_um": 10 * INCH}], ids=str
)
def test_a_need_that_cannot_be_is_refused(changes: dict[str, int]) -> None:
    values = {"count": 1, "height_um": 30 * INCH, "inside_um": (INCH, INCH, 25 * INCH), **changes}
    with pytest.raises(ValueError, match="expected"):
        Need(**values)  # type: ignore[arg-type]
