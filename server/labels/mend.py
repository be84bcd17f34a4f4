"""A QR whose finder marks are spoilt by glare, dirt or a scratch is redrawn so decoders see it.

One whole mark says how the code lies. The picture is turned straight by it, the places of the two
other marks are sought where a code of 21 to 33 modules (versions 1 to 4) would have them, and
clean marks are drawn there. The data stay as photographed: the code's own error correction
(ISO/IEC 18004) decides whether they can be read, so mending cannot make a text up.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from server.labels.candidates import Mark, Spot
from server.labels.decoders import Found, read_zbar, read_zxing
from server.labels.grid import read_grid
from server.labels.prepare import Grey, evened, smooth

MODULE: Final = 6  # pixels of a module in the straightened picture
REACH: Final = 33  # modules from the middle to the rim
MIDDLE: Final = REACH * MODULE
DISTANCES: Final = (14, 18, 22, 26)  # modules between marks in versions 1 to 4
DRIFT: Final = 3  # modules by which tilt moves a mark from its place
LEAST_LIKENESS: Final = 0.25  # of a spoilt mark
# Of three marks, the known one counting 1: spoilt codes have 2.0 and more, catches and lettering
# under 1.85 (rows of the second generator, tests/bench/label_walls.py).
LEAST_SUM: Final = 1.85
TRIES: Final = 3

Pair = tuple[tuple[int, int], tuple[int, int]]
Matrix = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Guess:
    """Where three marks may be: the corner of the right angle, its two neighbours, how alike."""

    likeness: float
    modules: int
    corner: tuple[float, float]
    across: tuple[float, float]
    down: tuple[float, float]


def mark_pattern(rim: int) -> NDArray[np.uint8]:
    """Draw a finder mark, a module a pixel, with so many modules of paper round it."""
    side = 7 + 2 * rim
    pattern = np.full((side, side), 255, np.uint8)
    pattern[rim : rim + 7, rim : rim + 7] = 0
    pattern[rim + 1 : rim + 6, rim + 1 : rim + 6] = 255
    pattern[rim + 2 : rim + 5, rim + 2 : rim + 5] = 0
    return pattern


def _larger(pattern: NDArray[np.uint8]) -> Grey:
    return np.asarray(np.kron(pattern, np.ones((MODULE, MODULE), np.uint8)), np.uint8)


def mend(grey: Grey, spot: Spot, over: Callable[[], bool] = lambda: False) -> Iterator[Found]:
    """Yield what can be read at a spot after its marks are redrawn; corners in photo pixels."""
    for mark in spot.marks[:3]:
        if over():
            return
        straight = _straighten(mark)
        picture = _warp(grey, straight)
        for guess in _guesses(picture):
            placed, size = _placed(guess)
            whole = placed @ straight
            straightened = _warp(grey, whole)
            redrawn = _redraw(straightened, guess.modules)
            found = read_zxing(redrawn) or read_zbar(redrawn)
            first = MIDDLE - (guess.modules - 7) / 2 * MODULE
            found = found or list(read_grid(straightened, guess.modules, first, MODULE))
            for one in found:
                back = np.linalg.inv(whole)
                quad = one.quad @ back[:2, :2].T + back[:2, 2]
                yield replace(one, quad=quad, rung=f"mended {size}")
            if found:
                return


def _straighten(mark: Mark) -> Matrix:
    """Return the matrix that brings a mark upright to the middle of the picture."""
    target = np.array([(-3.5, -3.5), (3.5, -3.5), (3.5, 3.5), (-3.5, 3.5)]) * MODULE + MIDDLE
    source = np.column_stack([np.array(mark.corners, np.float64), np.ones(4)])
    affine, *_ = np.linalg.lstsq(source, target, rcond=None)
    return np.vstack([affine.T, [0, 0, 1]])


def _warp(grey: Grey, matrix: Matrix) -> Grey:
    side = 2 * MIDDLE
    shrink = np.sqrt(abs(np.linalg.det(matrix[:2, :2])))
    how = cv2.INTER_AREA if shrink < 1 else cv2.INTER_LINEAR
    warped = cv2.warpAffine(
        grey, matrix[:2], (side, side), flags=how, borderMode=cv2.BORDER_REPLICATE
    )
    return smooth(np.asarray(warped, np.uint8), MODULE)


def _guesses(picture: Grey) -> list[Guess]:
    """Return the likeliest places of the two other marks, best first."""
    even = evened(picture, MODULE)
    alike = cv2.matchTemplate(even, _larger(mark_pattern(1)), cv2.TM_CCOEFF_NORMED)
    offset = 4.5 * MODULE  # from the template's corner to the mark's middle
    centre = (float(MIDDLE), float(MIDDLE))
    guesses: list[Guess] = []
    for distance in DISTANCES:
        peaks = {
            (dx, dy): _peak(
                alike, MIDDLE + dx * distance * MODULE, MIDDLE + dy * distance * MODULE, offset
            )
            for dx in (-1, 0, 1)
            for dy in (-1, 0, 1)
            if (dx, dy) != (0, 0)
        }
        for corner, across, down in _LAYOUTS:
            places = [
                ((centre, 1.0) if at == (0, 0) else peaks[at]) for at in (corner, across, down)
            ]
            likeness = [worth for at, worth in places]
            if min(likeness) > LEAST_LIKENESS and sum(likeness) > LEAST_SUM:
                (a, _), (b, _), (c, _) = places
                guesses.append(Guess(sum(likeness), distance + 7, a, b, c))
    return sorted(guesses, key=lambda guess: -guess.likeness)[:TRIES]


def _layouts() -> list[tuple[tuple[int, int], tuple[int, int], tuple[int, int]]]:
    """Return corner, across and down of every upright code that has a mark at (0, 0)."""
    found = []
    for across, down in (
        ((1, 0), (0, 1)),
        ((0, 1), (-1, 0)),
        ((-1, 0), (0, -1)),
        ((0, -1), (1, 0)),
    ):
        for home in ((0, 0), across, down):
            moved = [(x - home[0], y - home[1]) for x, y in ((0, 0), across, down)]
            found.append((moved[0], moved[1], moved[2]))
    return found


_LAYOUTS: Final = _layouts()


def _peak(
    alike: NDArray[np.generic], x: float, y: float, offset: float
) -> tuple[tuple[float, float], float]:
    """Return the best place for a mark near a point, and how alike it is."""
    reach = DRIFT * MODULE
    left, top = max(0, int(x - offset - reach)), max(0, int(y - offset - reach))
    part = alike[top : int(y - offset + reach) + 1, left : int(x - offset + reach) + 1]
    if part.size == 0:
        return (x, y), -1.0
    row, column = np.unravel_index(int(np.argmax(part)), part.shape)
    return (left + float(column) + offset, top + float(row) + offset), float(part[row, column])


def _placed(guess: Guess) -> tuple[Matrix, int]:
    """Return the matrix that brings the three marks exactly where a redrawn code has them."""
    first = (MIDDLE - (guess.modules - 7) / 2 * MODULE,) * 2
    far = MIDDLE + (guess.modules - 7) / 2 * MODULE
    source = np.array([guess.corner, guess.across, guess.down], np.float32)
    target = np.array([first, (far, first[1]), (first[0], far)], np.float32)
    return np.vstack([cv2.getAffineTransform(source, target), [0, 0, 1]]), guess.modules


def _redraw(picture: Grey, modules: int) -> Grey:
    """Draw three clean marks with their rim of paper, in the ink and paper of this photo."""
    dark, light = np.percentile(
        picture[MIDDLE // 2 : -MIDDLE // 2, MIDDLE // 2 : -MIDDLE // 2], (10, 90)
    )
    clean = np.where(_larger(mark_pattern(1)) > 0, light, dark).astype(np.uint8)
    start = round(MIDDLE - modules / 2 * MODULE)
    end = start + (modules - 7) * MODULE
    redrawn = picture.copy()
    for x, y in ((start, start), (end, start), (start, end)):
        top, left = y - MODULE, x - MODULE
        redrawn[top : top + clean.shape[0], left : left + clean.shape[1]] = clean
    return redrawn
