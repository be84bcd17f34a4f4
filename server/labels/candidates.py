"""Where in a photo an unread QR may be: square rings round a dark square, by thresholded contours.

A QR shows three such marks at 7:5:3 modules (ISO/IEC 18004); one that glare or dirt spared is
enough to know where to look closer and how large a module is there.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from cv2.typing import MatLike

from server.labels.prepare import Grey, grain, odd, resized

MOST_MARKS: Final = 3000  # of one scale; a thousand labels in a photo
# Ink is darker than its surroundings by so many grey levels, and by so many times the grain: else
# a dim photo of 12 megapixels gives a hundred thousand specks, and a second is gone with them.
LEAST_CONTRAST: Final = 3.0
GRAINS: Final = 2.0
# Edges between ink and paper along the lines of the picture. Rows at 12 megapixels have 100,000
# at half the scale and up to 700,000 at the whole; a drawing full of rings has millions.
MOST_EDGES: Final = 800_000


@dataclass(frozen=True, slots=True)
class Mark:
    """A finder mark: its middle, the side of one module, its corners clockwise; photo pixels."""

    x: float
    y: float
    module: float
    corners: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Spot:
    """A square of the photo worth a closer look; half its side, and the module there.

    `sure` when two marks or more belong together: print on a case shows single rings too.
    """

    x: float
    y: float
    half: float
    module: float
    sure: bool
    marks: tuple[Mark, ...]


def find_marks(grey: Grey, scale: float) -> list[Mark]:
    """Return the finder marks seen at one scale (marks of two modules of pixels and more)."""
    small = cv2.GaussianBlur(resized(grey, scale), (0, 0), 1.0)
    way = cv2.ADAPTIVE_THRESH_MEAN_C
    least = max(LEAST_CONTRAST, GRAINS * grain(np.asarray(small, np.uint8)))
    ink = cv2.adaptiveThreshold(small, 255, way, cv2.THRESH_BINARY_INV, odd(29), least)
    if np.count_nonzero(ink[:, 1:] != ink[:, :-1]) > MOST_EDGES:
        return []
    contours, tree = cv2.findContours(ink, cv2.RETR_TREE, cv2.CHAIN_APPROX_SIMPLE)
    if not contours:
        return []
    hole = np.asarray(tree)[0][:, 2]
    core = np.where(hole >= 0, hole[hole], -1)
    marks: list[Mark] = []
    for ring in np.nonzero(core >= 0)[0].tolist():
        outer, inner = np.asarray(contours[ring]), np.asarray(contours[int(core[ring])])
        mark = _mark(outer, inner, scale)
        if mark is not None:
            marks.append(mark)
    return marks[:MOST_MARKS]


def _mark(ring: MatLike, core: MatLike, scale: float) -> Mark | None:
    """Return the mark that a ring and the square inside it make, if their measures agree."""
    x, y, width, height = cv2.boundingRect(ring)
    inner_x, inner_y, inner_width, inner_height = cv2.boundingRect(core)
    if min(inner_width, inner_height) < 3 or not 0.5 < width / height < 2:
        return None
    # 49 : 9 in theory; blur, ink spread and tilt move it
    if not 2.2 < width * height / (inner_width * inner_height) < 14:
        return None
    middle_x, middle_y = x + width / 2, y + height / 2
    if abs(middle_x - inner_x - inner_width / 2) > 0.15 * width:
        return None
    if abs(middle_y - inner_y - inner_height / 2) > 0.15 * height:
        return None
    area = cv2.contourArea(ring)
    if area < 0.4 * width * height:
        return None
    corners = tuple((px / scale, py / scale) for px, py in _corners(ring))
    return Mark(middle_x / scale, middle_y / scale, float(np.sqrt(area)) / 7 / scale, corners)


def _corners(ring: MatLike) -> list[tuple[float, float]]:
    """Return a ring's four corners clockwise in the picture, or those of the box round it."""
    rough = cv2.approxPolyDP(ring, 0.08 * cv2.arcLength(ring, closed=True), closed=True)
    if len(rough) != 4:
        rough = cv2.boxPoints(cv2.minAreaRect(ring))
    corners = [(float(x), float(y)) for x, y in np.asarray(rough).reshape(4, 2)]
    (ax, ay), (bx, by), (cx, cy), _ = corners
    clockwise = (bx - ax) * (cy - ay) > (by - ay) * (cx - ax)
    return corners if clockwise else corners[::-1]


def spots(marks: Sequence[Mark]) -> list[Spot]:
    """Join marks of one symbol and return where to look, each square holding the whole symbol."""
    groups: list[list[Mark]] = []
    for mark in sorted(marks, key=lambda mark: (mark.y, mark.x)):
        home = next((group for group in groups if _belongs(mark, group)), None)
        if home is None:
            groups.append([mark])
        else:
            home.append(mark)
    return sorted(map(_spot, groups), key=lambda spot: not spot.sure)


def _belongs(mark: Mark, group: Sequence[Mark]) -> bool:
    """Say whether a mark can be of the same symbol: like size, within 26 modules, not a fourth."""
    if len(group) >= 3:
        return any(abs(mark.x - m.x) + abs(mark.y - m.y) < 3 * m.module for m in group)
    return all(
        0.6 < mark.module / m.module < 1.67
        and math.hypot(mark.x - m.x, mark.y - m.y) < 26 * m.module
        for m in group
    )


def _spot(group: Sequence[Mark]) -> Spot:
    xs, ys = [m.x for m in group], [m.y for m in group]
    module = float(np.median([m.module for m in group]))
    spread = max(max(xs) - min(xs), max(ys) - min(ys))
    if spread < 8 * module:  # one mark, perhaps seen at two scales: the symbol may lie any way
        half = 30 * module
    elif len(group) == 2:
        half = spread + 9 * module
    else:
        half = 0.6 * spread + 10 * module
    middle = (max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2
    return Spot(*middle, half, module, spread >= 8 * module, tuple(group))
