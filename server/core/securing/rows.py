"""Straps of a plan: what each line holds, how many it needs and why, what slack wants filling.

A line runs wall to wall across the back of a row; it holds its own row and every row ahead of it
that has no line of its own, back to the line before.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from server.core.base.figure import Figure, count_words
from server.core.securing.slack import CTU_VOIDS_UM, fill, slack_figure
from server.core.securing.straps import RowLoad, StrapRule, straps_for
from server.core.shop.plan import Plan, Row, VehiclePlan
from server.core.shop.show import Rules, Show
from server.core.shop.vehicle import Vehicle


@dataclass(frozen=True, slots=True)
class RowHold:
    """One row: its slack and filling, and its strap line if it has one.

    `holds`: numbers of the rows that the line holds, its own last; empty: the row has no line and
    is held by `held_by`. `needs_bar`: its slack is too wide for pads alone.
    """

    number: int
    straps: Figure | None
    holds: tuple[int, ...]
    held_by: int | None
    slack: Figure
    fill: tuple[str, ...]
    needs_bar: bool = False

    @property
    def needed(self) -> int:
        """Return the straps that the row's line needs."""
        return self.straps.whole() if self.straps else 0


@dataclass(frozen=True, slots=True)
class VehicleHold:
    """Every row of a vehicle, and the straps and bars that it needs against those on board."""

    vehicle: str
    rows: tuple[RowHold, ...]
    on_board: int | None
    bars: int = 0

    @property
    def needed(self) -> int:
        """Return the straps of all rows together."""
        return sum(row.needed for row in self.rows)

    @property
    def short(self) -> int:
        """Return the straps missing on board; zero where nobody said how many there are."""
        return 0 if self.on_board is None else max(0, self.needed - self.on_board)

    @property
    def bars_needed(self) -> int:
        """Return the rows whose slack takes a bar."""
        return sum(1 for row in self.rows if row.needs_bar)

    def row(self, number: int) -> RowHold:
        """Return one row by its number; KeyError when there is none."""
        for row in self.rows:
            if row.number == number:
                return row
        raise KeyError(number)


@dataclass(frozen=True, slots=True)
class _Cargo:
    """What the rule needs to know of the cases by code."""

    masses_g: dict[str, int]
    casters: frozenset[str]


def straps_for_plan(show: Show, plan: Plan) -> tuple[VehicleHold, ...]:
    """Return what holds every row of every vehicle of a plan."""
    return tuple(
        straps_for_vehicle(show, show.vehicle(loaded.vehicle), loaded) for loaded in plan.vehicles
    )


def straps_for_vehicle(show: Show, vehicle: Vehicle, loaded: VehiclePlan) -> VehicleHold:
    """Return what holds every row of one vehicle."""
    cargo = _Cargo(
        {case.code: case.mass_g for case in show.cases},
        frozenset(case.code for case in show.cases if case.casters),
    )
    wll_g = vehicle.straps.wll_g if vehicle.straps else None
    rule = StrapRule(show.rules.securing, wll_g, show.rules.straps_min, show.units)
    rows = tuple(_rows(loaded.rows, cargo, rule, show.rules))
    on_board = vehicle.straps.count if vehicle.straps else None
    return VehicleHold(vehicle.id, rows, on_board, vehicle.bars)


def _rows(rows: tuple[Row, ...], cargo: _Cargo, rule: StrapRule, rules: Rules) -> Iterator[RowHold]:
    held: list[Row] = []
    end_ahead = 0
    blocked = True
    for position, row in enumerate(rows):
        gap = row.start - end_ahead
        if not held:
            blocked = gap <= CTU_VOIDS_UM
        elif gap > CTU_VOIDS_UM:
            blocked = False
        held.append(row)
        end_ahead = row.start + row.depth
        slack = slack_figure(row.slack, rules.slack_limit_um, rule.units)
        filled = fill(row.slack, rules.slack_limit_um, units=rule.units)
        bar = bool(filled) and row.slack > CTU_VOIDS_UM
        if row.straps == 0 and position + 1 < len(rows):
            line = next(later.number for later in rows[position + 1 :] if _has_line(later, rows))
            yield RowHold(row.number, None, (), line, slack, filled, bar)
            continue
        straps = straps_for(_load(tuple(held), cargo, blocked=blocked), rule)
        yield RowHold(row.number, straps, tuple(r.number for r in held), None, slack, filled, bar)
        held = []


def _has_line(row: Row, rows: tuple[Row, ...]) -> bool:
    """Return whether a row has a strap line: where it is planned, and always across the last."""
    return row.straps > 0 or row is rows[-1]


def _load(rows: tuple[Row, ...], cargo: _Cargo, *, blocked: bool) -> RowLoad:
    places = [place for row in rows for place in row.places]
    return RowLoad(
        mass_g=sum(cargo.masses_g[place.code] for place in places),
        depth_um=rows[-1].start + rows[-1].depth - rows[0].start,
        height_um=max((place.z + place.dz for place in places), default=1),
        blocked=blocked,
        on_casters=any(place.code in cargo.casters for place in places if place.z == 0),
    )


def equipment(hold: VehicleHold) -> Figure:
    """Return the straps needed against those on board, before the crew finds out."""
    lines = sum(1 for row in hold.rows if row.straps)
    need = count_words(hold.needed, "strap")
    if hold.on_board is None:
        why = f"{need} for {count_words(lines, 'line')}; how many are on board is not known"
    else:
        verdict = f"{hold.short} short" if hold.short else "enough"
        why = f"{need} for {count_words(lines, 'line')}, {hold.on_board} on board: {verdict}"
    if hold.bars_needed:
        rest = max(0, hold.bars_needed - hold.bars)
        why += (
            f"; {count_words(hold.bars_needed, 'bar')} for slack too wide for pads, {hold.bars} on "
            f"board: {f'{rest} short' if rest else 'enough'}"
        )
    return Figure(
        hold.needed,
        "straps",
        "count of the lines and gaps of this plan",
        why,
        "straps",
        (
            ("on_board", hold.on_board),
            ("short", hold.short),
            ("bars_needed", hold.bars_needed),
            ("bars_on_board", hold.bars),
        ),
    )
