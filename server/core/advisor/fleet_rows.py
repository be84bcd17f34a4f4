"""The fleet in rows: what each kind of case makes of a vehicle's width, and what it wastes.

A pack width is a half, third, quarter... of a vehicle's width: so many stand side by side, and what
is left is no wider than the house's slack (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from server.core.advisor.floor import Floor, floor_of, kinds_of
from server.core.shop.case import Case, Stance
from server.core.shop.fit import Way, ways
from server.core.shop.show import Rules
from server.core.shop.vehicle import Vehicle

SLACK: Final = 76_200  # 3 in, where the house has no limit of its own (common practice, no source)
MOST_PARTNERS: Final = 3
PACKS: Final = (
    "",
    "whole width",
    "half",
    "third",
    "quarter",
    "fifth",
    "sixth",
    "seventh",
    "eighth",
)


@dataclass(frozen=True, slots=True)
class Partner:
    """Another kind that fills the rest of a row: `count` of ours, `others` of kind `kind`."""

    kind: int
    count: int
    others: int
    across_um: int
    along_um: int
    slack_um: int


@dataclass(frozen=True, slots=True)
class Direction:
    """One way round of one kind in one vehicle: rows of it alone, and what fills the rest."""

    stance: Stance
    turned: bool
    across_um: int
    along_um: int
    count: int
    slack_um: int
    full_rows: int
    orphans: int
    pack: str
    floor_each_um: Fraction
    partners: tuple[Partner, ...]


@dataclass(frozen=True, slots=True)
class KindRows:
    """One kind of case in one vehicle; no directions: it does not fit.

    `rows_um` is the floor that one case costs in the best rows of the whole fleet (dual value),
    `least_um` what its footprint alone would take.
    """

    name: str
    codes: tuple[str, ...]
    directions: tuple[Direction, ...]
    rows_um: float
    least_um: float

    @property
    def lost_um(self) -> float:
        """Floor that all cases of the kind take beyond their footprints, over the whole fleet."""
        return max(0.0, self.rows_um - self.least_um) * len(self.codes)


@dataclass(frozen=True, slots=True)
class FleetRows:
    """The whole fleet in rows of one vehicle's width."""

    vehicle: str
    kinds: tuple[KindRows, ...]
    floor: Floor
    least_um: int

    @property
    def used(self) -> Fraction:
        """Share of the floor of the rows found that the cases must have at least."""
        return Fraction(self.least_um, self.floor.high_um) if self.floor.high_um else Fraction(1)


def fleet_rows(cases: Sequence[Case], vehicle: Vehicle, rules: Rules) -> FleetRows:
    """Return the fleet in rows of one vehicle; kinds that do not fit have no directions."""
    groups = kinds_of(cases)
    found = [tuple(way for way in ways(case, vehicle) if way.passes) for case, _ in groups]
    fitting = [case for case in cases if any(way.passes for way in ways(case, vehicle))]
    floor = floor_of(fitting, vehicle, rules) or Floor(0, 0)
    worth = dict(floor.worth)
    slack = SLACK if rules.slack_limit_um is None else rules.slack_limit_um
    kinds = [
        KindRows(
            name=case.name,
            codes=tuple(codes),
            directions=tuple(
                _direction(
                    way, len(codes), slack, _partners(way, number, found, vehicle.width_um, slack)
                )
                for way in found[number]
            ),
            rows_um=sum(worth.get(code, 0.0) for code in codes) / len(codes),
            least_um=_least_each(found[number], vehicle),
        )
        for number, (case, codes) in enumerate(groups)
    ]
    return FleetRows(vehicle.id, tuple(kinds), floor, min(floor.high_um, _least(fitting, vehicle)))


def pack_of(count: int, slack_um: int, limit_um: int) -> str:
    """Return the name of a pack width, or nothing where too much of the width is left."""
    if count < 1 or slack_um > limit_um:
        return ""
    return PACKS[count] if count < len(PACKS) else f"1/{count}"


def _least_each(found: tuple[Way, ...], vehicle: Vehicle) -> float:
    areas = [w.standing.across * w.standing.along / (vehicle.width_um * w.high) for w in found]
    return min(areas, default=0.0)


def _least(cases: Sequence[Case], vehicle: Vehicle) -> int:
    """Return the floor length that volume and floor area ask for at least.

    Area counts what can neither ride nor be stacked; volume counts every case.
    """
    room = vehicle.width_um * vehicle.height_um
    volume = sum(case.length_um * case.width_um * case.height_um for case in cases)
    carried = {tuple(sorted((case.length_um, case.width_um))) for case in cases if case.lid_casters}
    area = sum(
        min(w.standing.across * w.standing.along for w in ways(case, vehicle) if w.passes)
        for case in cases
        if not case.rides and tuple(sorted((case.length_um, case.width_um))) not in carried
    )
    return max(-(-volume // room), -(-area // vehicle.width_um))


def _direction(way: Way, owned: int, slack: int, partners: tuple[Partner, ...]) -> Direction:
    standing = way.standing
    places = -(-owned // way.high)
    return Direction(
        stance=standing.stance,
        turned=standing.turned,
        across_um=standing.across,
        along_um=standing.along,
        count=way.across,
        slack_um=way.slack,
        full_rows=places // way.across,
        orphans=places % way.across,
        pack=pack_of(way.across, way.slack, slack),
        floor_each_um=Fraction(standing.along, way.across * way.high),
        partners=partners,
    )


def _partners(
    way: Way, number: int, found: Sequence[tuple[Way, ...]], width: int, slack: int
) -> tuple[Partner, ...]:
    """Return what fills the rest of a row beside some of this kind, least floor wasted first."""
    ours = way.standing
    ranked: list[tuple[int, int, Partner]] = []
    for kind, others in enumerate(found):
        if kind == number:
            continue
        best: tuple[int, int, Partner] | None = None
        for other in others:
            theirs = other.standing
            if theirs.along > ours.along:
                continue  # then the row is theirs
            for count in range(1, way.across + 1):
                rest = width - count * ours.across
                more = rest // theirs.across
                left = rest - more * theirs.across
                if more < 1 or left > slack:
                    continue
                waste = left * ours.along + more * theirs.across * (ours.along - theirs.along)
                partner = Partner(kind, count, more, theirs.across, theirs.along, left)
                if best is None or (waste, -count) < best[:2]:
                    best = (waste, -count, partner)
        if best is not None:
            ranked.append(best)
    ranked.sort(key=lambda one: (one[0], one[1], one[2].kind))
    return tuple(partner for _, _, partner in ranked[:MOST_PARTNERS])
