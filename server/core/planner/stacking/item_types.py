"""Cases that stacks cannot tell apart, so that the search counts them instead of naming them."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from server.core.planner.problem.model import Task
from server.core.planner.stacking.lid_rules import may_ride, takes_casters
from server.core.shop.case import Case

MOST_PARTNERS = 5  # masses on top of a case in the middle that set bands apart
EXACT_MASSES = 4  # as many different masses of one rider are kept apart; more are banded


@dataclass(frozen=True)
class Twins:
    """Interchangeable cases, heaviest first; `banded`: their masses differ inside one band."""

    members: tuple[Case, ...]
    drop: int
    rides: bool
    banded: bool

    @property
    def count(self) -> int:
        """How many there are."""
        return len(self.members)

    @property
    def heavy(self) -> Case:
        """The heaviest: what it may do, all may."""
        return self.members[0]

    @property
    def light(self) -> Case:
        """The lightest: what it may not do, none may."""
        return self.members[-1]


def family(case: Case) -> tuple[int, int]:
    """Return the two sides of the footprint, the shorter first."""
    one, other = sorted((case.length_um, case.width_um))
    return one, other


def find_twins(
    task: Task, *, fine: bool, by_mass: bool = False, piling: Task | None = None
) -> list[Twins]:
    """Group the cases of a task; masses count only where they can decide what stands on what.

    Not `fine`: riders of all masses are twins, and so are cases that a caster lid may carry.
    `by_mass`: only cases of one mass are twins, whatever they do. `piling`: cases of one footprint
    are told apart where their mass decides what of that task a caster lid bears.
    """
    strongest: dict[tuple[int, int], int] = defaultdict(lambda: -1)
    limits = set()
    for case in task.cases:
        limits.add(case.lid_load_g or 0)
        if takes_casters(case):
            strongest[family(case)] = max(strongest[family(case)], case.lid_load_g or 0)
    edges = sorted(limit / share for limit in limits for share in (1, 2, 3))
    apart = fine or piling is not None
    piles = {} if piling is None else _pile_edges(piling)
    groups: dict[tuple[object, int], list[Case]] = defaultdict(list)
    for case in task.cases:
        groups[_look(case, task), case.mass_g if by_mass else 0].append(case)
    found = []
    for look in groups:
        lifted: dict[float, list[Case]] = defaultdict(list)
        cases = groups[look]
        carried = [
            case
            for case in cases
            if may_ride(case, task.rules) or case.mass_g <= strongest[family(case)]
        ]
        codes = {case.code for case in carried}
        exact = fine and len({case.mass_g for case in carried}) <= EXACT_MASSES
        for case in cases:
            if case.code not in codes:
                lifted[-1.0].append(case)
            else:
                # Half a gram a part of rounding must not move a case over an edge.
                among = edges if piling is None else piles[family(case)]
                band = bisect_left(among, case.mass_g - 2) + 1
                lifted[float(case.mass_g) if exact else float(band) * apart].append(case)
        for _, members in sorted(lifted.items()):
            ranked = tuple(sorted(members, key=lambda case: (-case.mass_g, case.code)))
            banded = ranked[0].mass_g != ranked[-1].mass_g and ranked[0].code in codes
            found.append(Twins(ranked, ranked[0].drop, may_ride(ranked[0], task.rules), banded))
    return sorted(found, key=lambda twins: twins.heavy.code)


def _pile_edges(task: Task) -> dict[tuple[int, int], list[float]]:
    """Return, for each footprint, the masses above which a caster lid bears fewer."""
    found: dict[tuple[int, int], list[float]] = {}
    for footprint in {family(case) for case in task.cases}:
        alike = [case for case in task.cases if family(case) == footprint]
        lids = [case for case in alike if takes_casters(case)]
        # What bears two bears a light one in the middle and one of these on top.
        lightest = {mass for some in (alike, lids) for mass in _spread_out(some)}
        steps: set[float] = set()
        for limit in {case.lid_load_g or 0 for case in lids}:
            steps |= {limit, limit / 2, limit / 3, *(limit - mass for mass in lightest)}
        found[footprint] = sorted(step for step in steps if step > 0)
    return found


def _spread_out(cases: Sequence[Case]) -> list[int]:
    """Return the least mass and a few others evenly from the list of them."""
    masses = sorted({case.mass_g for case in cases})
    return masses[:: max(1, len(masses) // MOST_PARTNERS)]


def _look(case: Case, task: Task) -> tuple[object, ...]:
    """Return all but the mass that makes cases interchangeable."""
    return (
        case.length_um,
        case.width_um,
        case.height_um,
        case.drop,
        case.priority,
        case.lid_load_g,
        case.lid_casters,
        may_ride(case, task.rules),
        case.turn,
        case.stances,
        case.vehicle,
        case.near,
        case.together,
        case.named,
        case.code if case.code in task.named else "",
        case.code in task.tied,
    )
