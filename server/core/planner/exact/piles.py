"""Every pile of a small show: floor cases side by side, joined by what stands on their lids.

A pile grows case by case. A case above stands on the lid of its own footprint (casters), or at a
corner of the lids of one height; placements pushed to the left and to the row's line are complete
for what fits, and the ones pushed to the other edges give the extreme moments.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

from server.core.base.units import within
from server.core.planner.exact.case_types import CaseTypes, State
from server.core.planner.exact.pile_rules import Pile, PileRules, Spot
from server.core.planner.problem.model import Task, Way
from server.core.planner.problem.pair_rules import may_be_beside, may_be_under
from server.core.shop.case import Case
from server.core.shop.vehicle import Vehicle

MOST_BASES = 6
MOST_PILES = 400_000  # arrangements looked at before the list counts as incomplete
MOST_KEPT = 24  # arrangements kept for one multiset of cases


Key = tuple[int, int, int, int, Way]  # type, x, y, z, way


@dataclass
class PileFinder:
    """Lists the piles of one vehicle by the multiset of their cases."""

    task: Task
    room: Vehicle
    types: CaseTypes
    stop: Callable[[], bool]
    keep_all: bool = False  # piles that another one dominates, too
    complete: bool = True
    found: dict[State, list[Pile]] = field(default_factory=lambda: defaultdict(list))
    _known_pairs: dict[tuple[int, int], bool] = field(default_factory=dict)
    _known_rises: dict[int, frozenset[int]] = field(default_factory=dict)
    _seen: set[frozenset[Key]] = field(default_factory=set)

    def find(self) -> dict[State, list[Pile]]:
        """Return piles by the multiset of their cases."""
        self.cases = [group[0] for group in self.types.members]
        self.rules = PileRules(self.cases, self.task.rules)
        self.ways = [self._ways_of(case) for case in self.cases]
        self.above = [i for i, case in enumerate(self.cases) if self._may_be_above(case)]
        for bases in self._bases():
            if self.stop() or len(self._seen) > MOST_PILES:
                self.complete = False
                break
            self._grow(bases)
        return {state: self._kept(piles) for state, piles in self.found.items()}

    def _ways_of(self, case: Case) -> list[Way]:
        room = self.room
        if case.vehicle not in (None, room.id):
            return []
        return [
            way
            for way in self.task.ways(case)
            if way.dz <= room.passing_height_um
            and way.dx <= room.width_um
            and way.dy <= room.length_um
        ]

    def _may_be_above(self, case: Case) -> bool:
        return any(
            (lower.lid_load_g is not None and case.rides) or lower.lid_casters
            for lower in self.cases
        )

    def _bases(self) -> Iterator[tuple[Spot, ...]]:
        """Yield floor cases side by side: one, or more where something may bridge them."""
        bridges = [i for i in self.above if self.cases[i].rides]
        row: list[Spot] = []
        left = [len(group) for group in self.types.members]

        def walk(x: int) -> Iterator[tuple[Spot, ...]]:
            for number in range(len(self.cases)):
                if not left[number]:
                    continue
                for way in self.ways[number]:
                    if x + way.dx > self.room.width_um:
                        continue
                    if row and not self._may_join(row[-1], number, way):
                        continue
                    row.append(Spot(number, way, x, 0, 0))
                    left[number] -= 1
                    yield tuple(row)
                    if any(left[i] for i in bridges):
                        if len(row) < MOST_BASES:
                            yield from walk(x + way.dx)
                        elif self._room_beside(x + way.dx, left):
                            self.complete = False
                    left[number] += 1
                    row.pop()

        for bases in walk(0):
            mirror = [(one.type, one.way) for one in reversed(bases)]
            if [(one.type, _rank(one.way)) for one in bases] <= [
                (number, _rank(way)) for number, way in mirror
            ]:
                yield bases

    def _room_beside(self, x: int, left: Sequence[int]) -> bool:
        widths = [way.dx for i, n in enumerate(left) if n for way in self.ways[i]]
        return bool(widths) and x + min(widths) <= self.room.width_um

    def _may_join(self, last: Spot, number: int, way: Way) -> bool:
        """Return whether tops of two neighbours may come level, so that something bridges them."""
        one, other = self.cases[last.type], self.cases[number]
        if one.lid_load_g is None and not one.lid_casters:
            return False
        if other.lid_load_g is None and not other.lid_casters:
            return False
        if not may_be_beside(one, other):
            return False
        return bool(self._rises(last.top) & self._rises(way.dz))

    def _rises(self, top: int) -> frozenset[int]:
        """Return the heights that lids above a top may have."""
        if top not in self._known_rises:
            heights = {way.dz for i in self.above for way in self.ways[i]}
            found = {top}
            for _ in range(2):
                found |= {low + up for low in found for up in heights}
            self._known_rises[top] = frozenset(x for x in found if x < self.room.height_um)
        return self._known_rises[top]

    def _grow(self, spots: tuple[Spot, ...]) -> None:
        """Keep a pile if it holds together, then set each further case on it."""
        if len(self._seen) > MOST_PILES:
            return
        if _joined(spots):
            self._keep(spots)
        left = [len(group) for group in self.types.members]
        for spot in spots:
            left[spot.type] -= 1
        key = frozenset((s.type, s.x, s.y, s.z, s.way) for s in spots)
        for number in self.above:
            if left[number]:
                for more in self._set_on(spots, number, key):
                    self._grow((*spots, more))

    def _keep(self, spots: tuple[Spot, ...]) -> None:
        floor = [spot for spot in spots if spot.z == 0]
        state = sum(self.types.strides[spot.type] for spot in spots)
        pile = Pile(
            sum(spot.way.dx for spot in floor),
            max(spot.way.dy for spot in floor),
            sum(self.cases[s.type].mass_g * (2 * s.y + s.way.dy) for s in spots),
            spots,
        )
        self.found[state].append(pile)

    def _kept(self, piles: list[Pile]) -> list[Pile]:
        """Return the arrangements that may matter: each floor taken, with its extreme moments."""
        if self.keep_all:
            self.complete &= len(piles) <= 40 * MOST_KEPT
            return piles[: 40 * MOST_KEPT]
        groups: dict[tuple[int, int], list[Pile]] = defaultdict(list)
        for pile in piles:
            groups[pile.width, pile.depth].append(pile)
        found = []
        for group in groups.values():
            group.sort(key=lambda one: one.moment)
            found += group[:1] if group[0].moment == group[-1].moment else [group[0], group[-1]]
        if self.room.axles is None and not self.room.narrow:
            best: list[Pile] = []
            for pile in sorted(found, key=lambda one: (one.width, one.depth)):
                if not best or pile.depth < best[-1].depth:
                    best.append(pile)
            return best
        return found

    def _set_on(self, spots: Sequence[Spot], number: int, key: frozenset[Key]) -> Iterator[Spot]:
        """Yield each place for a case on top of what stands there."""
        case, rules = self.cases[number], self.task.rules
        drops = [self.cases[spot.type].drop for spot in spots]
        if max(case.drop, *drops) - min(case.drop, *drops) > 1:
            return
        lids = [s for s in spots if s.way.stance == "upright" and self._agree(s.type, number)]
        lifted = case.rides and within(case.mass_g, rules.rider_mass_g, 1)
        ceiling = min(self.room.height_um, rules.lift_top_um or self.room.height_um)
        for z in sorted({lid.top for lid in lids}):
            level = [lid for lid in lids if lid.top == z]
            for way in self.ways[number]:
                if z + way.dz > self.room.height_um:
                    continue
                corners = {
                    (lid.x, lid.y)
                    for lid in level
                    if self.cases[lid.type].lid_casters
                    and (lid.way.dx, lid.way.dy) == (way.dx, way.dy)
                }
                if lifted and z + way.dz <= ceiling:
                    bearing = [s for s in level if self.cases[s.type].lid_load_g is not None]
                    corners |= self._corners(spots, bearing, way, case)
                for x, y in self._clear(spots, level, way, sorted(corners)):
                    whole = key | {(number, x, y, z, way)}
                    if whole in self._seen:
                        continue  # the same pile, grown in another order
                    self._seen.add(whole)
                    spot = self.rules.checked(spots, Spot(number, way, x, y, z))
                    if spot is not None:
                        yield spot

    def _agree(self, lower: int, upper: int) -> bool:
        """Return whether a type may stand on another, whatever their places."""
        key = lower, upper
        if key not in self._known_pairs:
            self._known_pairs[key] = may_be_under(self.cases[lower], self.cases[upper])
        return self._known_pairs[key]

    def _corners(
        self, spots: Sequence[Spot], lids: Sequence[Spot], way: Way, case: Case
    ) -> set[tuple[int, int]]:
        """Return the corners worth trying on lids of one height."""
        if sum(s.way.dx * s.way.dy for s in lids) < way.dx * way.dy:
            return set()
        z = lids[0].top
        level = [s for s in spots if s.z <= z < s.top]
        xs = {s.x for s in lids} | {s.x + s.way.dx for s in level}
        ys = {s.y for s in lids} | {s.y + s.way.dy for s in level}
        if self.room.axles is not None or self.keep_all:
            ys |= {s.y + s.way.dy - way.dy for s in lids}
        if len(lids) > 1:
            xs |= {s.x + s.way.dx - way.dx for s in lids}
        for edge in {s.x for s in lids} & {s.x + s.way.dx for s in lids}:
            # Evenly over two lids, and as far over as either lid bears.
            xs.add(edge - way.dx // 2)
            for lid in lids:
                limit = self.cases[lid.type].lid_load_g
                if limit is not None and 0 < limit < case.mass_g:
                    over = way.dx * limit // case.mass_g
                    xs |= {edge - over, edge - way.dx + over}
        return {(x, y) for x in xs for y in ys}

    def _clear(
        self,
        spots: Sequence[Spot],
        lids: Sequence[Spot],
        way: Way,
        corners: Sequence[tuple[int, int]],
    ) -> Iterator[tuple[int, int]]:
        """Yield the corners at which a case lies wholly on lids and on nothing else."""
        if not lids:
            return
        low, area = lids[0].top, way.dx * way.dy
        high = low + way.dz
        under = [(s.x, s.y, s.x + s.way.dx, s.y + s.way.dy) for s in lids]
        there = [
            (s.x, s.y, s.x + s.way.dx, s.y + s.way.dy) for s in spots if s.z < high and s.top > low
        ]
        for x, y in corners:
            right, far = x + way.dx, y + way.dy
            if any(x < x1 and right > x0 and y < y1 and far > y0 for x0, y0, x1, y1 in there):
                continue
            borne = 0
            for x0, y0, x1, y1 in under:
                wide = (min(x1, right)) - (max(x0, x))
                deep = (min(y1, far)) - (max(y0, y))
                if wide > 0 and deep > 0:
                    borne += wide * deep
            if borne == area:
                yield x, y


def _rank(way: Way) -> tuple[int, int, int]:
    return way.dx, way.dy, way.dz


def _joined(spots: Sequence[Spot]) -> bool:
    """Return whether the floor cases hang together by what bridges them."""
    group = list(range(len(spots)))

    def root(i: int) -> int:
        while group[i] != i:
            i = group[i]
        return i

    for i, spot in enumerate(spots):
        for lower in spot.on:
            group[root(i)] = root(lower)
    return len({root(i) for i in range(len(spots))}) == 1
