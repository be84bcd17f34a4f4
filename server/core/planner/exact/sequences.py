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
from server.core.planner.exact.rows import RowOption, across_order
from server.core.planner.exact.support_limits import Window, window_of
from server.core.shop.vehicle import Vehicle

Ints = NDArray[np.int64]
MOST_LABELS = 4_000  # of one multiset; more are thinned out, and then nothing is proven


@dataclass
class Labels:
    """Labels of one multiset, sorted by length then moment, and where each came from."""

    length: Ints
    moment: Ints
    before: Ints  # the multiset loaded before the last row
    number: Ints  # the label there
    option: Ints  # the last row, by its number

    def at(self, some: Ints) -> Labels:
        """Return some of the labels."""
        return Labels(
            self.length[some],
            self.moment[some],
            self.before[some],
            self.number[some],
            self.option[some],
        )


NONE = np.zeros(0, dtype=np.int64)


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
    open: dict[State, Labels] = field(default_factory=dict)  # further rows may follow
    shut: dict[State, Labels] = field(default_factory=dict)  # the last row holds the door's cases
    options: list[RowOption] = field(default_factory=list)
    least_floor: int = 0  # of the whole show, whatever its order

    def run(self) -> None:
        """Extend labels row by row, from the empty vehicle to the whole show."""
        self._prepare()
        self.open, self.shut = {}, {}
        if self.limit is not None:
            self._look_ahead()
        zero = np.zeros(1, dtype=np.int64)
        self.open[0] = Labels(zero, zero, zero - 1, zero, zero)
        waiting: dict[State, list[Labels]] = {}
        closing: dict[State, list[Labels]] = {}
        for state in range(self.types.states):
            if state in closing:
                self.shut[state] = self._merged(closing.pop(state))
            if state:
                if state not in waiting:
                    continue
                self.open[state] = self._promising(state, self._merged(waiting.pop(state)))
                if not len(self.open[state].length):
                    continue
            if self.stop():
                self.complete = False
                return
            for row in self._next_rows(state):
                for label in self._extended(state, row):
                    into = closing if row in self._door_rows else waiting
                    into.setdefault(state + row, []).append(label)
        for state, labels in closing.items():
            self.shut[state] = self._merged(labels)

    def _prepare(self) -> None:
        cases = self._cases = [group[0] for group in self.types.members]
        digits = self.types.digits
        self.mass: dict[State, int] = {}
        for state in [*self.rows, self.types.full]:
            pairs = zip(digits(state), cases, strict=True)
            self.mass[state] = sum(n * case.mass_g for n, case in pairs)
        self._drops = [case.drop for case in cases]
        self._states = list(self.rows)
        self._digits = np.array([digits(s) for s in self._states]).reshape(-1, len(cases))
        drops = np.array(self._drops)
        self._high = np.max(np.where(self._digits > 0, drops, 0), axis=1, initial=0)
        self._words: dict[str, list[int]] = {}
        for word in sorted({case.together for case in cases if case.together}):
            self._words[word] = [i for i, c in enumerate(cases) if c.together == word]
        self._first = self._holding([case.near == "bulkhead" for case in cases])
        at_door = self._holding([case.near == "door" for case in cases])
        self._door_rows = {self._states[i] for i in np.flatnonzero(at_door)}
        self.options = []
        self._number = {}
        for state, options in self.rows.items():
            for option in options:
                self._number[state, id(option)] = len(self.options)
                self.options.append(option)
        self._across: dict[tuple[int, int], bool] = {}

    def _look_ahead(self) -> None:
        """Find the least floor that each rest takes, whatever its order."""
        full, parts = self.types.full, self.types.states
        never = 4 * self.room.length_um
        least = np.full(parts, never, dtype=np.int64)
        least[0] = 0
        depths = np.array([min(one.depth for one in self.rows[s]) for s in self._states])
        states = np.array(self._states, dtype=np.int64)
        for state in range(parts):
            if least[state] >= never:
                continue
            digits = np.array(self.types.digits(state))
            spare = np.array(self.types.radix) - 1 - digits
            fits = (self._digits <= spare).all(axis=1)
            into = states[fits] + state
            least[into] = np.minimum(least[into], least[state] + depths[fits])
        self.least_floor = int(least[full])
        self._least_rest = least[full - np.arange(parts)]
        ways = [min(min(c.length_um, c.width_um), c.height_um) for c in self._cases]
        self._half = [c.mass_g * side for c, side in zip(self._cases, ways, strict=True)]

    def _promising(self, state: State, labels: Labels) -> Labels:
        """Return the labels from which the whole show may still come to lie within the limits."""
        if self.limit is None:
            return labels
        rest = self.types.full - state
        fits = labels.length + self._least_rest[state] <= self.limit
        if self.room.axles is not None:
            parts = sum(self.types.digits(self.types.full))
            window = window_of(self.room, self.mass_of(self.types.full), parts) or Window(1, 0)
            mass = 2 * self.mass_of(rest)
            pairs = zip(self.types.digits(rest), self._half, strict=True)
            half = sum(n * one for n, one in pairs)
            if window.high is not None:
                fits &= labels.moment + mass * labels.length + half <= window.high + self.blur
            if window.low is not None:
                fits &= labels.moment + mass * self.limit - half >= window.low - self.blur
        return labels.at(np.flatnonzero(fits).astype(np.int64))

    def _holding(self, wanted: list[bool]) -> NDArray[np.bool_]:
        """Return which rows hold a case of the wanted types."""
        found: NDArray[np.bool_] = (self._digits[:, np.array(wanted)] > 0).any(axis=1)
        return found

    def _next_rows(self, state: State) -> list[State]:
        """Return the rows that may follow what a multiset loads."""
        digits, radix = self.types.digits(state), self.types.radix
        there = [drop for drop, n in zip(self._drops, digits, strict=True) if n]
        spare = np.array([base - 1 - n for base, n in zip(radix, digits, strict=True)])
        fits = (self._digits <= spare).all(axis=1)
        if there:
            fits &= (self._high <= min(there)) & ~self._first
        for among in self._words.values():
            # A word once begun is carried on in every row until its last case stands.
            if any(digits[i] for i in among) and any(spare[i] for i in among):
                fits &= self._digits[:, among].any(axis=1)
        return [self._states[i] for i in np.flatnonzero(fits)]

    def _extended(self, state: State, row: State) -> Iterator[Labels]:
        labels = self.open[state]
        mass = self.mass[row]
        for option in self.rows[row]:
            length = labels.length + option.depth
            fits = length <= self.room.length_um
            if self.room.narrow:
                number = self._number[row, id(option)]
                fits &= np.array(
                    [self._stands(number, int(start)) for start in labels.length], dtype=bool
                )
            (chosen,) = np.nonzero(fits)
            if not len(chosen):
                continue
            moment = labels.moment[chosen]
            if self.room.axles is not None:
                moment = moment + 2 * mass * labels.length[chosen] + option.moment
            yield Labels(
                length[chosen],
                moment,
                np.full(len(chosen), state, dtype=np.int64),
                chosen.astype(np.int64),
                np.full(len(chosen), self._number[row, id(option)], dtype=np.int64),
            )

    def _stands(self, number: int, start: int) -> bool:
        key = number, start
        if key not in self._across:
            option = self.options[number]
            self._across[key] = across_order(self.room, start, option.piles) is not None
        return self._across[key]

    def _merged(self, parts: list[Labels]) -> Labels:
        """Return labels without repeats; without axles and narrow stretches only the shortest."""
        whole = Labels(
            *(
                np.concatenate([getattr(one, name) for one in parts])
                for name in ("length", "moment", "before", "number", "option")
            )
        )
        if self.room.axles is None and not self.room.narrow:
            keep: Ints = np.array([int(np.argmin(whole.length))], dtype=np.int64)
        else:
            order = np.lexsort((whole.moment, whole.length))
            length, moment = whole.length[order], whole.moment[order]
            new = np.ones(len(order), dtype=bool)
            new[1:] = (length[1:] != length[:-1]) | (moment[1:] != moment[:-1])
            keep = order[new]
            if len(keep) > MOST_LABELS:
                keep = self._thinned_out(whole, keep)
        return whole.at(keep)

    def _thinned_out(self, whole: Labels, keep: Ints) -> Ints:
        """Return fewer labels: of each length the least and greatest moment, others evenly."""
        lengths = whole.length[keep]
        starts = np.flatnonzero(np.r_[True, lengths[1:] != lengths[:-1]])
        ends = np.r_[starts[1:], len(keep)]
        most = max(8, MOST_LABELS // len(starts))
        found = []
        for start, end in zip(starts, ends, strict=True):
            if end - start <= most:
                found.append(keep[start:end])
                continue
            moments = whole.moment[keep[start:end]]
            aims = np.linspace(moments[0], moments[-1], most)
            picked = np.unique(np.clip(np.searchsorted(moments, aims), 0, len(moments) - 1))
            self.thinned = max(self.thinned, int(np.max(np.diff(moments[picked]))))
            found.append(keep[start:end][picked])
        result: Ints = np.concatenate(found)
        return result

    def least(self, state: State, *, blur: int = 0) -> int | None:
        """Return the least floor length on which a multiset makes a lawful load, or None.

        `blur` widens the range of moments: what no load within it undercuts is a lower bound.
        """
        found = self._best(state, blur)
        return None if found is None else found[0]

    def _best(self, state: State, blur: int) -> tuple[int, Labels, int] | None:
        if state == 0:
            return 0, self.open[0], 0
        mass = self.mass_of(state)
        parts = sum(self.types.digits(state))
        if not within(mass, self.room.payload_g, parts):
            return None
        window = window_of(self.room, mass, parts)
        if window is None:
            return None
        best: tuple[int, Labels, int] | None = None
        for labels in (self.open.get(state), self.shut.get(state)):
            if labels is None or not self._words_whole(state):
                continue
            inside = _inside(labels, window, blur)
            if not len(inside):
                continue
            where = int(inside[np.argmin(labels.length[inside])])
            if best is None or int(labels.length[where]) < best[0]:
                best = int(labels.length[where]), labels, where
        return best

    def _words_whole(self, state: State) -> bool:
        digits, radix = self.types.digits(state), self.types.radix
        return all(
            sum(digits[i] for i in among) in (0, sum(radix[i] - 1 for i in among))
            for among in self._words.values()
        )

    def mass_of(self, state: State) -> int:
        """Return the mass of a multiset."""
        pairs = zip(self.types.digits(state), self.types.members, strict=True)
        return sum(n * group[0].mass_g for n, group in pairs)

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


def _inside(labels: Labels, window: Window, blur: int) -> Ints:
    if window.low is None and window.high is None:
        return np.arange(len(labels.length), dtype=np.int64)
    fits = np.ones(len(labels.length), dtype=bool)
    if window.low is not None:
        fits &= labels.moment >= window.low - blur
    if window.high is not None:
        fits &= labels.moment <= window.high + blur
    return np.flatnonzero(fits).astype(np.int64)
