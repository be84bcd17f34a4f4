"""The best lawful plan of a part of the load, when not everything can go."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from server.core.planner.construction.vehicle_sets import Attempt, greedy_loads
from server.core.planner.infeasibility.rejection import Rest
from server.core.planner.problem.model import Line, Task
from server.core.shop.case import Case

Ordered = Callable[[Sequence[Sequence[Line]], Task], list[list[Line]] | None]
MOST_BACK = 12  # cases tried again one by one
TryAll = Callable[[Task, float], Attempt]


@dataclass
class Parts:
    """Ways to a lawful part: `ordered` puts rows in lawful order, `attempt` plans a whole task."""

    task: Task
    ordered: Ordered
    attempt: TryAll

    def of_rest(self, rest: Rest) -> Rest | None:
        """Return what goes of a rest in a lawful order, planned anew if its rows have none."""
        left = {case.code for case in rest.left}
        kept = self.task.only(case for case in self.task.cases if case.code not in left)
        rooms = self.ordered(rest.rooms, kept)
        if rooms is None:
            loads = self.attempt(kept, 0.1).loads
            rooms = None if loads is None else [list(load.lines) for load in loads]
        return None if rooms is None else Rest(rooms, rest.left)

    def without_wishes(self) -> tuple[Rest | None, list[str]]:
        """Return a plan without the cases whose wishes stop it, and which wishes those are."""
        for stripped, reasons in self._strips():
            codes = {case.code for case in stripped}
            kept = self.task.only(case for case in self.task.cases if case.code not in codes)
            loads = self.attempt(kept, 0.3).loads if stripped else None
            if loads is not None:
                return Rest([list(load.lines) for load in loads], list(stripped)), reasons
        return None, []

    def refilled(self, rest: Rest, over: Callable[[], bool]) -> Rest:
        """Return a rest with cases that stay added again: what must go, light ones first."""
        for case in sorted(rest.left, key=_last_left)[:MOST_BACK]:
            if over():
                break
            codes = {one.code for one in rest.left} - {case.code}
            kept = self.task.only(one for one in self.task.cases if one.code not in codes)
            loads = self.attempt(kept, 0.15).loads
            if loads is not None:
                left = [one for one in rest.left if one.code != case.code]
                rest = Rest([list(load.lines) for load in loads], left)
        return rest

    def _strips(self) -> Iterator[tuple[list[Case], list[str]]]:
        against = contradictions(self.task.cases)
        if against:
            yield [case for case, _ in against], [text for _, text in against]
        words = sorted({case.together for case in self.task.cases if case.together})
        for word in words:
            group = [case for case in self.task.cases if case.together == word]
            yield group, [f"no neighbouring rows were found for the cases of {word!r}"]
        near = [case for case in self.task.cases if case.near]
        if near:
            yield (
                near,
                [f"{case.code}: no place at the {case.near} was found as wished" for case in near],
            )
        wished = [case for case in self.task.cases if case.near or case.together]
        if wished:
            yield wished, ["no plan was found with the wishes for an end and for places together"]

    def greedy(self, over: Callable[[], bool]) -> Rest:
        """Return a greedy part: wished cases left first, then the heaviest, until it is lawful.

        Once time is over half of what is left is taken out at a time.
        """
        out = [case for case in self.task.cases if case.near or case.together]
        codes = {case.code for case in out}
        kept = [case for case in self.task.cases if case.code not in codes]
        while True:
            part = self.task.only(kept)
            loads, _ = greedy_loads(part, part.vehicles)
            loaded = {case.code for load in loads for line in load.lines for case in line.cases}
            lost = [case for case in kept if case.code not in loaded]
            there = part.only(case for case in kept if case.code in loaded)
            rooms = self.ordered([load.lines for load in loads], there)
            if rooms is not None:
                return Rest(rooms, [*out, *lost])
            ranked = sorted(there.cases, key=_last_left, reverse=True)
            heaviest = ranked[: -(-len(ranked) // 2) if over() else 1]
            out += heaviest
            codes = {case.code for case in heaviest}
            kept = [case for case in kept if case.code not in codes]


def _last_left(case: Case) -> tuple[bool, int, str]:
    return case.priority == "nice", case.mass_g, case.code


def contradictions(cases: Sequence[Case]) -> list[tuple[Case, str]]:
    """Return the cases wished at an end where their drop cannot stand."""
    drops = [case.drop for case in cases]
    found = []
    for case in cases:
        if case.near == "bulkhead" and case.drop < max(drops) - 1:
            text = f"{case.code}: wished at the bulkhead, but later drops belong behind it"
            found.append((case, text))
        if case.near == "door" and case.drop > min(drops) + 1:
            text = f"{case.code}: wished at the door, but earlier drops belong before it"
            found.append((case, text))
    return found


def against_alone(task: Task) -> bool:
    """Return whether wishes and drops contradict each other in the only vehicle."""
    return len(task.vehicles) == 1 and bool(contradictions(task.cases))
