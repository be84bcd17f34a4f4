"""Rows of a plan turned back into rows of the search."""

from __future__ import annotations

from collections.abc import Mapping

from server.core.planner.problem.model import Footing, Line, Put, Stack, Standing, Way
from server.core.shop.case import Case
from server.core.shop.plan import Place, Row


def lines_of(row: Row, cases: Mapping[str, Case]) -> Line | None:
    """Return a row with the cases that are still called; what stood on others goes with them."""
    places = [place for place in row.places if place.code in cases]
    there = {place.code for place in places}
    while True:
        carried = [place for place in places if all(code in there for code in place.on)]
        if len(carried) == len(places):
            break
        places = carried
        there = {place.code for place in places}
    floor = sorted((place for place in places if not place.on), key=lambda place: place.x)
    standings = []
    for group in _bridged(floor, places):
        width = sum(place.dx for place in group if not place.on)
        depth = max(place.dy for place in group if not place.on)
        puts = tuple(_put(place, group, row, cases) for place in group)
        footing = Footing(width, depth, puts)
        standings.append(Standing(Stack((footing,)), footing))
    return Line(tuple(standings)) if standings else None


def _put(place: Place, group: list[Place], row: Row, cases: Mapping[str, Case]) -> Put:
    """Return a place counted from the corner of its stack; floor neighbours close up."""
    way = Way(place.dx, place.dy, place.dz, place.stance, place.turned)
    start = min(one.x for one in group)
    return Put(cases[place.code], way, place.x - start, place.y - row.start, place.z, place.on)


def _bridged(floor: list[Place], places: list[Place]) -> list[list[Place]]:
    """Return floor cases with all above them, neighbours bridged by a rider in one group."""
    root = {place.code: place.code for place in places}

    def find(code: str) -> str:
        while root[code] != code:
            code = root[code]
        return code

    for place in places:
        for below in place.on:
            root[find(place.code)] = find(below)
    groups: dict[str, list[Place]] = {find(place.code): [] for place in floor}
    for place in places:
        groups[find(place.code)].append(place)
    return list(groups.values())
