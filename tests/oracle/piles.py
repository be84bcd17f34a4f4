"""Every pile of a few cases: floor cases side by side, joined by what stands on their lids.

Whole numbers of half inches. Riders are tried where lids and other riders have their edges, and
where a limited lid bears exactly its share of a bridging rider: enough to find every pile that
matters on shows of `small_shows`, though no proof that none other exists.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import permutations, product
from typing import Any

Doc = dict[str, Any]
MOST_STEPS = 3_000  # places of riders tried for one set of cases
MOST_KEPT = 8  # piles of one floor kept apart by their moment


@dataclass(frozen=True)
class Box:
    """A case in a pile: whole half inches from the pile's left front corner."""

    case: int
    x: int
    y: int
    z: int
    dx: int
    dy: int
    dz: int
    stance: str
    turned: bool
    on: tuple[int, ...] = ()


@dataclass(frozen=True)
class Pile:
    """Boxes with the profile of their floor cases: (across, along), from the left."""

    boxes: tuple[Box, ...]
    floor: tuple[tuple[int, int], ...]
    moment: float  # about the row's line, mass times middle

    @property
    def width(self) -> int:
        """Floor width."""
        return sum(wide for wide, _ in self.floor)

    @property
    def depth(self) -> int:
        """Depth of the deepest floor case."""
        return max(deep for _, deep in self.floor)


