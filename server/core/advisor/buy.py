"""Buy N: which footprint for N new cases together, and which set of sizes for a shop that starts.

The nights' own stacks are kept as the planner builds them; new cases stand on the floor. Sizes that
take the same floor are ties, and of those the roomiest comes first.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from server.core.advisor.floor import bare
from server.core.advisor.footprints import candidates, smallest
from server.core.advisor.questions import Footprint, Need, Night
from server.core.advisor.sizes import Scenario, Sizes, Sizing
from server.core.advisor.year import Span
from server.core.planner.column_generation.row_problem import sort_stacks
from server.core.planner.construction.greedy_stacks import build_stacks
from server.core.planner.problem.model import Task
from server.core.shop.case import Case
from server.core.shop.show import Rules

NEAR: Final = 1.05  # times the least floor: what is shown beside the best
MOST_VALUES: Final = 60

Tell = Callable[[int, int], bool]
"""Hears how many footprints of how many are judged; False: stop."""


@dataclass(frozen=True, slots=True)
class Ranked:
    """One footprint for every need: the floor that it adds, and the volume inside one case.

    `tie`: proven to take exactly as little floor as the best.
    """

    footprint: Footprint
    added: Span
    inside_um3: int
    tie: bool


@dataclass(frozen=True, slots=True)
class Set:
    """The best set of at most so many sizes, and other sets that take the same floor."""

    most: int
    sizes: Sizes
    added: Span
    ties: tuple[tuple[Footprint, ...], ...]


@dataclass(frozen=True, slots=True)
class Bought:
    """What was found; `left_out` names cases of the nights that do not fit their vehicle."""

    before: Span
    ranked: tuple[Ranked, ...]
    sets: tuple[Set, ...]
    tried: int
    left_out: tuple[str, ...] = ()
    whole: bool = True
    loads: int = 1  # nights times vehicles over which the floor is summed


def scenarios_of(nights: Sequence[Night], rules: Rules) -> tuple[list[Scenario], tuple[str, ...]]:
    """Return each night in each of its vehicles, without the cases that do not fit it."""
    found, left_out = [], []
    for night in nights:
        for vehicle in night.vehicles:
            room = replace(vehicle, narrow=(), axles=None)
            task = Task(rules, (room,), tuple(bare(case) for case in night.cases))
            out = {case.code for case in task.cases if not task.ways(case)}
            if out:
                some = ", ".join(sorted(out)[:6])
                left_out.append(f"{night.name} in {vehicle.id}: {some} do not fit and are left out")
            task = task.only(case for case in task.cases if case.code not in out)
            kinds, _ = sort_stacks((room,), build_stacks(task)) if task.cases else ([], [])
            stacks = tuple((kind.outline, kind.count) for kind in kinds)
            endless = replace(room, length_um=room.length_um * 1_000)
            found.append(Scenario(f"{night.name} in {vehicle.id}", endless, stacks, night.times))
    return found, tuple(left_out)


def buy(
    needs: Sequence[Need],
    nights: Sequence[Night],
    owned: Sequence[Case],
    rules: Rules,
    *,
    most: int = 1,
    tell: Tell | None = None,
) -> Bought:
    """Judge footprints for new cases by the floor of nights in their vehicles."""
    scenarios, left_out = scenarios_of(nights, rules)
    vehicles = [vehicle for night in nights for vehicle in night.vehicles]
    tried = candidates(needs, owned, vehicles)
    base = Sizing([], scenarios, []).best(0)
    before = Span(base.low_um, base.high_um) if base is not None else Span()
    small = smallest(tried, needs)
    stopped = [False]

    def stop() -> bool:
        return stopped[0]

    def hear(done: int) -> bool:
        stopped[0] = stopped[0] or (tell is not None and not tell(done, len(tried) + most))
        return not stopped[0]

    sets = _sets(Sizing(needs, scenarios, small, stop), before, most, hear)
    values = _each(needs, scenarios, small, tried, lambda done: hear(most + done))
    return Bought(
        before,
        _ranked(values, needs, before),
        tuple(sets),
        len(tried),
        left_out,
        not stopped[0],
        sum(one.times for one in scenarios),
    )


def _sets(sizing: Sizing, before: Span, most: int, hear: Callable[[int], bool]) -> list[Set]:
    found: list[Set] = []
    for count in range(1, most + 1):
        if not hear(count - 1):
            break
        best = sizing.best(count)
        if best is None:
            continue
        ties = sizing.ties(best, count) if best.proven and count <= len(best.footprints) else []
        added = Span(best.low_um, best.high_um) - before
        found.append(Set(count, best, added, tuple(one.footprints for one in ties)))
    return found


def _each(
    needs: Sequence[Need],
    scenarios: Sequence[Scenario],
    small: Sequence[Footprint],
    tried: Sequence[Footprint],
    hear: Callable[[int], bool],
) -> dict[Footprint, Span]:
    """Return the floor with each footprint alone; larger ones only while they may be near."""
    values: dict[Footprint, Span] = {}
    ones = [one for one in tried if all(need.inside(one) for need in needs)]
    order = [one for one in ones if one in set(small)]
    order += [one for one in ones if one not in set(small)]
    least = None
    for done, one in enumerate(order):
        if not hear(done):
            break
        inside = [span for other, span in values.items() if _holds(one, other)]
        if least is not None and any(span.low > NEAR * least for span in inside):
            continue  # a smaller one takes much more than the best already
        if len(values) >= MOST_VALUES:
            break
        sizes = Sizing(needs, scenarios, [one]).best(1)
        if sizes is None:
            continue
        values[one] = Span(sizes.low_um, sizes.high_um)
        least = sizes.high_um if least is None else min(least, sizes.high_um)
    return values


def _holds(outer: Footprint, inner: Footprint) -> bool:
    return outer[0] >= inner[0] and outer[1] >= inner[1]


def _ranked(
    values: dict[Footprint, Span], needs: Sequence[Need], before: Span
) -> tuple[Ranked, ...]:
    if not values:
        return ()
    best = min(span.high for span in values.values())
    found = [
        Ranked(
            footprint=one,
            added=span - before,
            inside_um3=min(need.inside(one) for need in needs),
            tie=span.low == span.high == best,
        )
        for one, span in values.items()
    ]
    return tuple(sorted(found, key=lambda one: (one.added.high, -one.inside_um3, one.footprint)))
