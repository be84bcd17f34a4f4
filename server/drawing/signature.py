"""A signature kept as SVG path data (M and L only), drawn into a box."""

from __future__ import annotations

import re
from typing import Final

from server.drawing.scene import Box, Shape, Stroke, Text

GLASS: Final = (320.0, 140.0)  # the phone's drawing, in its own units
STEP: Final = re.compile(r"([ML])\s*(-?\d+(?:\.\d+)?)[ ,]+(-?\d+(?:\.\d+)?)")


def strokes(path: str) -> list[tuple[tuple[float, float], ...]]:
    """Return the pen's lines in the phone's units; what is no step of a pen is left out."""
    lines: list[list[tuple[float, float]]] = []
    for step, x, y in STEP.findall(path):
        if step == "M" or not lines:
            lines.append([])
        lines[-1].append((float(x), float(y)))
    return [tuple(line) for line in lines]


def signed_box(role: str, name: str, path: str, width: float) -> tuple[list[Shape], float]:
    """Return a box of this width with the drawing, role and name under it, and its height."""
    scale = width / GLASS[0]
    high = GLASS[1] * scale
    shapes: list[Shape] = [Box(0, 0, width, high)]
    for line in strokes(path):
        points = tuple(
            (min(max(x, 0), GLASS[0]) * scale, min(max(y, 0), GLASS[1]) * scale) for x, y in line
        )
        if len(points) > 1:
            shapes.append(Stroke(points))
    shapes.append(Text(0, high + 3.6, f"{role}: {name}", 3.0, most=width))
    return shapes, high + 5
