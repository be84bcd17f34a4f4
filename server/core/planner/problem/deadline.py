"""When the search ends: seconds, or the user has enough.

The only place in the core that reads a clock, and it decides nothing but when to stop: a show
whose search ends before its seconds are over gives the same plan on every run.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

OTHER_WORK = 10.0  # times as long on a machine that has other work
now = time.monotonic  # a benchmark beside other work counts the seconds of its own process


def wall_limit(seconds: float) -> float:
    """Return the limit for a solver that counts seconds of the wall and is interrupted by `now`."""
    return seconds if now is time.monotonic else OTHER_WORK * seconds


@dataclass
class Clock:
    """How much time is left; `left` is asked between the steps of the search."""

    left: Callable[[], float]

    @classmethod
    def of(cls, seconds: float, should_stop: Callable[[], bool] | None = None) -> Clock:
        """Return a clock that runs from now."""
        end = now() + seconds

        def left() -> float:
            if should_stop is not None and should_stop():
                return 0.0
            return end - now()

        return cls(left)

    def over(self) -> bool:
        """Return whether the time is used up."""
        return self.left() <= 0

    def part(self, share: float) -> Clock:
        """Return a clock for a share of the time that is left now."""
        kept = self.left() * (1 - share)
        return Clock(lambda: self.left() - kept)
