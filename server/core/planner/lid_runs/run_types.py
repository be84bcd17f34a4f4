"""Runs: lids of one height side by side, and every load of riders that one can hold."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import permutations, product

from server.core.planner.stacking.lid_rules import Sides
from server.core.planner.stacking.rectangle_packing import may_fit, merged
from server.core.planner.stacking.stack_types import Outline, undercut
from server.core.planner.stacking.tower_enumeration import TooMany

Load = tuple[int, ...]  # how many riders of each shape
Lids = tuple[Sides, ...]  # the sides of each lid, in no order


@dataclass
class Runs:
    """Loads of runs on floors up to a width.

    `work` is how many questions are still allowed, and `stop` says that time is up.
    """

    width: int
    work: int
    stop: Callable[[], bool]
    _settings: dict[Lids, dict[Sides, tuple[int, int]]] = field(default_factory=dict)
    _loads: dict[tuple[Lids, tuple[Sides, ...], Load], dict[Load, Outline]] = field(
        default_factory=dict
    )

    def settings(self, lids: Lids) -> dict[Sides, tuple[int, int]]:
        """Return the profiles in which lids stand side by side, and the floor of each."""
        if lids not in self._settings:
            found = {}
            for order in set(permutations(lids)):
                for turned in product(*order):
                    wide = sum(dx for dx, _ in turned)
                    if wide <= self.width:
                        found[merged(tuple(turned))] = wide, max(dy for _, dy in turned)
            self._settings[lids] = found
        return self._settings[lids]

    def loads(self, lids: Lids, shapes: tuple[Sides, ...], most: Load) -> dict[Load, Outline]:
        """Return each load that lids may hold and the floors on which they do.

        `most` is how many riders of each shape there are. Raises TooMany.
        """
        if self.stop():
            raise TooMany
        key = lids, shapes, most
        if key not in self._loads:
            self._loads[key] = self._find(lids, shapes, most)
        return self._loads[key]

    def _find(self, lids: Lids, shapes: tuple[Sides, ...], most: Load) -> dict[Load, Outline]:
        settings = self.settings(lids)
        found: dict[Load, Outline] = {}

        def walk(load: Load, start: int, profiles: Sequence[Sides]) -> None:
            found[load] = undercut([settings[profile] for profile in profiles])
            for shape in range(start, len(shapes)):
                if load[shape] == most[shape]:
                    continue
                more = (*load[:shape], load[shape] + 1, *load[shape + 1 :])
                self.work -= len(profiles)
                if self.work < 0:
                    raise TooMany
                riders = tuple((shapes[i], n) for i, n in enumerate(more) if n)
                among = [profile for profile in profiles if may_fit(profile, riders)]
                if among:
                    walk(more, shape, among)

        if settings:
            walk((0,) * len(shapes), 0, [*settings])
        return found

    def parts(
        self, lids: Lids, shapes: tuple[Sides, ...], most: Load, load: Load
    ) -> Iterator[tuple[tuple[int, ...], Load]]:
        """Yield each way in which a run and its load fall into two on no more floor.

        As the places of the lids in the first part, and its load.
        """
        floors = self.loads(lids, shapes, most)[load]
        for mask in range(1, 2 ** len(lids) // 2):
            first = tuple(i for i in range(len(lids)) if mask >> i & 1)
            one = self.loads(tuple(lids[i] for i in first), shapes, most)
            other = self.loads(
                tuple(lids[i] for i in range(len(lids)) if i not in first), shapes, most
            )
            for part, outline in one.items():
                if any(a > b for a, b in zip(part, load, strict=True)):
                    continue
                rest = tuple(b - a for a, b in zip(part, load, strict=True))
                if rest in other and all(
                    any(
                        a[0] + b[0] <= wide and max(a[1], b[1]) <= deep
                        for a in outline
                        for b in other[rest]
                    )
                    for wide, deep in floors
                ):
                    yield first, part
