"""Rows changed where no order of the shortest ones keeps the axle limits.

First for nothing: stacks of one floor change places, so that some rows are denser and others
lighter. Then for floor: a stack gets a row of its own, ahead of what is to stand further back,
the cheapest first; and rows that turn out not to be needed are taken back.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import islice

from server.core.planner.improvement.moment_order import extremes, moment_order, window_of_load
from server.core.planner.improvement.reading_order import reading_order
from server.core.planner.problem.model import Line, Load, Standing, length_of
from server.core.planner.problem.support_limits import Window

MOST_STEPS = 12
MOST_CHANGES = 1_500  # looked at in one step
MOST_LINES = 20_000  # rows looked at in one step: what is left is for the local search
MOST_MERGES = 60

Lines = tuple[Line, ...]


def kept_by_axles(load: Load, stop: Callable[[], bool]) -> Lines | None:
    """Return rows of the same stacks in an order that keeps the axles, or None if none is found."""
    window = window_of_load(load)
    if window is None or not load.lines:
        return None
    lines = _read(load.lines)
    if _missed(lines, window):
        lines = concentrated(lines)
    steps = iter(range(MOST_STEPS))
    while _missed(lines, window):
        nearer = _nearer(load, lines, window)
        if nearer is None or next(steps, None) is None or stop():
            return None
        lines = nearer
    lines = _taken_back(load, lines, window, stop)
    return moment_order(replace(load, lines=lines))


def _read(lines: Sequence[Line]) -> Lines:
    return tuple(sorted(lines, key=reading_order))


def _missed(lines: Lines, window: Window) -> int:
    return extremes(lines).outside(window)


def concentrated(lines: Lines) -> Lines:
    """Return as long and wide rows, with heavy stacks gathered in the densest."""
    spots: dict[object, list[tuple[int, int]]] = defaultdict(list)
    for row, line in enumerate(lines):
        for place, one in enumerate(line.standings):
            if not any(case.near or case.together for case in one.stack.cases):
                key = one.footing.width, one.footing.depth, one.stack.drops, line.drops
                spots[key].append((row, place))
    rows = [list(line.standings) for line in lines]
    for among in spots.values():
        density = {row: Line(tuple(rows[row])).mass_g / lines[row].depth for row, _ in among}
        places = sorted(among, key=lambda spot: (-density[spot[0]], spot))
        stacks = sorted((rows[r][p] for r, p in among), key=lambda one: -one.stack.mass_g)
        for (row, place), one in zip(places, stacks, strict=True):
            rows[row][place] = one
    return tuple(Line(tuple(row)) for row in rows)


def _nearer(load: Load, lines: Lines, window: Window) -> Lines | None:
    """Change one row: what brings the moment nearest to its range for the floor it costs."""
    length, missed = length_of(lines), _missed(lines, window)
    best: tuple[tuple[int, float], Lines] | None = None
    for tried in islice(_changes(load, lines), min(MOST_CHANGES, MOST_LINES // len(lines))):
        longer = length_of(tried) - length
        if length + longer > load.vehicle.length_um:
            continue
        after = _missed(tried, window)
        gain = abs(missed) - abs(after)
        over = after * missed < 0  # past the range on the other side
        if gain <= 0 or (over and gain < abs(missed) / 2):
            continue
        # Enough for as little floor as possible; else most for each inch.
        rank = (0, gain / max(1, longer)) if after else (1, float(-longer))
        if best is None or rank > best[0]:
            best = rank, tried
    return None if best is None else best[1]


def _changes(load: Load, lines: Lines) -> Iterator[Lines]:
    yield from _splits(lines)
    yield from _moves(load, lines)


def _moves(load: Load, lines: Lines) -> Iterator[Lines]:
    """Set one stack into another row of its drops that has the width for it."""
    seen = set()
    for row, line in enumerate(lines):
        for place, one in enumerate(line.standings):
            rest = line.standings[:place] + line.standings[place + 1 :]
            for other, wider in enumerate(lines):
                if other == row or wider.drops != line.drops or line.near or wider.near:
                    continue
                for footing in one.stack.footings:
                    key = row, one.stack.mass_g, footing.width, other
                    if wider.width + footing.width > load.vehicle.width_um or key in seen:
                        continue
                    seen.add(key)
                    kept = [each for i, each in enumerate(lines) if i not in (row, other)]
                    kept += [Line(rest)] if rest else []
                    yield _read([*kept, Line((*wider.standings, Standing(one.stack, footing)))])


def _splits(lines: Lines) -> Iterator[Lines]:
    seen = set()
    for row, line in enumerate(lines):
        if len(line.standings) < 2 or line.near:
            continue
        for place, one in enumerate(line.standings):
            rest = line.standings[:place] + line.standings[place + 1 :]
            for footing in one.stack.footings:
                key = line.depth, line.mass_g, footing.depth, one.stack.mass_g, line.drops
                if key in seen:
                    continue
                seen.add(key)
                alone = Line((Standing(one.stack, footing),))
                yield _read([*lines[:row], *lines[row + 1 :], Line(rest), alone])


def _taken_back(load: Load, lines: Lines, window: Window, stop: Callable[[], bool]) -> Lines:
    """Set stacks that stand alone beside others again, where the axles allow it."""
    for _ in range(MOST_MERGES):
        shorter = next(
            (
                tried
                for tried in _merges(load, lines)
                if length_of(tried) < length_of(lines) and not _missed(tried, window)
            ),
            None,
        )
        if shorter is None or stop():
            break
        lines = shorter
    return lines


def _merges(load: Load, lines: Lines) -> Iterator[Lines]:
    alone = [row for row, line in enumerate(lines) if len(line.standings) == 1 and not line.near]
    for row in sorted(alone, key=lambda row: -lines[row].depth):
        one = lines[row].standings[0]
        for other, line in enumerate(lines):
            if other == row or line.drops != lines[row].drops:
                continue
            for footing in one.stack.footings:
                if line.width + footing.width > load.vehicle.width_um:
                    continue
                wider = Line((*line.standings, Standing(one.stack, footing)))
                yield _read([
                    *(each for i, each in enumerate(lines) if i not in (row, other)), wider
                ])  # fmt: skip
