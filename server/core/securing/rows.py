"""Straps of a plan: what each line holds, how many it needs and why, what slack wants filling.

A line runs wall to wall across the back of a row; it holds its own row and every row ahead of it
that has no line of its own, back to the line before.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from server.core.base.figure import Figure, count_words
from server.core.base.units import Units, from_um
from server.core.securing.slack import CTU_VOIDS_UM, fill, slack_figure
from server.core.securing.stacks import (
    Stack,
    Void,
    is_blocked,
    stacks_of,
    tips_forward,
    voids_of,
)
from server.core.securing.straps import RowLoad, StrapRule, straps_for
from server.core.shop.plan import Row, VehiclePlan
from server.core.shop.show import Rules, Show
from server.core.shop.vehicle import Vehicle
from server.core.weight.counted import counted_masses_g

FORWARD: Final = 0.8  # 49 CFR 393.102(a)(1) and EN 12195-1: forward, share of gravity


@dataclass(frozen=True, slots=True)
class RowHold:
    """One row: its slack and filling, and its strap line if it has one.

    `holds`: numbers of the rows that the line holds, its own last; empty: the row has no line and
    is held by `held_by`. `needs_bar`: its slack, or a void behind a shallow stack, is too wide for
    pads alone. `voids`: what is open behind stacks that the line does not touch.
    """

    number: int
    straps: Figure | None
    holds: tuple[int, ...]
    held_by: int | None
    slack: Figure
    fill: tuple[str, ...]
    needs_bar: bool = False
    voids: tuple[Void, ...] = ()

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


def every_row_lined(loaded: VehiclePlan) -> VehiclePlan:
    """Return the same rows with a line behind every one, as crews strap them."""
    lined = tuple(row if row.straps else replace(row, straps=1) for row in loaded.rows)
    return replace(loaded, rows=lined)


def straps_for_vehicle(show: Show, vehicle: Vehicle, loaded: VehiclePlan) -> VehicleHold:
    """Return what holds every row of one vehicle."""
    cargo = _Cargo(
        counted_masses_g(show.cases),
        frozenset(case.code for case in show.cases if case.casters),
    )
    wll_g = vehicle.straps.wll_g if vehicle.straps else None
    rule = StrapRule(show.rules.securing, wll_g, show.rules.straps_min, show.units)
    rows = tuple(_rows(loaded.rows, cargo, rule, show.rules))
    on_board = vehicle.straps.count if vehicle.straps else None
    return VehicleHold(vehicle.id, rows, on_board, vehicle.bars)


def _rows(rows: tuple[Row, ...], cargo: _Cargo, rule: StrapRule, rules: Rules) -> Iterator[RowHold]:
    held = _Held()
    ahead: list[Stack] = []
    for position, row in enumerate(rows):
        stacks = stacks_of(row, cargo.masses_g)
        held.add(row, stacks, ahead)
        ahead += stacks
        voids = voids_of(row, stacks)
        slack = slack_figure(row.slack, rules.slack_limit_um, rule.units)
        filled = (
            *fill(row.slack, rules.slack_limit_um, units=rule.units),
            *(_fill_void(void, rule.units) for void in voids),
        )
        bar = bool(voids) or row.slack > CTU_VOIDS_UM
        if row.straps == 0 and position + 1 < len(rows):
            line = next(later.number for later in rows[position + 1 :] if _has_line(later, rows))
            yield RowHold(row.number, None, (), line, slack, filled, bar, voids)
            continue
        straps = straps_for(_load(held, cargo), rule)
        numbers = tuple(one.number for one in held.rows)
        yield RowHold(row.number, straps, numbers, None, slack, filled, bar, voids)
        held = _Held()


class _Held:
    """The rows of one line so far; blocked and lean as the stacks of its first row stand."""

    def __init__(self) -> None:
        self.rows: list[Row] = []
        self.stacks: list[Stack] = []
        self.blocked = True
        self.lean = False

    def add(self, row: Row, stacks: tuple[Stack, ...], ahead: list[Stack]) -> None:
        """Take a row whose stacks stand behind those ahead."""
        self.rows.append(row)
        self.stacks += stacks
        self.blocked = self.blocked and all(is_blocked(stack, ahead) for stack in stacks)
        self.lean = self.lean or any(tips_forward(stack, ahead, FORWARD) for stack in stacks)


def _fill_void(void: Void, units: Units) -> str:
    """Name what fills what is open behind a stack that the line does not touch."""
    width = f"{from_um(void.behind_um, units.length):g} {units.length}"
    return f"a bar across and {width} of pads or beams behind {', '.join(void.codes)}"


def _has_line(row: Row, rows: tuple[Row, ...]) -> bool:
    """Return whether a row has a strap line: where it is planned, and always across the last."""
    return row.straps > 0 or row is rows[-1]


def _load(held: _Held, cargo: _Cargo) -> RowLoad:
    rows = held.rows
    places = [place for row in rows for place in row.places]
    return RowLoad(
        mass_g=sum(cargo.masses_g[place.code] for place in places),
        depth_um=rows[-1].start + rows[-1].depth - rows[0].start,
        height_um=max((place.z + place.dz for place in places), default=1),
        blocked=held.blocked,
        on_casters=any(place.code in cargo.casters for place in places if place.z == 0),
        stacks=tuple(held.stacks),
        lean=held.lean,
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
