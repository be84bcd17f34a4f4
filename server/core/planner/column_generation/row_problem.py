"""The row problem in numbers: kinds of stacks, and the bands of rows that may hold them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import gcd

from server.core.planner.problem.model import Line, Stack, Standing
from server.core.planner.problem.zones import Zone
from server.core.shop.vehicle import Vehicle

Outline = tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Kind:
    """Stacks that rows cannot tell apart: outline of each footing, drops, vehicles, how many."""

    outline: Outline
    lo: int
    hi: int
    rooms: frozenset[int]
    count: int
    mass_g: int = 0

    def slim(self, depth: int) -> tuple[int, int] | None:
        """Return (width, depth) of the narrowest footing no deeper than `depth`."""
        return min(((w, d) for w, d in self.outline if d <= depth), default=None)


@dataclass(frozen=True)
class Pair:
    """Kinds of neighbouring drops of which one of each can stand as one stack in a shared row."""

    first: int
    second: int
    outline: Outline
    most: int


@dataclass(frozen=True)
class Band:
    """Rows of one vehicle that hold one drop, or two neighbouring ones (then at most one row)."""

    room: int
    lo: int
    hi: int
    width: int

    @property
    def once(self) -> bool:
        """Return whether only one row may be of this band: the row that two drops share."""
        return self.lo != self.hi


@dataclass(frozen=True)
class Pattern:
    """A row by numbers: its band, its depth, how many of each kind stand in it."""

    band: int
    depth: int
    counts: tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Span:
    """Rows of these rooms together are at least so long."""

    rooms: frozenset[int]
    least: int


@dataclass(frozen=True)
class Problem:
    """Kinds to be covered by rows of bands, in vehicles of these lengths and payloads."""

    kinds: tuple[Kind, ...]
    bands: tuple[Band, ...]
    lengths: tuple[int, ...]
    payloads: tuple[int | None, ...]
    pairs: tuple[Pair, ...] = ()
    spans: tuple[Span, ...] = ()

    @cached_property
    def step(self) -> int:
        """Return the length of which every depth is a multiple."""
        return gcd(*(depth for kind in self.kinds for _, depth in kind.outline)) or 1

    def admits(self, band: Band, kind: Kind) -> bool:
        """Return whether a kind may stand in the rows of a band."""
        return band.room in kind.rooms and band.lo <= kind.lo and kind.hi <= band.hi

    def next_sum(self, least: int) -> int:
        """Return the shortest sum of depths (in steps) that is at least `least` steps."""
        top = least + max(self._sizes, default=0)
        above = self._sums(1 << top.bit_length()) >> least
        return least + (above & -above).bit_length() - 1 if above else least

    @cached_property
    def _sizes(self) -> list[int]:
        return sorted({depth // self.step for kind in self.kinds for _, depth in kind.outline})

    @cached_property
    def _kept_sums(self) -> dict[int, int]:
        return {}

    def _sums(self, top: int) -> int:
        """Return every sum of depths up to `top` steps as a bit.

        One shift of a long number takes in a whole depth at all places at once: a third of a width
        makes steps of a micrometre, and going through them one by one took seconds.
        """
        if top not in self._kept_sums:
            whole = (1 << (top + 1)) - 1
            reach = 1
            for size in self._sizes:
                shift = size
                while shift <= top:  # once, twice, four times: every multiple is a sum of these
                    reach |= reach << shift & whole
                    shift *= 2
            self._kept_sums[top] = reach
        return self._kept_sums[top]


def make_problem(
    vehicles: Sequence[Vehicle], kinds: Sequence[Kind], pairs: Sequence[Pair] = ()
) -> Problem:
    """Return the row problem of some vehicles; a band for each drop and each pair of neighbours."""
    drops = sorted({drop for kind in kinds for drop in (kind.lo, kind.hi)}) or [1]
    bands = []
    for room, vehicle in enumerate(vehicles):
        low, high = vehicle.drops if isinstance(vehicle, Zone) else (drops[0], drops[-1])
        inside = [drop for drop in drops if low <= drop <= high]
        bands += [Band(room, drop, drop, vehicle.width_um) for drop in inside]
        bands += [
            Band(room, drop, drop + 1, vehicle.width_um) for drop in inside if drop + 1 in drops
        ]
    return Problem(
        kinds=tuple(kinds),
        bands=tuple(bands),
        lengths=tuple(vehicle.length_um for vehicle in vehicles),
        payloads=tuple(vehicle.payload_g for vehicle in vehicles),
        pairs=tuple(pairs),
        spans=tuple(
            Span(frozenset(range(room + 1)), vehicle.ahead_um)
            for room, vehicle in enumerate(vehicles)
            if isinstance(vehicle, Zone) and vehicle.ahead_um
        ),
    )


def sort_stacks(
    vehicles: Sequence[Vehicle], stacks: Sequence[Stack]
) -> tuple[list[Kind], list[list[Stack]]]:
    """Return the kinds of stacks and, beside each, its stacks from heavy to light."""
    groups: dict[tuple[Outline, tuple[int, int], frozenset[int]], list[Stack]] = defaultdict(list)
    for stack in stacks:
        rooms = frozenset(i for i, vehicle in enumerate(vehicles) if stack.fits(vehicle))
        groups[stack.outline, stack.drops, rooms].append(stack)
    kinds, members = [], []
    for (outline, (lo, hi), rooms), group in sorted(
        groups.items(), key=lambda item: (item[0][1], item[0][0], sorted(item[0][2]))
    ):
        mean = sum(stack.mass_g for stack in group) // len(group)
        kinds.append(Kind(outline, lo, hi, rooms, len(group), mean))
        members.append(sorted(group, key=lambda stack: -stack.mass_g))
    return kinds, members


def fill_patterns(
    problem: Problem, chosen: Sequence[Pattern], members: Sequence[Sequence[Stack]]
) -> list[list[Line]]:
    """Return the rows of each vehicle: stacks handed out to patterns until none is left."""
    waiting = [list(group) for group in members]
    rooms: list[list[Line]] = [[] for _ in problem.lengths]
    for pattern in chosen:
        standings = []
        for kind, count in pattern.counts:
            for _ in range(min(count, len(waiting[kind]))):
                stack = waiting[kind].pop(0)
                slim = problem.kinds[kind].slim(pattern.depth)
                assert slim is not None
                standings.append(Standing(stack, stack.footing(*slim)))
        if standings:
            rooms[problem.bands[pattern.band].room].append(Line(tuple(standings)))
    assert not any(waiting)
    return rooms
