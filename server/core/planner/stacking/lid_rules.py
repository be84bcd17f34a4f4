"""Which case may stand on which, and where riders find room on one lid or on two neighbours."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from server.core.base.units import within
from server.core.planner.problem.model import Way
from server.core.planner.problem.pair_rules import may_be_under
from server.core.shop.case import Case
from server.core.shop.show import Rules

Box = tuple[int, int, int, int]  # x, y, dx, dy
Sides = tuple[tuple[int, int], ...]

MOST_EXACT = 2  # lids side by side on which every place is tried
MOST_TRIES = 120


def may_ride(case: Case, rules: Rules) -> bool:
    """Return whether hands may lift this case onto a lid at all."""
    return case.rides and within(case.mass_g, rules.rider_mass_g, 1)


def takes_riders(case: Case) -> bool:
    """Return whether riders may stand on this lid."""
    return case.lid_load_g is not None


def takes_casters(case: Case) -> bool:
    """Return whether a case of the same footprint may stand on this lid."""
    return case.lid_casters


def wishes_agree(upper: Case, lower: Case) -> bool:
    """Return whether a case may travel on another as far as drops and the owner's wishes go."""
    return (
        may_be_under(lower, upper)
        and upper.vehicle in (None, lower.vehicle)
        and upper.near in (None, lower.near)
        and upper.together in (None, lower.together)
    )


def lid_holds(case: Case, load_g: int, parts: int) -> bool:
    """Return whether a lid carries a load; without a limit stated it carries massless cases."""
    return within(load_g, case.lid_load_g, parts) if case.lid_load_g is not None else load_g == 0


def _inside(box: Box, lids: Sides) -> bool:
    """Return whether a box lies wholly on at most two neighbouring lids, given from the left."""
    x, y, dx, dy = box
    start = touched = 0
    for width, depth in lids:
        if x < start + width and x + dx > start:
            touched += 1
            if y + dy > depth:
                return False
        start += width
    return x >= 0 and y >= 0 and x + dx <= start and touched <= 2


def _clear(box: Box, others: Sequence[Box]) -> bool:
    x, y, dx, dy = box
    return all(
        x + dx <= ox or ox + odx <= x or y + dy <= oy or oy + ody <= y
        for ox, oy, odx, ody in others
    )


@lru_cache(maxsize=200_000)
def arrange(lids: Sides, riders: tuple[Sides, ...]) -> tuple[Box, ...] | None:
    """Return a place for every rider on a row of equal-height lids, or None.

    `riders` gives for each the (dx, dy) it may take. Exact for what fits corner to corner, tried
    in the given order of riders; lids are side by side from x = 0, all against y = 0. On more than
    two lids it gives up after some tries.
    """
    edges = [0]
    for width, _ in lids:
        edges.append(edges[-1] + width)
    area = sum(width * depth for width, depth in lids)
    if sum(min(dx * dy for dx, dy in one) for one in riders) > area:
        return None
    placed: list[Box] = []
    tries = MOST_TRIES if len(lids) > MOST_EXACT else -1

    def place(index: int) -> bool:
        nonlocal tries
        if index == len(riders):
            return True
        if tries == 0:
            return False
        tries -= 1
        xs = sorted({*edges[:-1], *(x + dx for x, _, dx, _ in placed)})
        ys = sorted({0, *(y + dy for _, y, _, dy in placed)})
        for dx, dy in riders[index]:
            for y in ys:
                for x in xs:
                    box = (x, y, dx, dy)
                    if _inside(box, lids) and _clear(box, placed):
                        placed.append(box)
                        if place(index + 1):
                            return True
                        placed.pop()
                        if tries == 0:
                            return False
        return False

    return tuple(placed) if place(0) else None


def centred(lids: Sides, boxes: Sequence[Box]) -> tuple[Box, ...]:
    """Return the same places with a lone bridging rider set evenly over its two lids."""
    if len(boxes) != 1 or len(lids) != 2:
        return tuple(boxes)
    x, y, dx, dy = boxes[0]
    even = (lids[0][0] - dx // 2, y, dx, dy)
    bridging = x < lids[0][0] < x + dx
    return (even,) if bridging and _inside(even, lids) else tuple(boxes)


def shares(box: Box, lids: Sides) -> list[tuple[int, int]]:
    """Return (lid, width over it) for each lid under a box."""
    found, start = [], 0
    for index, (width, _) in enumerate(lids):
        over = min(box[0] + box[2], start + width) - max(box[0], start)
        if over > 0:
            found.append((index, over))
        start += width
    return found


def flat(ways: Sequence[Way]) -> Sides:
    """Return the distinct (dx, dy) of ways, in a fixed order."""
    return tuple(dict.fromkeys((way.dx, way.dy) for way in ways))
