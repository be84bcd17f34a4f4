"""Next purchase: what a case not yet owned would do to the floor length of past and planned shows.

Each candidate is added to each show, in each vehicle alone, and planned again; what it costs is
the floor length that this adds. A candidate that rides in the slack of rows costs nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from server.core.case import Case
from server.core.show import Show
from server.core.vehicle import Vehicle

# Halves, thirds and quarters of a width stand without slack (common practice, no source).
FRACTIONS: Final = (2, 3, 4)

FloorOf = Callable[[Show], int | None]
"""Floor length of a show's plan in micrometres; None when the load does not go."""


@dataclass(frozen=True, slots=True)
class Trial:
    """One show in one vehicle: floor length before and with the candidate, None: does not go."""

    show: str
    vehicle: str
    before_um: int
    after_um: int | None

    @property
    def added_um(self) -> int | None:
        """Floor length that the candidate adds; None when it no longer goes."""
        return None if self.after_um is None else self.after_um - self.before_um


@dataclass(frozen=True, slots=True)
class Verdict:
    """What one candidate does over all shows and vehicles in which the show goes without it."""

    candidate: Case
    trials: tuple[Trial, ...]

    @property
    def refused(self) -> int:
        """In how many trials the load no longer goes once the candidate is added."""
        return sum(trial.after_um is None for trial in self.trials)

    @property
    def free(self) -> int:
        """In how many trials the candidate adds no floor length."""
        return sum(trial.added_um == 0 for trial in self.trials)

    @property
    def mean_added_um(self) -> Fraction:
        """Mean floor length added where the load still goes; zero when it never goes."""
        added = [trial.added_um for trial in self.trials if trial.added_um is not None]
        return Fraction(sum(added), len(added)) if added else Fraction(0)


def candidates(like: Case, vehicles: Iterable[Vehicle]) -> tuple[Case, ...]:
    """Return footprints worth a look for a case of this height, mass and use.

    Sides are the halves, thirds and quarters of the vehicles' widths and the sides of `like`
    itself; footprints under half or over twice the floor of `like` would hold something else.
    """
    sides = {vehicle.width_um // part for vehicle in vehicles for part in FRACTIONS}
    sides |= {like.length_um, like.width_um}
    floor = like.length_um * like.width_um
    footprints = {
        (max(one, other), min(one, other))
        for one in sides
        for other in sides
        if floor <= 2 * one * other and one * other <= 2 * floor
    }
    return tuple(
        replace(like, length_um=length, width_um=width)
        for length, width in sorted(footprints, reverse=True)
    )


def next_purchase(
    shows: Iterable[Show], tried: Iterable[Case], floor_of: FloorOf
) -> tuple[Verdict, ...]:
    """Judge each candidate by every show in every vehicle alone; best first.

    Best is: refused in the fewest trials, then least floor added on average, then smallest.
    """
    bases = [
        (alone, before)
        for show in shows
        for alone in _alone(show)
        if (before := floor_of(alone)) is not None
    ]
    verdicts = [
        Verdict(
            candidate, tuple(_trial(base, before, candidate, floor_of) for base, before in bases)
        )
        for candidate in tried
    ]
    return tuple(sorted(verdicts, key=_rank))


def _alone(show: Show) -> tuple[Show, ...]:
    """Return the show in each of its vehicles alone, wishes for another vehicle set aside."""
    cases = tuple(replace(case, vehicle=None) for case in show.cases)
    return tuple(replace(show, vehicles=(vehicle,), cases=cases) for vehicle in show.vehicles)


def _trial(base: Show, before: int, candidate: Case, floor_of: FloorOf) -> Trial:
    after = floor_of(replace(base, cases=(*base.cases, candidate)))
    return Trial(base.name, base.vehicles[0].id, before, after)


def _rank(verdict: Verdict) -> tuple[int, Fraction, int, int]:
    case = verdict.candidate
    return (verdict.refused, verdict.mean_added_um, case.length_um * case.width_um, case.length_um)
