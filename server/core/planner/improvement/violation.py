"""By how much an order of rows breaks the rules: drops, ends, words, narrow floors, axles."""

from __future__ import annotations

from server.core.base.units import share_within, within
from server.core.planner.problem.across import fits_across
from server.core.planner.problem.model import Load, floor_width
from server.core.planner.problem.plan_writer import exact_supports, supports
from server.core.shop.vehicle import Axles


def broken(load: Load) -> float:
    """Return by how much an order of rows breaks the rules; zero or less is lawful."""
    return (
        100.0 * _drops_broken(load)
        + 100.0 * _ends_broken(load)
        + 10.0 * _words_broken(load)
        + 10.0 * _width_broken(load)
        + axles_broken(load)
        + 100.0 * (load.length > load.vehicle.length_um)
        + 100.0 * (not within(load.mass_g, load.vehicle.payload_g, load.parts))
    )


def _drops_broken(load: Load) -> int:
    count, before = 0, None
    for line in load.lines:
        low, high = line.drops
        count += (before is not None and high > before) + (high - low > 1)
        before = low if before is None else min(low, before)
    return count


def _ends_broken(load: Load) -> int:
    last = len(load.lines) - 1
    return sum(
        ("bulkhead" in line.near and index != 0) + ("door" in line.near and index != last)
        for index, line in enumerate(load.lines)
    )


def _words_broken(load: Load) -> int:
    rows: dict[str, list[int]] = {}
    for index, line in enumerate(load.lines):
        for word in line.words:
            rows.setdefault(word, []).append(index)
    return sum(found[-1] - found[0] - len(found) + 1 for found in rows.values())


def _width_broken(load: Load) -> float:
    start, over = 0, 0
    if not load.vehicle.narrow and all(one.width <= load.vehicle.width_um for one in load.lines):
        return 0.0
    for line in load.lines:
        if not fits_across(load.vehicle, start, line):
            free = floor_width(load.vehicle, start, line.depth)
            over += max(1, line.width - free, line.width - load.vehicle.width_um)
        start += line.depth
    return over / load.vehicle.width_um


def axles_broken(load: Load) -> float:
    """Return by how much axles are over their limits, or lifted, as shares of the limits."""
    axles = load.vehicle.axles
    front, rear = supports(load)
    if axles is None or front is None or rear is None or not load.lines:
        return 0.0
    over = 0.0
    for mass, limit in (
        (front, axles.front_limit_g),
        (rear, axles.rear_limit_g),
        (front + rear, axles.gross_limit_g),
    ):
        if limit is not None and not within(mass, limit, load.parts):
            over += (mass - limit) / max(1, limit)
    over += max(0, -front, -rear) / max(1, front + rear)
    return over + _share_broken(axles, *exact_supports(load, axles))


def _share_broken(axles: Axles, front: float, rear: float) -> float:
    """Return by how much the share of the front support is outside its window."""
    gross = front + rear
    least, most = axles.least_share, axles.most_share
    if share_within(front, gross, least, most):
        return 0.0
    share = front / gross if gross else 0.0
    low = 0.0 if least is None else max(0.0, least - share)
    high = 0.0 if most is None else max(0.0, share - most)
    return low + high
