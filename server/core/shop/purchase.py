"""Next purchase: what a case not yet owned would do to the floor length of past and planned shows.

Each candidate is added to each show, in each vehicle alone (a show that needs several: in all of
them), and planned again; what it costs is the floor length that this adds. A candidate that rides
in the slack of rows costs nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from server.core.shop.case import Case
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle

# Halves, thirds and quarters of a width stand without slack (common practice, no source).
FRACTIONS: Final = (2, 3, 4)

FloorOf = Callable[[Show], int | None]
"""Floor length of a show's plan in micrometres; None when the load does not go."""


Base = tuple[Show, int]
"""A show and its floor length without the candidate."""


@dataclass(frozen=True, slots=True)
class Trial:
    """One show in one vehicle, or in all (`T1 + T2`): floor length before and with the candidate.

    `after_um` None: it no longer goes.
    """

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


Tell = Callable[[int, int, tuple[Verdict, ...]], bool]
"""Hears how many candidates of how many are judged, and the best so far; False: stop."""


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
    shows: Iterable[Show],
    tried: Iterable[Case],
    floor_of: FloorOf,
    tell: Tell | None = None,
) -> tuple[Verdict, ...]:
    """Judge each candidate by every show in every vehicle alone; best first.

    A show that goes into none of its vehicles alone is judged in all of them together. Best is:
    refused in the fewest trials, then least floor added on average, then smallest. Where `tell`
    answers False, only the candidates that are judged to the end are returned.
    """
    every = list(tried)
    bases = [base for show in shows for base in _bases(show, floor_of)]
    after: list[list[int | None]] = []
    for candidate in every:
        floors = [floor_of(_with(show, candidate)) for show, _ in bases]
        done = _verdicts(every, bases, [*after, floors])
        if tell is not None and not tell(len(after) + 1, len(every), done):
            break
        after.append(floors)
    return _verdicts(every, bases, after)


def _bases(show: Show, floor_of: FloorOf) -> list[Base]:
    """Return the show in each vehicle that takes it alone, else in all of them together."""
    free = replace(show, cases=tuple(replace(case, vehicle=None) for case in show.cases))
    alone = [replace(free, vehicles=(vehicle,)) for vehicle in show.vehicles]
    found = [(one, floor) for one in alone if (floor := floor_of(one)) is not None]
    if found or len(alone) < 2:
        return found
    together = floor_of(free)
    return [] if together is None else [(free, together)]


def _with(show: Show, candidate: Case) -> Show:
    return replace(show, cases=(*show.cases, candidate))


def _verdicts(
    tried: Sequence[Case], bases: Sequence[Base], after: Sequence[Sequence[int | None]]
) -> tuple[Verdict, ...]:
    # A plan with one case more is a plan without it too: no base needs more than the least of them.
    least = [
        min([before, *(floor for floors in after if (floor := floors[at]) is not None)])
        for at, (_, before) in enumerate(bases)
    ]
    verdicts = [
        Verdict(
            candidate,
            tuple(
                Trial(show.name, " + ".join(one.id for one in show.vehicles), before, floor)
                for (show, _), before, floor in zip(bases, least, floors, strict=True)
            ),
        )
        for candidate, floors in zip(tried, after, strict=False)
    ]
    return tuple(sorted(verdicts, key=_rank))


def _rank(verdict: Verdict) -> tuple[int, Fraction, int, int]:
    case = verdict.candidate
    return (verdict.refused, verdict.mean_added_um, case.length_um * case.width_um, case.length_um)
