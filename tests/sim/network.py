"""Simulated time and links that lose, delay, repeat, reorder and cut, all from one seed."""

from __future__ import annotations

import heapq
import json
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from random import Random
from typing import Any

Message = dict[str, Any]


class World:
    """Things happen in the order of their time; `now` is ms since the night began."""

    def __init__(self) -> None:
        self.now = 0
        self._next = 0
        self._queue: list[tuple[int, int, Callable[[], None]]] = []

    def later(self, ms: int, happens: Callable[[], None]) -> None:
        """Let something happen after some time."""
        self._next += 1
        heapq.heappush(self._queue, (self.now + max(0, ms), self._next, happens))

    def run(self, until: int) -> None:
        """Let everything happen up to a time."""
        while self._queue and self._queue[0][0] <= until:
            self.now, _, happens = heapq.heappop(self._queue)
            happens()
        self.now = until


@dataclass(frozen=True, slots=True)
class Weather:
    """How bad the links of a night are: chances for each message, delays in ms."""

    loses: float
    repeats: float
    slow: float
    cuts: float

    @classmethod
    def of(cls, random: Random) -> Weather:
        """Return the weather of one night, from clear to foul."""
        foul = random.random()
        return cls(loses=0.4 * foul, repeats=0.3 * foul, slow=0.3 * foul, cuts=0.1 + 0.5 * foul)


class Link:
    """One phone's way to the server; each message goes its own way, so they overtake each other."""

    def __init__(self, world: World, random: Random, weather: Weather) -> None:
        self.world = world
        self.random = random
        self.weather = weather
        self.up = True

    def carry(self, message: Message, arrive: Callable[[Message], None]) -> None:
        """Bring a message to the other end, perhaps, once or more often, some time."""
        times = 2 if self.random.random() < self.weather.repeats else 1
        for _ in range(times):
            if not self.up or self.random.random() < self.weather.loses:
                continue
            slow = self.random.random() < self.weather.slow
            delay = self.random.randint(2_000, 90_000) if slow else self.random.randint(5, 400)
            # What arrives is a copy, as over a wire: nobody shares an object with another.
            self.world.later(delay, partial(self._arrive, json.dumps(message), arrive))

    def _arrive(self, text: str, arrive: Callable[[Message], None]) -> None:
        if self.up:
            arrive(json.loads(text))

    def mend(self) -> None:
        """Make the link good for ever."""
        self.up = True
        self.weather = Weather(loses=0, repeats=0, slow=0, cuts=0)