class Piler:
    """Piles of the cases of a show in one vehicle."""

    def __init__(self, show: Doc, room: Doc) -> None:
        self.cases, self.room = show["cases"], room
        rules: Doc = {"lift_top": 60, "rider_mass": 150, **show.get("rules", {})}
        self.height = round(2 * room["height"])
        self.width, self.length = round(2 * room["width"]), round(2 * room["length"])
        self.door = min(self.height, round(2 * (room.get("door_height") or room["height"])))
        self.lift = self.height if rules["lift_top"] is None else round(2 * rules["lift_top"])
        self.hands = rules["rider_mass"]
        self.many = bool(room.get("axles"))
        self.ways = [list(self._ways(case)) for case in self.cases]
        self._known: dict[int, list[Pile]] = {}
        self._pairs: dict[tuple[int, int], bool] = {}

    def _ways(self, case: Doc) -> Iterator[tuple[int, int, int, str, bool]]:
        long, wide, high = (round(2 * case[key]) for key in ("length", "width", "height"))
        seen = set()
        for stance in case.get("stances", ["upright"]):
            first, other, up = {
                "upright": (long, wide, high),
                "on_end": (wide, high, long),
                "on_side": (long, high, wide),
            }[stance]
            for turned in (False, True) if case.get("turn", True) else (False,):
                dx, dy = (first, other) if turned else (other, first)
                fits = up <= self.door and dx <= self.width and dy <= self.length
                if fits and (dx, dy, up, stance == "upright") not in seen:
                    seen.add((dx, dy, up, stance == "upright"))
                    yield dx, dy, up, stance, turned

    def piles(self, mask: int) -> list[Pile]:
        """Return the piles of exactly these cases."""
        if mask not in self._known:
            self._known[mask] = self._find([i for i in range(len(self.cases)) if mask >> i & 1])
        return self._known[mask]

    def _find(self, members: Sequence[int]) -> list[Pile]:
        found: dict[tuple[tuple[int, int], ...], list[Pile]] = {}
        if any(self.cases[i].get("vehicle") not in (None, self.room["id"]) for i in members):
            return []
        drops = [self.cases[i].get("drop", 1) for i in members]
        if max(drops) - min(drops) > 1:
            return []
        self.steps = MOST_STEPS
        for pile in self._all(members):
            same = found.setdefault(pile.floor, [])
            if not same or (self.many and all(abs(p.moment - pile.moment) > 1e-9 for p in same)):
                same.append(pile)
        kept = []
        for same in found.values():
            same.sort(key=lambda pile: pile.moment)
            middle = same[1:-1][: MOST_KEPT - 2]
            kept += [same[0], *middle, *same[-1:]] if len(same) > 1 else same
        return kept

    def _all(self, members: Sequence[int]) -> Iterator[Pile]:
        if len(members) == 1:
            (only,) = members
            for dx, dy, dz, stance, turned in self.ways[only]:
                yield self._pile([Box(only, 0, 0, 0, dx, dy, dz, stance, turned)])
            return
        for size in range(1, min(4, len(members) - 1) + 1):
            for order in permutations(members, size):
                if order[0] > order[-1]:
                    continue
                rest = [i for i in members if i not in order]
                if size <= 1 + len(rest) and self._may_bear(order, rest, members):
                    yield from self._on_floor(order, rest)

    def _may_bear(self, order: Sequence[int], rest: Sequence[int], members: Sequence[int]) -> bool:
        """Return whether floor lids bear the mass of the rest, each of which has some lid."""
        lids = [self.cases[i].get("lid_load") for i in order]
        if None in lids or sum(self.cases[i]["mass"] for i in rest) > sum(lids) + 1e-9:
            return False
        return all(any(self._may_stand(i, j) for j in members if j != i) for i in rest)

    def _may_stand(self, upper: int, lower: int) -> bool:
        if (upper, lower) not in self._pairs:
            above, below = self.cases[upper], self.cases[lower]
            rides = above["rides"] and (self.hands is None or above["mass"] <= self.hands)
            self._pairs[upper, lower] = (
                below.get("lid_load") is not None
                and above.get("drop", 1) <= below.get("drop", 1)
                and above["code"] not in below.get("never_under", ())
                and bool(rides or below.get("lid_casters"))
            )
        return self._pairs[upper, lower]

    def _on_floor(self, order: Sequence[int], rest: Sequence[int]) -> Iterator[Pile]:
        upright = [[way for way in self.ways[i] if way[3] == "upright"] for i in order]
        for ways in product(*upright):
            if sum(way[0] for way in ways) > self.width:
                continue
            boxes, x = [], 0
            for i, way in zip(order, ways, strict=True):
                boxes.append(Box(i, x, 0, 0, *way))
                x += way[0]
            for done in self._place(boxes, list(rest)):
                if self._joined(done) and self._bears(done):
                    yield self._pile(done)
                    if not self.many:
                        break

    def _place(self, boxes: list[Box], rest: list[int]) -> Iterator[list[Box]]:
        if not rest:
            yield boxes
            return
        last = boxes[-1]
        for i in rest:
            for dx, dy, dz, stance, turned in self.ways[i]:
                for x, y, z in self._spots(boxes, i, dx, dy):
                    if (z, y, x) < (last.z, last.y, last.x) and last.z:
                        continue
                    self.steps -= 1
                    if self.steps < 0:
                        return
                    box = Box(i, x, y, z, dx, dy, dz, stance, turned)
                    under = self._stands(boxes, box)
                    if under is not None:
                        more = replace(box, on=under)
                        yield from self._place([*boxes, more], [one for one in rest if one != i])

    def _spots(self, boxes: list[Box], i: int, dx: int, dy: int) -> Iterator[tuple[int, int, int]]:
        mass = self.cases[i]["mass"]
        for z in sorted({box.z + box.dz for box in boxes}):
            lids = [box for box in boxes if box.z + box.dz == z and box.stance == "upright"]
            there = [box for box in boxes if box.z == z]
            xs = {lid.x for lid in lids} | {lid.x + lid.dx - dx for lid in lids}
            xs |= {box.x + box.dx for box in there} | {box.x - dx for box in there}
            for lid in lids:
                limit = self.cases[lid.case].get("lid_load")
                if limit is not None and mass > limit:
                    part = int(dx * limit / mass)
                    xs |= {lid.x + lid.dx - part, lid.x + part - dx}
                xs.add(lid.x + lid.dx - dx // 2)
            ys = {0} | {lid.y + lid.dy - dy for lid in lids}
            ys |= {box.y + box.dy for box in there} | {box.y - dy for box in there}
            for x, y in product(sorted(xs), sorted(ys)):
                if x >= 0 and y >= 0:
                    yield x, y, z

    def _stands(self, boxes: list[Box], box: Box) -> tuple[int, ...] | None:
        """Return the cases on which a box stands as the rules allow, or None."""
        case, top = self.cases[box.case], box.z + box.dz
        if top > self.height or any(_inside(box, other) for other in boxes):
            return None
        under = [(low, _over(low, box)) for low in boxes if low.z + low.dz == box.z]
        under = [(low, area) for low, area in under if area]
        if sum(area for _, area in under) != box.dx * box.dy:
            return None
        rolls = []
        for low, _ in under:
            below = self.cases[low.case]
            same = (low.x, low.y, low.dx, low.dy) == (box.x, box.y, box.dx, box.dy)
            rolls.append(same and bool(below.get("lid_casters")))
            if low.stance != "upright" or below.get("lid_load") is None:
                return None
            if not (rolls[-1] or case["rides"]) or case.get("drop", 1) > below.get("drop", 1):
                return None
        heavy = self.hands is not None and case["mass"] > self.hands
        if not any(rolls) and (heavy or top > self.lift):
            return None
        return tuple(low.case for low, _ in under)

    def _joined(self, boxes: Sequence[Box]) -> bool:
        root = {box.case: box.case for box in boxes}

        def find(i: int) -> int:
            while root[i] != i:
                i = root[i]
            return i

        for box in boxes:
            for low in box.on:
                root[find(box.case)] = find(low)
        return len({find(i) for i in root}) == 1

    def _bears(self, boxes: Sequence[Box]) -> bool:
        """Return whether lids bear what is on them and nobody stands above a forbidden case."""
        at = {box.case: box for box in boxes}
        borne = dict.fromkeys(at, 0.0)
        for box in sorted(boxes, key=lambda one: -one.z):
            weight = self.cases[box.case]["mass"] + borne[box.case]
            for low in box.on:
                borne[low] += weight * _over(at[low], box) / (box.dx * box.dy)
            below, seen = list(box.on), set()
            while below:
                low = below.pop()
                seen.add(low)
                below += at[low].on
            code = self.cases[box.case]["code"]
            if any(code in self.cases[low].get("never_under", ()) for low in seen):
                return False
        return all(
            not load or load <= self.cases[i]["lid_load"] + 1e-9 for i, load in borne.items()
        )

    def _pile(self, boxes: Sequence[Box]) -> Pile:
        floor = tuple((box.dx, box.dy) for box in boxes if not box.z)
        moment = sum(self.cases[box.case]["mass"] * (box.y + box.dy / 2) for box in boxes)
        return Pile(tuple(boxes), floor, moment)


def _over(low: Box, box: Box) -> int:
    wide = min(low.x + low.dx, box.x + box.dx) - max(low.x, box.x)
    deep = min(low.y + low.dy, box.y + box.dy) - max(low.y, box.y)
    return max(0, wide) * max(0, deep)


def _inside(box: Box, other: Box) -> bool:
    tall = min(box.z + box.dz, other.z + other.dz) - max(box.z, other.z)
    return tall > 0 and _over(box, other) > 0
