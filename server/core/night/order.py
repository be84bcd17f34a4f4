"""Order of facts: what its author knew comes first, clocks decide between the rest.

- A fact names in `after` the last fact that its phone had read from the server. It comes after that
  one and after all that the server had stored before (happened-before: Lamport, "Time, Clocks, and
  the Ordering of Events in a Distributed System", CACM 21(7), 1978). So an answer always beats what
  it answers, whatever any clock says. A claim to know what arrived later than the fact itself is
  no claim: the order of arrival holds no circle.
- The facts of one phone keep the order of its running numbers, even if its clock goes back.
- Between facts that did not know of each other the clocks decide (hlc, then id). A clock counts up
  to TOLERANCE_MS beyond the time at which the server received the fact; a later fact
  received earlier by more than that shows that the server's own clock was ahead: its time bounds.

The events returned carry the clock as it counts here: it never falls from one to the next. The
phone does the same in `pwa/src/core/order.ts`.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from heapq import heappop, heappush
from typing import Final

from server.core.night.events import Event

TOLERANCE_MS: Final = 60_000
MOST_MS: Final = 10**13 - 1
MOST_COUNT: Final = 99_999
Key = tuple[str, str, str]


def in_order(events: Collection[Event]) -> list[Event]:
    """Return events, each of another id, in the order of facts."""
    keys = _keys(events)
    plain = sorted(events, key=lambda event: keys[event.id])
    arrived = sorted((event for event in plain if event.arrived is not None), key=_arrival)
    place = {event.id: index for index, event in enumerate(arrived)}
    needs = {event.id: _needs(event, place) for event in events if event.after is not None}
    if not _causal(plain, arrived, needs):
        plain = _Merge(plain, keys, arrived, needs).all()
    return _rising(plain, keys)


def _arrival(event: Event) -> tuple[int, str]:
    assert event.arrived is not None
    return event.arrived.seq, event.id


def _keys(events: Collection[Event]) -> dict[str, Key]:
    bounds = _bounds(events)
    keys = {}
    for event in events:
        bound, hlc = bounds.get(event.id), event.hlc
        if bound is not None and int(hlc[:13]) > bound:
            hlc = f"{bound:013d}{hlc[13:]}"
        keys[event.id] = (hlc, event.hlc, event.id)
    return keys


def _bounds(events: Collection[Event]) -> dict[str, int]:
    """Return of each fact that arrived the latest time that its clock may count for."""
    bounds, latest = {}, MOST_MS
    arrived = [event for event in events if event.arrived is not None]
    for event in sorted(arrived, key=_arrival, reverse=True):
        assert event.arrived is not None
        at = event.arrived.at
        bounds[event.id] = latest if latest + TOLERANCE_MS < at else at + TOLERANCE_MS
        latest = min(latest, at)
    return bounds


def _needs(event: Event, place: Mapping[str, int]) -> int:
    """Return how many of the first facts to arrive the author of this one knew."""
    known, own = place.get(event.after or ""), place.get(event.id)
    return 0 if known is None or (own is not None and known >= own) else known + 1


def _causal(plain: Sequence[Event], arrived: Sequence[Event], needs: Mapping[str, int]) -> bool:
    """Return whether the order by clocks alone already puts causes first."""
    numbers: dict[str, int] = {}
    done: set[str] = set()
    known = 0
    for event in plain:
        if event.n < numbers.get(event.device, 0) or needs.get(event.id, 0) > known:
            return False
        numbers[event.device] = event.n
        done.add(event.id)
        while known < len(arrived) and arrived[known].id in done:
            known += 1
    return True


@dataclass
class _Merge:
    """Takes the earliest fact of any phone whose causes are all there, again and again."""

    plain: Sequence[Event]
    keys: Mapping[str, Key]
    arrived: Sequence[Event]
    needs: Mapping[str, int]
    known: int = 0
    done: set[str] = field(default_factory=set)
    lines: dict[str, deque[Event]] = field(default_factory=dict)
    ready: list[tuple[Key, str]] = field(default_factory=list)
    waiting: dict[int, list[str]] = field(default_factory=dict)

    def all(self) -> list[Event]:
        """Return all facts."""
        for event in sorted(self.plain, key=lambda one: (one.n, self.keys[one.id])):
            self.lines.setdefault(event.device, deque()).append(event)
        for device in self.lines:
            self._offer(device)
        order: list[Event] = []
        while len(order) < len(self.plain):
            order.append(self._next())
        return order

    def _offer(self, device: str) -> None:
        """Offer the next fact of a phone, now or when what it knew is there."""
        line = self.lines[device]
        while line and line[0].id in self.done:
            line.popleft()
        if not line:
            return
        need = self.needs.get(line[0].id, 0)
        if need <= self.known:
            heappush(self.ready, (self.keys[line[0].id], device))
        else:
            self.waiting.setdefault(need, []).append(device)

    def _next(self) -> Event:
        if not self.ready:
            # A phone that claims to have known what only followed its own later numbers.
            event = self.arrived[self.known]
            self._take(event)
            return event
        _, device = heappop(self.ready)
        event = self.lines[device].popleft()
        self._take(event)
        self._offer(device)
        return event

    def _take(self, event: Event) -> None:
        self.done.add(event.id)
        while self.known < len(self.arrived) and self.arrived[self.known].id in self.done:
            self.known += 1
            for device in self.waiting.pop(self.known, ()):
                self._offer(device)


def _rising(order: Sequence[Event], keys: Mapping[str, Key]) -> list[Event]:
    """Return facts with clocks that never fall along the order."""
    last, found = ("", ""), []
    for event in order:
        hlc = keys[event.id][0]
        if (hlc, event.id) < last:
            ms, count = int(last[0][:13]), int(last[0][14:19]) + 1
            if count > MOST_COUNT:
                ms, count = min(ms + 1, MOST_MS), 0
            hlc = f"{ms:013d}-{count:05d}{event.hlc[19:]}"
        last = (hlc, event.id)
        found.append(event if hlc == event.hlc else replace(event, hlc=hlc))
    return found
