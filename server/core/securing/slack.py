"""Slack of a row: what is left of the width, whether it must be filled, and what fills it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from server.core.base.figure import Figure, length_words
from server.core.base.units import Units, from_um
from server.core.shop.plan import Place
from server.core.shop.vehicle import Vehicle

CTU_VOIDS_UM: Final = 150_000  # CTU Code, informative material 5, 1.1.3: voids of 15 cm at most
CTU_SOURCE: Final = "CTU Code, informative material 5, 1.1.3"


def fill_above_um(limit_um: int | None) -> int:
    """Return the slack above which a row is filled: the owner's limit, never above the Code's."""
    return CTU_VOIDS_UM if limit_um is None else min(limit_um, CTU_VOIDS_UM)


def slack_um(width_um: int, cases_um: Iterable[int]) -> int:
    """Return what cases side by side leave of the width; below zero: they do not fit."""
    return width_um - sum(cases_um)


def row_slack_um(vehicle: Vehicle, start: int, depth: int, places: Iterable[Place]) -> int:
    """Return the least width that a row leaves free, over every cross-section of its depth.

    A narrow stretch binds the cases that stand beside it: a shallow case that ends ahead of it is
    not counted where the floor is narrow.
    """
    floor = [place for place in places if not place.on]
    edges = {start, start + depth, *(place.y + place.dy for place in floor)}
    edges |= {edge for one in vehicle.narrow for edge in (one.from_um, one.to_um)}
    ends = sorted(edge for edge in edges if start <= edge <= start + depth)
    left = [
        slack_um(
            min([vehicle.width_um, *(
                one.width_um for one in vehicle.narrow if one.from_um < far and one.to_um > near
            )]),
            (place.dx for place in floor if place.y + place.dy >= far),
        )
        for near, far in pairwise(ends)
    ]  # fmt: skip
    return min(left, default=vehicle.width_um)


@dataclass(frozen=True, slots=True)
class Filler:
    """Something on board that fills a hole: its name, how thick it is, how many there are."""

    name: str
    thickness_um: int
    count: int = 1


def fill(
    slack: int,
    limit_um: int | None,
    fillers: Iterable[Filler] = (),
    *,
    units: Units | None = None,
) -> tuple[str, ...]:
    """Name what fills the slack down to the limit, thickest first; empty where none is needed.

    Where what is on board does not reach, the last words say how much is still open: pads up to
    15 cm, a bar or beam with them above it (CTU Code; the kind of filling: common practice).
    """
    limit_um = fill_above_um(limit_um)
    if slack <= limit_um:
        return ()
    units = units or Units()
    open_um, named = slack, []
    for filler in sorted(fillers, key=lambda item: -item.thickness_um):
        count = min(filler.count, open_um // filler.thickness_um)
        if count and open_um > limit_um:
            named.append(f"{count} x {filler.name}")
            open_um -= count * filler.thickness_um
    if open_um > limit_um:
        width = f"{from_um(open_um, units.length):g} {units.length}"
        brace = "a bar across and " if open_um > CTU_VOIDS_UM else ""
        named.append(f"{brace}{width} of pads, soft bags or plywood on edge")
    return tuple(named)


def slack_figure(slack: int, limit_um: int | None, units: Units | None = None) -> Figure:
    """Return the slack with whether the owner's limit or the CTU Code wants it filled."""
    units = units or Units()
    if slack < 0:
        why = f"the cases are {length_words(-slack, units)} wider than the room: they do not fit"
        parts = (("must_fill", False), ("fits", False))
        return Figure(slack, "um", "geometry of the row", why, "straps", parts)
    limits = [limit for limit in (limit_um, CTU_VOIDS_UM) if limit is not None]
    need = slack > min(limits)
    whose = "the owner's limit" if limit_um is not None else "the limit of the CTU Code"
    verdict = "over" if need else "within"
    return Figure(
        slack,
        "um",
        f"owner's limit; {CTU_SOURCE}",
        f"{length_words(slack, units)} of slack is {verdict} {whose} "
        f"({length_words(min(limits), units)})" + (": fill it" if need else ""),
        "straps",
        (("must_fill", need),),
    )
