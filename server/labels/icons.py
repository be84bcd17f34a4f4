"""The label's little pictures, drawn from rectangles, discs and polygons of our own.

Each icon fills a square of a given side whose top corner is `at`; measures inside are shares of it.
"""

from __future__ import annotations

from collections.abc import Sequence

from server.core.shop.case import Stance
from server.labels.canvas import Canvas, Point
from server.labels.label_case import Face


def _box(canvas: Canvas, at: Point, side: float, part: tuple[float, float, float, float]) -> None:
    """Draw the outline of a box inside an icon: part is x, y, width, height in shares."""
    x, y, width, height = part
    place = (at[0] + x * side, at[1] + y * side)
    canvas.frame(place, (width * side, height * side), side * 0.05)


def _shape(
    canvas: Canvas, at: Point, side: float, points: Sequence[Point], grey: float = 0
) -> None:
    canvas.polygon([(at[0] + x * side, at[1] + y * side) for x, y in points], grey)


def this_way_up(canvas: Canvas, at: Point, side: float) -> None:
    """Draw two upright arrows on a line: the mark "this way up" of ISO 780, drawn by us."""
    for left in (0.04, 0.54):
        head = [(0.21, 0), (0.42, 0.34), (0.28, 0.34), (0.28, 0.8), (0.14, 0.8), (0.14, 0.34)]
        _shape(canvas, at, side, [(left + x, y) for x, y in [*head, (0, 0.34)]])
    _shape(canvas, at, side, [(0, 0.88), (1, 0.88), (1, 1), (0, 1)])


def stacking_limit(canvas: Canvas, at: Point, side: float) -> None:
    """Draw a load that presses on a box: ISO 780's stacking limit by mass, drawn by us.

    The mass stands beside it. The mark's form is from memory, not from the standard's table.
    """
    _shape(canvas, at, side, [(0.08, 0), (0.92, 0), (0.92, 0.1), (0.08, 0.1)])
    press = [(0.38, 0.1), (0.62, 0.1), (0.62, 0.3), (0.78, 0.3), (0.5, 0.52), (0.22, 0.3)]
    _shape(canvas, at, side, [*press, (0.38, 0.3)])
    _box(canvas, at, side, (0.08, 0.56, 0.84, 0.42))


def person(canvas: Canvas, at: Point, side: float) -> None:
    """Draw a standing person: head and shoulders."""
    canvas.disc((at[0] + 0.5 * side, at[1] + 0.2 * side), 0.19 * side)
    body = [(0.2, 0.45), (0.8, 0.45), (0.9, 0.98), (0.1, 0.98)]
    _shape(canvas, at, side, body)


def caster(canvas: Canvas, at: Point, side: float) -> None:
    """Draw a box on two wheels: it rolls."""
    _box(canvas, at, side, (0.08, 0.12, 0.84, 0.55))
    for x in (0.25, 0.75):
        canvas.disc((at[0] + x * side, at[1] + 0.85 * side), 0.13 * side)


def lifted(canvas: Canvas, at: Point, side: float) -> None:
    """Draw a box held above a line: it is lifted."""
    _box(canvas, at, side, (0.2, 0.1, 0.6, 0.42))
    _shape(canvas, at, side, [(0.5, 0.58), (0.72, 0.8), (0.28, 0.8)])
    _shape(canvas, at, side, [(0.05, 0.9), (0.95, 0.9), (0.95, 0.98), (0.05, 0.98)])


def crossed(canvas: Canvas, at: Point, side: float) -> None:
    """Draw a bar across an icon that is already there: this must not be."""
    _shape(canvas, at, side, [(0, 0.1), (0.1, 0), (1, 0.9), (0.9, 1)])


def stance(canvas: Canvas, at: Point, side: float, how: Stance) -> None:
    """Draw how a case may stand: lying long, on its end, or on its side, with its lid's edge."""
    shapes: dict[Stance, tuple[float, float, float, float]] = {
        "upright": (0.02, 0.35, 0.96, 0.6),
        "on_end": (0.25, 0.02, 0.5, 0.93),
        "on_side": (0.02, 0.5, 0.96, 0.45),
    }
    x, y, width, height = shapes[how]
    _box(canvas, at, side, (x, y, width, height))
    lid = {
        "upright": [(x, y), (x + width, y), (x + width, y + 0.14), (x, y + 0.14)],
        "on_end": [(x, y), (x + 0.14, y), (x + 0.14, y + height), (x, y + height)],
        "on_side": [
            (x, y + height - 0.14),
            (x + width, y + height - 0.14),
            (x + width, y + height),
            (x, y + height),
        ],
    }[how]
    _shape(canvas, at, side, lid)


def stacked(canvas: Canvas, at: Point, side: float) -> None:
    """Draw a small box on a large one: something may stand on the lid."""
    _box(canvas, at, side, (0.05, 0.5, 0.9, 0.45))
    _box(canvas, at, side, (0.25, 0.1, 0.5, 0.38))


def face(canvas: Canvas, at: Point, side: float, which: Face) -> None:
    """Draw a box seen from a corner with the face darkened on which the label goes."""
    lid = [(0.02, 0.35), (0.3, 0.12), (0.98, 0.12), (0.72, 0.35)]
    long_side = [(0.02, 0.35), (0.72, 0.35), (0.72, 0.9), (0.02, 0.9)]
    end = [(0.72, 0.35), (0.98, 0.12), (0.98, 0.67), (0.72, 0.9)]
    dark = {"lid": lid, "side": long_side, "end A": end, "end B": end}[which]
    for points in (lid, long_side, end):
        _shape(canvas, at, side, points, 0 if points is dark else 0.75)
