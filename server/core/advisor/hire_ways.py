"""You are over: what leaves the booked vehicles short, and what each way out costs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final, Literal

from server.core.advisor.hire import Hiring, Set, Tell, Tried
from server.core.planner.problem.answer import NoPlan
from server.core.planner.solve import solve

Kind = Literal["leave", "larger", "trips", "second"]


@dataclass(frozen=True, slots=True)
class Way:
    """One way out of a load that does not go: what to do, and what it costs beyond the booking."""

    kind: Kind
    tried: Tried | None
    extra: int | None
    leave: tuple[str, ...] = ()
    leave_g: int = 0
    proven: bool = False


def ways_out(
    hiring: Hiring, booked: Set, tell: Tell | None = None
) -> tuple[NoPlan | None, tuple[Way, ...]]:
    """Return why the booked vehicles do not carry the show, and what each way out costs.

    None and no ways: they do. Leaving cases behind costs no money here; whether the show can do
    without them is the owner's to say.
    """
    cases = tuple(replace(case, vehicle=None) for case in hiring.show.cases)
    show = replace(hiring.show, vehicles=hiring.rooms(booked), cases=cases)
    answer = solve(show, hiring.seconds, 0, None, hiring.stop)
    if not isinstance(answer, NoPlan):
        return None, ()
    ways: list[Way] = []
    leave = min(answer.ways_out, key=lambda one: len(one.codes) or 10**6, default=None)
    if leave is not None and leave.codes:
        ways.append(Way("leave", None, 0, leave.codes, leave.mass_g, leave.proven))
    before = hiring.cost(booked)
    for kind, allowed in _KINDS.items():
        found = hiring.cheapest(allowed(booked), tell)
        if found.best is not None:
            cost = found.best.cost
            extra = None if cost is None or before is None else cost - before
            ways.append(Way(kind, found.best, extra, proven=found.proven))
    return answer, tuple(ways)


def _loads(parts: Set) -> int:
    return sum(part.loads for part in parts)


def _larger(booked: Set) -> Callable[[Set], bool]:
    """Other vehicles, no more of them, one trip each."""

    def allowed(parts: Set) -> bool:
        once = all(part.loads == part.vehicles for part in parts)
        return once and _loads(parts) <= _loads(booked) and parts != booked

    return allowed


def _more_trips(booked: Set) -> Callable[[Set], bool]:
    """The same vehicles, more trips."""
    have = {part.offer: part.vehicles for part in booked}

    def allowed(parts: Set) -> bool:
        same = {part.offer: part.vehicles for part in parts} == have
        return same and _loads(parts) > _loads(booked)

    return allowed


def _one_more(booked: Set) -> Callable[[Set], bool]:
    """The booked vehicles and others beside them, one trip each."""

    def allowed(parts: Set) -> bool:
        mine = {part.offer: part.loads for part in parts}
        kept = all(mine.get(part.offer, 0) >= part.loads for part in booked)
        once = all(part.loads == part.vehicles for part in parts)
        return kept and once and _loads(parts) > _loads(booked)

    return allowed


_KINDS: Final[dict[Kind, Callable[[Set], Callable[[Set], bool]]]] = {
    "larger": _larger,
    "trips": _more_trips,
    "second": _one_more,
}
