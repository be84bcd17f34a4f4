"""The parts of stacks by number: towers, the ways they are turned, and the floor they take."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from server.core.planner.stacking.lid_rules import Sides, lid_holds, takes_riders
from server.core.shop.case import Case

Numbers = tuple[int, ...]
Outline = tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class BenchType:
    """A stack by twins: towers from the floor up, riders on the lids, the floor it takes."""

    towers: tuple[Numbers, ...]
    riders: Numbers
    outline: Outline
    lo: int
    hi: int
    rooms: frozenset[int]
    label: int = 0  # tells apart what looks alike and yet is listed twice

    @cached_property
    def uses(self) -> Counter[int]:
        """How many of each twins stand in it."""
        return Counter([*(twins for tower in self.towers for twins in tower), *self.riders])

    @cached_property
    def bearing(self) -> Counter[int]:
        """How many of each twins cannot be taken out because others stand on them."""
        found: Counter[int] = Counter(tower[0] for tower in self.towers)
        for tower in self.towers:
            found.update(tower[1:] if self.riders else tower[1:-1])
        return found


@dataclass(frozen=True)
class Tower:
    """Towers as lids: orientations, height, what the lid may still take."""

    numbers: Numbers
    cases: tuple[Case, ...]
    sides: Sides
    top: int

    @property
    def takes(self) -> bool:
        """Return whether riders may stand on it."""
        return takes_riders(self.cases[-1])

    def holds(self, load_g: float, parts: int) -> bool:
        """Return whether every lid of the tower bears a load on top of it."""
        above, count = round(load_g), parts
        for case in reversed(self.cases):
            if count and not lid_holds(case, above, count):
                return False
            above, count = above + case.mass_g, count + 1
        return True


@dataclass(frozen=True)
class Setting:
    """Towers side by side, each turned one way."""

    lids: Sides
    towers: tuple[Tower, ...]

    @property
    def floor(self) -> tuple[int, int]:
        """Width and depth that it takes."""
        return sum(dx for dx, _ in self.lids), max(dy for _, dy in self.lids)


def undercut(found: Sequence[tuple[int, int]]) -> Outline:
    """Return footprints without those that another undercuts in width and depth."""
    kept: list[tuple[int, int]] = []
    for width, depth in sorted(found):
        if not kept or depth < kept[-1][1]:
            kept.append((width, depth))
    return tuple(kept)
