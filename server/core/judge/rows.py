"""Hard rules of rows: straight, numbered from the bulkhead, without gaps, drops in order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from server.core.judge.scene import BLUR_UM, Scene
from server.core.shop.plan import Place, Row
from server.core.shop.vehicle import Vehicle


def rows_are_numbered(scene: Scene) -> Iterator[str]:
    """Rows are numbered 1, 2, 3 from the bulkhead and none is empty."""
    for index, row in enumerate(scene.plan.rows):
        if row.number != index + 1:
            yield f"row {index + 1} of {scene.vehicle.id} is numbered {row.number}"
        if not any(place.z <= BLUR_UM for place in row.places):
            yield f"row {row.number} of {scene.vehicle.id} has nothing on the floor"


def rows_follow_each_other(scene: Scene) -> Iterator[str]:
    """Each row begins where the one before ends; the first begins at the bulkhead."""
    end = 0
    for row in scene.plan.rows:
        if abs(row.start - end) > BLUR_UM:
            yield f"row {row.number} of {scene.vehicle.id} does not begin where the last one ends"
        end = row.start + row.depth


def rows_are_straight(scene: Scene) -> Iterator[str]:
    """Every floor case of a row stands against the row's line, and nothing reaches out of it."""
    for row in scene.plan.rows:
        for place in scene.known(row):
            if place.z <= BLUR_UM and abs(place.y - row.start) > BLUR_UM:
                yield f"{place.code} does not stand against the line of row {row.number}"
            end = place.y + place.dy
            if place.y < row.start - BLUR_UM or end > row.start + row.depth + BLUR_UM:
                yield f"{place.code} reaches out of row {row.number}"


def depth_is_the_deepest_stack(scene: Scene) -> Iterator[str]:
    """A row is as deep as its deepest floor case."""
    for row in scene.plan.rows:
        deepest = max((place.dy for place in scene.known(row) if place.z <= BLUR_UM), default=0)
        if abs(row.depth - deepest) > BLUR_UM:
            yield f"row {row.number} of {scene.vehicle.id} is not as deep as its deepest stack"


def free_width(vehicle: Vehicle, near: int, far: int) -> int:
    """Return the floor width between two distances from the bulkhead: the narrowest stretch."""
    widths = [
        stretch.width_um
        for stretch in vehicle.narrow
        if near < stretch.to_um - BLUR_UM and far > stretch.from_um + BLUR_UM
    ]
    return min([vehicle.width_um, *widths])


def slack_left(vehicle: Vehicle, row: Row, floor: Sequence[Place]) -> int:
    """Return the least width that floor cases leave free over every cross-section of their row.

    A narrow stretch binds each case beside it, as in `clear_of_narrow_stretches`, and not the row:
    a case that ends ahead of the stretch takes no width there.
    """
    end = row.start + row.depth
    cuts = {row.start, end, *(place.y + place.dy for place in floor)}
    for stretch in vehicle.narrow:
        cuts |= {stretch.from_um, stretch.to_um}
    ends = sorted(cut for cut in cuts if row.start <= cut <= end)
    left = vehicle.width_um
    for near, far in pairwise(ends):
        if far - near > 2 * BLUR_UM:
            there = sum(one.dx for one in floor if one.y + one.dy >= far - BLUR_UM)
            left = min(left, free_width(vehicle, near, far) - there)
    return left


def slack_is_what_is_left(scene: Scene) -> Iterator[str]:
    """The slack is the least floor width that the row's floor cases leave free."""
    for row in scene.plan.rows:
        floor = [place for place in scene.known(row) if place.z <= BLUR_UM]
        left = slack_left(scene.vehicle, row, floor)
        if abs(row.slack - left) > BLUR_UM * (1 + len(row.places)):
            yield f"row {row.number} of {scene.vehicle.id} states a wrong slack"


def drops_come_off_in_order(scene: Scene) -> Iterator[str]:
    """No later drop stands between an earlier one and the door; two neighbours may share a row."""
    before: int | None = None
    for row in scene.plan.rows:
        drops = [scene.cases[place.code].drop for place in scene.known(row)]
        if not drops:
            continue
        if max(drops) - min(drops) > 1:
            yield f"row {row.number} of {scene.vehicle.id} mixes drops that are not neighbours"
        if before is not None and max(drops) > before:
            yield f"row {row.number} of {scene.vehicle.id} blocks an earlier drop behind it"
        before = min(drops) if before is None else min(before, *drops)


def neighbours_agree(scene: Scene) -> Iterator[str]:
    """No case stands in a stack next to one that it names under never_beside, or that names it.

    A stack is a floor case with all that rides on it; floor cases under one rider are one stack.
    Floor cases that stand next to each other are held against each other in either case.
    """
    for row in scene.plan.rows:
        floor = sorted((p for p in scene.known(row) if p.z <= BLUR_UM), key=lambda place: place.x)
        for left, right in pairwise(floor):
            one, other = _stack_of(scene, row, left), _stack_of(scene, row, right)
            if left.code in other:
                one, other = {left.code}, {right.code}
            for a in sorted(one):
                for b in sorted(other):
                    if b in scene.cases[a].never_beside or a in scene.cases[b].never_beside:
                        yield f"{a} stands beside {b} in row {row.number}, which the owner forbids"


def _stack_of(scene: Scene, row: Row, floor: Place) -> set[str]:
    """Return the codes of the stack that a floor case belongs to."""
    found = {floor.code}
    grown = True
    while grown:
        grown = False
        for place in scene.known(row):
            joined = {place.code, *(lower.code for lower in scene.carriers(place))}
            if found & joined and not joined <= found:
                found |= joined
                grown = True
    return found
