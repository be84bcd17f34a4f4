"""Orders of rows that bring the moment of a load into the range of its axle limits.

Inside a block, rows that may change places, the moment is least with the densest rows (mass by
depth) ahead and greatest with them behind (Smith's rule). Exchanging neighbours step by step leads
from one extreme to the other, so a range between them is reached if no step passes over it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from server.core.planner.improvement.balance import Block, Unit, blocks_of, moment_of
from server.core.planner.improvement.violation import broken
from server.core.planner.problem.model import Line, Load
from server.core.planner.problem.support_limits import Window, window_of

MOST_TRIES = 400  # exchanges tried one by one where a step passes over the range


@dataclass(frozen=True)
class Extremes:
    """The least and the greatest moment (doubled) of all orders that drops and wishes allow."""

    least: int
    greatest: int

    def outside(self, window: Window) -> int:
        """Return by how much the range of moments misses a window: below zero if too far ahead."""
        if window.low is not None and self.greatest < window.low:
            return self.greatest - window.low
        if window.high is not None and self.least > window.high:
            return self.least - window.high
        return 0


def window_of_load(load: Load) -> Window | None:
    """Return the range of lawful moments of a load; None: no order of it is lawful."""
    return window_of(load.vehicle, load.mass_g, load.parts)


def _density(unit: Unit) -> float:
    return unit.mass_g / unit.depth


def _lines(blocks: Sequence[Block]) -> tuple[Line, ...]:
    return tuple(line for block in blocks for unit in block for line in unit.lines)


def _sorted(blocks: Sequence[Block], *, dense_first: bool) -> list[Block]:
    return [sorted(block, key=_density, reverse=dense_first) for block in blocks]


def extremes(lines: Sequence[Line]) -> Extremes:
    """Return the extreme moments of rows given in an order that drops and wishes allow."""
    blocks = blocks_of(lines, together=False)
    return Extremes(
        moment_of(_lines(_sorted(blocks, dense_first=True))),
        moment_of(_lines(_sorted(blocks, dense_first=False))),
    )


def moment_order(load: Load) -> tuple[Line, ...] | None:
    """Return the rows in an order whose moment is lawful, or None where none was found."""
    window = window_of_load(load)
    if window is None or extremes(load.lines).outside(window):
        return None
    blocks = _sorted(blocks_of(load.lines, together=False), dense_first=True)
    moment = moment_of(_lines(blocks))
    for block in blocks:
        for i, gain in _steps(block):
            if window.low is None or moment >= window.low:
                break
            block[i], block[i + 1] = block[i + 1], block[i]
            moment += gain
    found = _lines(blocks)
    if broken(replace(load, lines=found)) <= 0:
        return found
    return _by_exchange(load, blocks)


def _steps(block: Block) -> Iterator[tuple[int, int]]:
    """Yield exchanges of neighbours that sort a block, densest last, with what each adds."""
    for end in range(len(block) - 1, 0, -1):
        for i in range(end):
            ahead, behind = block[i], block[i + 1]
            gain = 2 * (ahead.mass_g * behind.depth - behind.mass_g * ahead.depth)
            if gain > 0:
                yield i, gain


def _by_exchange(load: Load, blocks: Sequence[Block]) -> tuple[Line, ...] | None:
    """Exchange two units of a block as long as the load breaks the rules by less."""
    best = broken(replace(load, lines=_lines(blocks)))
    tries = iter(range(MOST_TRIES))
    improved = True
    while improved and best > 0:
        improved = False
        for block in blocks:
            for i in range(len(block)):
                for j in range(i + 1, len(block)):
                    if next(tries, None) is None:
                        return None
                    block[i], block[j] = block[j], block[i]
                    now = broken(replace(load, lines=_lines(blocks)))
                    if now < best - 1e-12:
                        best, improved = now, True
                    else:
                        block[i], block[j] = block[j], block[i]
    return _lines(blocks) if best <= 0 else None
