"""Riders moved from lid to lid, to the floor and back: stacks made anew, checked by all rules."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from random import Random

from server.core.planner.construction.insertion import taken_apart
from server.core.planner.local_search.pieces import Piece, RowMaker
from server.core.planner.problem.model import Stack
from server.core.planner.stacking.lid_rules import may_ride, takes_casters
from server.core.planner.stacking.placements import Tower, footings
from server.core.shop.case import Case

FLOOR = 0.1  # how often a rider is set on the floor instead
Made = tuple[list[Piece], list[Piece], list[Piece]]


@dataclass
class RiderMoves:
    """Takes stacks apart and puts them together with a case more or less."""

    maker: RowMaker
    draw: Random
    known: dict[tuple[tuple[tuple[str, ...], ...], tuple[str, ...]], Piece | None] = field(
        default_factory=dict
    )

    def moved(self, source: Piece, target: Piece) -> Made | None:
        """Move a rider of `source`, or `source` itself, onto `target`.

        Return what is left of the source, the target as it is then, and what stands alone.
        """
        towers, riders = self._apart(source)
        if riders:
            rider = self.draw.choice(riders)
            left = self._piece(towers, [one for one in riders if one is not rider])
        elif len(towers) == 1 and len(towers[0]) > 1:
            rider = towers[0][-1]
            left = self._piece([towers[0][:-1]], [])
        elif len(towers) == 1:
            return self._lifted(towers[0][0], target)
        else:
            return None
        if left is None:
            return None
        if self.draw.random() < FLOOR:
            alone = self._piece([(rider,)], [])
            return None if alone is None else ([left], [target], [alone])
        exchanged = self._exchanged(source, target, rider) if self.draw.random() < 0.4 else None
        if exchanged is not None:
            return exchanged
        grown = self._with(target, rider)
        return None if grown is None else ([left], [grown], [])

    def _lifted(self, case: Case, target: Piece) -> Made | None:
        grown = self._with(target, case)
        return None if grown is None else ([], [grown], [])

    def _exchanged(self, source: Piece, target: Piece, rider: Case) -> Made | None:
        """Exchange a rider with one of another stack."""
        towers, riders = self._apart(target)
        mine, others = self._apart(source)
        if not riders or rider not in others:
            return None
        back = self.draw.choice(riders)
        one = self._piece(mine, [back, *(case for case in others if case is not rider)])
        other = self._piece(towers, [rider, *(case for case in riders if case is not back)])
        return None if one is None or other is None else ([one], [other], [])

    def _apart(self, piece: Piece) -> tuple[list[Tower], list[Case]]:
        """Return towers and riders of a piece, as cases without wishes for ends or words."""
        towers, riders = taken_apart(piece.stack)
        bare = self.maker.bare
        return (
            [tuple(bare[case.code] for case in tower) for tower in towers],
            [bare[case.code] for case in riders],
        )

    def _with(self, target: Piece, case: Case) -> Piece | None:
        towers, riders = self._apart(target)
        tied = self.maker.task.tied
        if case.code in tied or any(one.code in tied for tower in towers for one in tower):
            return None
        if not riders and len(towers) == 1 and takes_casters(towers[0][-1]):
            taller = self._piece([(*towers[0], case)], [])
            if taller is not None:
                return taller
        if not may_ride(case, self.maker.task.rules):
            return None
        return self._piece(towers, [*riders, case])

    def _piece(self, towers: Sequence[Tower], riders: Sequence[Case]) -> Piece | None:
        """Return a stack as a piece, or None where the rules forbid it."""
        ranked = sorted(riders, key=lambda case: (-case.length_um * case.width_um, case.code))
        key = (
            tuple(tuple(case.code for case in tower) for tower in towers),
            tuple(case.code for case in ranked),
        )
        if key not in self.known:
            found = footings(self.maker.task, list(towers), ranked)
            self.known[key] = self.maker.piece(Stack(found)) if found else None
        return self.known[key]
