"""Rows made anew of pieces, one after the other, each filled by a knapsack with drawn weights."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

from server.core.planner.local_search.pieces import Option, Piece, Row, RowMaker

MOST_FILL = 14  # pieces among which one row is filled
NOISE = 0.15  # of the floor that a piece covers
DEEPEST = 0.7  # how often the deepest piece leads a row
PURE = 0.75  # how often a row keeps to one drop while more of it waits


def recreated(maker: RowMaker, pieces: Sequence[Piece], width: int, draw: Random) -> list[Row]:
    """Return rows of all pieces; a piece that is too wide for the floor stands in none."""
    pool = [piece for piece in pieces if piece.options[0].width <= width]
    draw.shuffle(pool)
    rows = []
    while pool:
        chosen = _next_row(pool, width, draw)
        numbers = {piece.number for piece in chosen}
        pool = [piece for piece in pool if piece.number not in numbers]
        row = maker.row(chosen, width)
        if row is not None:
            rows.append(row)
    return rows


def _next_row(pool: Sequence[Piece], width: int, draw: Random) -> list[Piece]:
    latest = max(piece.hi for piece in pool)
    among = [piece for piece in pool if piece.hi == latest]
    if draw.random() < DEEPEST:
        leader = max(among, key=lambda piece: piece.least_depth)
    else:
        leader = draw.choice(among)
    fitting = [one for one in leader.options if one.width <= width]
    option = fitting[-1] if draw.random() < DEEPEST else draw.choice(fitting)
    rest = [piece for piece in pool if piece is not leader]
    same = [piece for piece in rest if piece.lo == piece.hi == latest]
    if not same or draw.random() > PURE:
        same = [piece for piece in rest if piece.lo >= latest - 1]
    return [leader, *fill(same, option, width, draw)]


def fill(pool: Sequence[Piece], beside: Option, width: int, draw: Random) -> list[Piece]:
    """Return pieces that cover most of the floor beside one that stands already."""
    free = width - beside.width
    items: list[tuple[Piece, int, float]] = []
    for piece in pool:
        one = piece.slimmest(beside.depth)
        if one is not None and one.width <= free:
            area = one.width * one.depth * (1 + NOISE * draw.random())
            items.append((piece, one.width, area))
            if len(items) == MOST_FILL:
                break
    sums: dict[int, tuple[float, tuple[Piece, ...]]] = {0: (0.0, ())}
    for piece, wide, area in items:
        for begin, (covered, picked) in list(sums.items()):
            end = begin + wide
            if end <= free and (end not in sums or sums[end][0] < covered + area):
                sums[end] = (covered + area, (*picked, piece))
    return list(max(sums.values(), key=lambda one: one[0])[1])
