"""A drawing as a list of shapes, in millimetres from the top left; drawn as SVG or into a PDF."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle; fill grey 0 (black) to 1 (white) or None, stroke width in mm, dashed or not."""

    x: float
    y: float
    width: float
    height: float
    fill: float | None = None
    stroke: float = 0.2
    dashed: bool = False
    title: str = ""


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text; `size` is the height of its letters' em in mm.

    `most`: the width that it may take. On paper nothing is set below 7 pt: what is too wide there
    is cut short, or left out where it is of use only as a `whole`.
    """

    x: float
    y: float
    text: str
    size: float
    anchor: Anchor = "start"
    bold: bool = False
    most: float | None = None
    whole: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line."""

    x1: float
    y1: float
    x2: float
    y2: float
    stroke: float = 0.2
    dashed: bool = False


@dataclass(frozen=True, slots=True)
class Stroke:
    """Lines from point to point, as a pen draws them."""

    points: tuple[tuple[float, float], ...]
    stroke: float = 0.4


@dataclass(frozen=True, slots=True)
class Picture:
    """A JPEG or PNG inside a frame, its proportions kept; only a PDF shows it."""

    x: float
    y: float
    width: float
    height: float
    data: bytes


Shape = Box | Text | Line | Stroke | Picture


@dataclass(frozen=True, slots=True)
class Scene:
    """Shapes on a paper of some size."""

    width: float
    height: float
    shapes: tuple[Shape, ...]
    title: str = ""


def shifted(shapes: Iterable[Shape], x: float, y: float) -> tuple[Shape, ...]:
    """Return the shapes moved by (x, y)."""
    moved: list[Shape] = []
    for shape in shapes:
        if isinstance(shape, Line):
            moved.append(
                replace(
                    shape,
                    x1=shape.x1 + x,
                    y1=shape.y1 + y,
                    x2=shape.x2 + x,
                    y2=shape.y2 + y,
                )
            )
        elif isinstance(shape, Stroke):
            points = tuple((one + x, other + y) for one, other in shape.points)
            moved.append(replace(shape, points=points))
        else:
            moved.append(replace(shape, x=shape.x + x, y=shape.y + y))
    return tuple(moved)
