"""Scenes as SVG text."""

from __future__ import annotations

from typing import Final
from xml.sax.saxutils import escape, quoteattr

from server.drawing.scene import Box, Line, Picture, Scene, Shape, Stroke, Text
from server.typeface import STACK

DASH: Final = ' stroke-dasharray="1 1"'
NARROW: Final = 0.56  # mean width of a letter in em; text that could be wider is squeezed


def to_svg(scene: Scene) -> str:
    """Return the scene as one SVG document, sized in mm, with a title for those who cannot see."""
    size = f'viewBox="0 0 {scene.width:g} {scene.height:g}"'
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{scene.width:g}mm" '
        f'height="{scene.height:g}mm" {size} role="img" aria-label={quoteattr(scene.title)} '
        f'font-family="{STACK}">'
    )
    parts = [head, f"<title>{escape(scene.title)}</title>", *map(_shape, scene.shapes), "</svg>"]
    return "\n".join(parts) + "\n"


def _shape(shape: Shape) -> str:
    match shape:
        case Box():
            return _box(shape)
        case Text():
            return _text(shape)
        case Line():
            ends = f'x1="{shape.x1:g}" y1="{shape.y1:g}" x2="{shape.x2:g}" y2="{shape.y2:g}"'
            dash = DASH if shape.dashed else ""
            return f'<line {ends} stroke="#000" stroke-width="{shape.stroke:g}"{dash}/>'
        case Stroke():
            points = " ".join(f"{x:g},{y:g}" for x, y in shape.points)
            pen = f'fill="none" stroke="#000" stroke-width="{shape.stroke:g}"'
            return f'<polyline points="{points}" {pen}/>'
        case Picture():
            return ""


def _box(box: Box) -> str:
    fill = "none" if box.fill is None else _grey(box.fill)
    sides = f'x="{box.x:g}" y="{box.y:g}" width="{box.width:g}" height="{box.height:g}"'
    stroke = f'stroke="#000" stroke-width="{box.stroke:g}"' if box.stroke else ""
    dash = DASH if box.dashed else ""
    title = f"<title>{escape(box.title)}</title>" if box.title else ""
    return f'<rect {sides} fill="{fill}" {stroke}{dash}>{title}</rect>'


def _text(text: Text) -> str:
    place = f'x="{text.x:g}" y="{text.y:g}" font-size="{text.size:g}"'
    weight = ' font-weight="bold"' if text.bold else ""
    wide = len(text.text) * text.size * NARROW
    squeeze = ""
    if text.most is not None and wide > text.most > 0:
        squeeze = f' textLength="{text.most:g}" lengthAdjust="spacingAndGlyphs"'
    return f'<text {place} text-anchor="{text.anchor}"{weight}{squeeze}>{escape(text.text)}</text>'


def _grey(value: float) -> str:
    return "#" + f"{round(value * 255):02x}" * 3
