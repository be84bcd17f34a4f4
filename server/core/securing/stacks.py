"""Stacks of a row as securing sees them: what stands on what, how it may tip, what is open around.

A strap line runs straight across the back of the deepest stack, so a shallower stack does not touch
it: what is open behind it counts like slack and has to be filled (CTU Code: voids of 15 cm).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from server.core.securing.rules_en import Box, tipping_moment_nm
from server.core.securing.slack import CTU_VOIDS_UM
from server.core.shop.plan import Place, Row

# Strap line at three quarters of what it holds; common practice, no source.
HEIGHT_SHARE: Final = 0.75
# A wall or stack ahead keeps a stack from tipping forward when it reaches the height of its centre
# of gravity (mechanics).


@dataclass(frozen=True, slots=True)
class Stack:
    """A floor case with what rides on it: micrometres and grams; `centre_um` above the floor."""

    codes: tuple[str, ...]
    x: int
    width_um: int
    start: int
    depth_um: int
    height_um: int
    mass_g: int
    centre_um: float

    @property
    def end(self) -> int:
        """Return how far behind the bulkhead the stack ends."""
        return self.start + self.depth_um

    def tipping_pull_g(self, share: float) -> float:
        """Return the pull at its strap that keeps it from tipping along the vehicle."""
        box = Box(self.depth_um / 2e6, self.centre_um / 1e6, self.depth_um / 1e6)
        moment = tipping_moment_nm(self.mass_g / 1000, box, share)
        return moment / (HEIGHT_SHARE * self.height_um / 1e6) / 9.81 * 1000


@dataclass(frozen=True, slots=True)
class Void:
    """What is open behind a stack, up to the line across the back of its row."""

    codes: tuple[str, ...]
    behind_um: int


def stacks_of(row: Row, masses_g: Mapping[str, int]) -> tuple[Stack, ...]:
    """Return the stacks of a row; what bridges two stands on the one that it covers most."""
    floor = [place for place in row.places if place.z == 0]
    riders: dict[str, list[Place]] = {place.code: [place] for place in floor}
    for place in row.places:
        if place.z and floor:
            under = max(floor, key=lambda one: (_over(one, place), one.code))
            riders[under.code].append(place)
    return tuple(_stack(riders[place.code], masses_g) for place in floor)


def _stack(places: list[Place], masses_g: Mapping[str, int]) -> Stack:
    base = places[0]
    mass = sum(masses_g[place.code] for place in places)
    moment = sum(masses_g[place.code] * (place.z + place.dz / 2) for place in places)
    height = max(place.z + place.dz for place in places)
    return Stack(
        codes=tuple(place.code for place in places),
        x=base.x,
        width_um=base.dx,
        start=base.y,
        depth_um=base.dy,
        height_um=height,
        mass_g=mass,
        centre_um=moment / mass if mass else height / 2,
    )


def _over(lower: Place, upper: Place) -> int:
    across = min(lower.x + lower.dx, upper.x + upper.dx) - max(lower.x, upper.x)
    along = min(lower.y + lower.dy, upper.y + upper.dy) - max(lower.y, upper.y)
    return max(0, across) * max(0, along)


def voids_of(row: Row, stacks: Iterable[Stack]) -> tuple[Void, ...]:
    """Return what is open behind the stacks of a row, wider than the CTU Code leaves open."""
    end = row.start + row.depth
    return tuple(
        Void(stack.codes, end - stack.end) for stack in stacks if end - stack.end > CTU_VOIDS_UM
    )


def is_blocked(stack: Stack, ahead: Iterable[Stack]) -> bool:
    """Return whether a stack stands tight against the bulkhead or against a stack ahead."""
    faces = [other.end for other in ahead if _beside(stack, other)]
    return stack.start - max(faces, default=0) <= CTU_VOIDS_UM


def tips_forward(stack: Stack, ahead: Iterable[Stack], share: float) -> bool:
    """Return whether a stack would tip forward over something lower than its centre of gravity.

    The bulkhead is taken as high as the room.
    """
    if not stack.tipping_pull_g(share):
        return False
    touching = [
        other
        for other in ahead
        if _beside(stack, other) and stack.start - other.end <= CTU_VOIDS_UM
    ]
    if stack.start <= CTU_VOIDS_UM:
        return False
    return max((other.height_um for other in touching), default=0) < stack.centre_um


def _beside(one: Stack, other: Stack) -> bool:
    return min(one.x + one.width_um, other.x + other.width_um) > max(one.x, other.x)
