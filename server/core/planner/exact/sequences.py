"""Sequences of rows in one vehicle: labels (floor length, moment) for every multiset loaded.

A label of a multiset says that its cases stand in rows from the bulkhead on, over so much floor
and with so much moment about the bulkhead. Drops, wishes, narrow stretches and cases of one word
depend on nothing but the multiset, the next row and where it begins, so labels are all that is to
be known of the rows ahead.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from server.core.base.units import within
from server.core.planner.exact.case_types import CaseTypes, State
from server.core.planner.exact.labels import Labels, joined, thinned_out
from server.core.planner.exact.rows import RowOption, across_order
from server.core.planner.problem.support_limits import Window, window_of
from server.core.shop.vehicle import Vehicle

Ints = NDArray[np.int64]
MOST_LABELS = 4_000  # of one multiset; more are thinned out, and then moments are blurred
MOST_AT_ONCE = 400_000  # labels times rows looked at in one step


@dataclass
class Sequences:
    """The programme of one vehicle; `stop` ends it, and then it is not complete."""

    room: Vehicle
    types: CaseTypes
    rows: dict[State, list[RowOption]]
    stop: Callable[[], bool]
    limit: int | None = None  # loads of the whole show only, on no more floor than this
    complete: bool = True
    blur: int = 0  # by how much moments may differ from those of the rows listed
    thinned: int = 0  # the greatest step between moments that thinning has left
    least_floor: int = 0  # of the whole show, whatever its order
    open: dict[State, Labels] = field(default_factory=dict)  # further rows may follow
    shut: dict[State, Labels] = field(default_factory=dict)  # the last row holds the door's cases

    def __post_init__(self) -> None:
        """Lay out rows and multisets as arrays."""
        types, cases = self.types, [group[0] for group in self.types.members]
        self.options = [one for state in self.rows for one in self.rows[state]]
        owner = [s for s in self.rows for _ in self.rows[s]]
        self._state: Ints = np.array(owner, dtype=np.int64)
        self._depth: Ints = np.array([one.depth for one in self.options], dtype=np.int64)
        self._moment: Ints = np.array([one.moment for one in self.options], dtype=np.int64)
        self._all: Ints = np.array(
            [types.digits(s) for s in range(types.states)], dtype=np.int64
        ).reshape(types.states, -1)
        self._digits: Ints = self._all[self._state]
        masses = np.array([case.mass_g for case in cases], dtype=np.int64)
        self._mass: Ints = self._all @ masses
        self._room_left: Ints = np.array(types.radix) - 1
        self._drops: Ints = np.array([case.drop for case in cases])
        self._high: Ints = np.max(np.where(self._digits > 0, self._drops, 0), axis=1, initial=0)
        self._first: NDArray[np.bool_] = self._holding([case.near == "bulkhead" for case in cases])
        self._door: NDArray[np.bool_] = self._holding([case.near == "door" for case in cases])
        words = sorted({case.together for case in cases if case.together})
        self._words = [[i for i, c in enumerate(cases) if c.together == word] for word in words]
        side = [c.mass_g * min(c.length_um, c.width_um, c.height_um) for c in cases]
        self._half: Ints = self._all @ np.array(side, dtype=np.int64)
        self._across: dict[tuple[int, int], bool] = {}

    def _holding(self, wanted: list[bool]) -> NDArray[np.bool_]:
        """Return which rows hold a case of the wanted types."""
        found: NDArray[np.bool_] = np.any(self._digits[:, np.array(wanted)] > 0, axis=1)
        return found

    def run(self) -> None:
        """Extend labels row by row, from the empty vehicle to the whole show."""
        self.open, self.shut = {}, {}
        if self.limit is not None:
            self._look_ahead()
        zero = np.zeros(1, dtype=np.int64)
        waiting: dict[State, list[Labels]] = {0: [Labels(zero, zero, zero - 1, zero, zero)]}
        closing: dict[State, list[Labels]] = {}
        for state in range(self.types.states):
            if state in closing:
                self.shut[state] = self._merged(closing.pop(state))
            if state not in waiting:
                continue
            self.open[state] = self._merged(waiting.pop(state))
            if self.stop():
                self.complete = False
                return
            for at_door in (False, True):
                into = closing if at_door else waiting
                for target, labels in self._extended(state, at_door=at_door):
                    into.setdefault(target, []).append(labels)

    def _look_ahead(self) -> None:
        """Find the least floor that each rest takes, whatever its order."""
        never = 4 * self.room.length_um
        least = np.full(self.types.states, never, dtype=np.int64)
        least[0] = 0
        for state in range(self.types.states):
            if least[state] < never:
                fits = (self._digits <= self._room_left - self._all[state]).all(axis=1)
                into = self._state[fits] + state
                np.minimum.at(least, into, least[state] + self._depth[fits])
        self.least_floor = int(least[self.types.full])
        self._least = least

    def _next_rows(self, state: State, *, at_door: bool) -> Ints:
        """Return the rows, by number, that may follow what a multiset loads."""
        digits = self._all[state]
        spare = self._room_left - digits
        fits = (self._digits <= spare).all(axis=1) & (self._door == at_door)
        if state:
            fits &= (self._high <= self._drops[digits > 0].min()) & ~self._first
        for among in self._words:
            # A word once begun is carried on in every row until its last case stands.
            if digits[among].any() and spare[among].any():
                fits &= self._digits[:, among].any(axis=1)
        return np.flatnonzero(fits).astype(np.int64)

    def _extended(self, state: State, *, at_door: bool) -> Iterator[tuple[State, Labels]]:
        """Yield the labels that one more row makes, by the multiset that is then loaded."""
        rows, labels = self._next_rows(state, at_door=at_door), self.open[state]
        if not len(rows):
            return
        step = max(1, MOST_AT_ONCE // len(rows))
        for begin in range(0, len(labels.length), step):
            here = slice(begin, begin + step)
            start = labels.length[here, None]
            length = start + self._depth[rows]
            fits = length <= self.room.length_um
            moment = np.zeros_like(length)
            if self.room.axles is not None:
                moment = labels.moment[here, None] + self._moment[rows]
                moment = moment + 2 * self._mass[self._state[rows]] * start
            fits &= self._promising(state + self._state[rows], length, moment)
            label, number = np.nonzero(fits)
            if self.room.narrow:
                pairs = zip(rows[number], labels.length[here][label], strict=True)
                stands = np.array([self._stands(int(r), int(s)) for r, s in pairs], dtype=bool)
                label, number = label[stands], number[stands]
            target = state + self._state[rows[number]]
            order = np.argsort(target, kind="stable")
            label, number, target = label[order], number[order], target[order]
            edges = np.flatnonzero(np.diff(target)) + 1
            for part in np.split(np.arange(len(target)), edges) if len(target) else ():
                yield (
                    int(target[part[0]]),
                    Labels(
                        length[label[part], number[part]],
                        moment[label[part], number[part]],
                        np.full(len(part), state, dtype=np.int64),
                        (label[part] + begin).astype(np.int64),
                        rows[number[part]],
                    ),
                )

    def _promising(self, target: Ints, length: Ints, moment: Ints) -> NDArray[np.bool_]:
        """Return from which labels the whole show may still come to lie within the limits."""
        fits: NDArray[np.bool_] = np.ones_like(length, dtype=bool)
        if self.limit is None:
            return fits
        rest = self.types.full - target
        fits &= length + self._least[rest] <= self.limit
        if self.room.axles is not None:
            window = self._window(self.types.full) or Window(1, 0)
            mass, half = 2 * self._mass[rest], self._half[rest]
            if window.high is not None:
                fits &= moment + mass * length + half <= window.high + self.blur
            if window.low is not None:
                fits &= moment + mass * self.limit - half >= window.low - self.blur
        return fits

    def _window(self, state: State) -> Window | None:
        return window_of(self.room, int(self._mass[state]), int(self._all[state].sum()))

    def _stands(self, number: int, start: int) -> bool:
        key = number, start
        if key not in self._across:
            option = self.options[number]
            self._across[key] = across_order(self.room, start, option.piles) is not None
        return self._across[key]

    def _merged(self, parts: list[Labels]) -> Labels:
        """Return labels without repeats; without axles and narrow stretches only the shortest."""
        whole = joined(parts)
        if self.room.axles is None and not self.room.narrow:
            return whole.at(np.array([int(np.argmin(whole.length))], dtype=np.int64))
        order = np.lexsort((whole.moment, whole.length))
        length, moment = whole.length[order], whole.moment[order]
        new = np.ones(len(order), dtype=bool)
        new[1:] = (length[1:] != length[:-1]) | (moment[1:] != moment[:-1])
        whole = whole.at(order[new])
        if len(whole.length) > MOST_LABELS:
            whole, gap = thinned_out(whole, MOST_LABELS)
            self.thinned = max(self.thinned, gap)
        return whole

    def least(self, state: State, *, blur: int = 0) -> int | None:
        """Return the least floor length on which a multiset makes a lawful load, or None.

        `blur` widens the range of moments: what no load within it undercuts is a lower bound.
        """
        found = self._best(state, blur)
        return None if found is None else found[0]

    def _best(self, state: State, blur: int) -> tuple[int, Labels, int] | None:
        if state == 0:
            return 0, self.open[0], 0
        if not self._words_whole(state):
            return None
        mass, parts = int(self._mass[state]), int(self._all[state].sum())
        window = self._window(state)
        if window is None or not within(mass, self.room.payload_g, parts):
            return None
        best: tuple[int, Labels, int] | None = None
        for labels in (self.open.get(state), self.shut.get(state)):
            inside = () if labels is None else labels.inside(window, blur)
            if labels is None or not len(inside):
                continue
            where = int(inside[np.argmin(labels.length[inside])])
            if best is None or int(labels.length[where]) < best[0]:
                best = int(labels.length[where]), labels, where
        return best

    def _words_whole(self, state: State) -> bool:
        digits = self._all[state]
        return all(
            digits[among].sum() in (0, self._room_left[among].sum()) for among in self._words
        )

    def rows_of(self, state: State) -> list[RowOption] | None:
        """Return the rows, from the bulkhead, of the shortest lawful load of a multiset."""
        best = self._best(state, 0)
        if best is None:
            return None
        found: list[RowOption] = []
        _, labels, where = best
        while int(labels.before[where]) >= 0:
            found.append(self.options[int(labels.option[where])])
            before, where = int(labels.before[where]), int(labels.number[where])
            labels = self.open[before]
        return found[::-1]
