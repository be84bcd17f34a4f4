"""What the planner answers when not everything can go: reasons, what is short, ways out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from server.core.shop.plan import Plan

Status = Literal["cannot_load", "none_found"]
SOME = 6  # cases named in a sentence


@dataclass(frozen=True, slots=True)
class WayOut:
    """One set of cases that, left behind, lets the rest go; `by` says what it keeps smallest.

    `proven`: no set that is smaller by that measure would do; else it is the smallest found.
    """

    by: str
    codes: tuple[str, ...]
    mass_g: int
    floor_um2: int
    proven: bool = False

    def words(self) -> str:
        """Return the set in words: its measure, its first cases, and how sure it is."""
        some = ", ".join(self.codes[:SOME])
        more = f" and {len(self.codes) - SOME} more" if len(self.codes) > SOME else ""
        return f"{self.by}: {some}{more} ({self.sure()})" if self.codes else self.by

    def sure(self) -> str:
        """Return in words how sure it is that nothing smaller would do."""
        return "no smaller set would do" if self.proven else "the smallest set found"


@dataclass(frozen=True, slots=True)
class NoPlan:
    """No lawful plan of all the cases: none exists (`proven`), or none was found in time.

    `reasons` name the rules that stop it; `short_um` and `over_g` say by how much floor and
    payload fail (0: that one is not short). `best` is the lawful plan of the cases that can go,
    its `left_out` filled; `second` is what a further vehicle like the largest one would carry.
    """

    reasons: tuple[str, ...]
    short_um: int
    over_g: int
    ways_out: tuple[WayOut, ...]
    best: Plan
    second: Plan | None = None
    proven: bool = False
    seconds: float = 0.0  # the limit of the search, for what was not found

    @property
    def status(self) -> Status:
        """Return which of the two answers this is."""
        return "cannot_load" if self.proven else "none_found"

    def headline(self) -> str:
        """Return in one sentence what was proven, or how long the search was."""
        if self.proven:
            return "The cases cannot all be loaded; this is proven"
        return f"No lawful plan of all cases was found in {self.seconds:g} s; one may exist"

    def words(self) -> str:
        """Return in words what stops the load and what to leave."""
        leave = "; ".join(way.words() for way in self.ways_out if way.codes)
        other = "; ".join(way.words() for way in self.ways_out if not way.codes)
        told = f"{self.headline()}: {'; '.join(self.reasons)}."
        told += f" Ways out: {other}." if other else ""
        return told + (f" What to leave, by {leave}." if leave else "")
