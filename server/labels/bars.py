"""Bar codes at any angle: regions of parallel edges found, turned upright, and read line by line.

The structure tensor (Foerstner and Guelch 1987) tells where edges all run one way, and which way.
Averaging along the bars then takes noise away that no single scan line survives.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from server.labels.decoders import Found, read_zbar, read_zxing
from server.labels.prepare import Grey, deconvolved, evened, plain, resized, sharpened, smooth

LOOK_AT_PIXELS: Final = 500_000
MOST_REGIONS: Final = 4
ONE_WAY: Final = 0.6  # coherence of edges: 1 when all run one way, 0 when they run every way
PROFILE_ROWS: Final = 40
# what is done to the upright picture, at which pixels a narrow bar is supposed to have
STEPS: Final = ((plain, 2.0), (evened, 2.0), (smooth, 3.0), (sharpened, 2.5), (deconvolved, 2.5))


@dataclass(frozen=True, slots=True)
class Bars:
    """A region of parallel edges: its middle, extent across and along the bars, and their angle."""

    x: float
    y: float
    across: float
    along: float
    angle: float  # degrees by which the line across the bars is turned from level


def find_bars(grey: Grey) -> list[Bars]:
    """Return the largest regions whose edges all run one way, in photo pixels."""
    factor = min(1.0, float(np.sqrt(LOOK_AT_PIXELS / grey.size)))
    small = cv2.GaussianBlur(resized(grey, factor), (0, 0), 1.0)
    dx = cv2.Sobel(small, cv2.CV_32F, 1, 0)
    dy = cv2.Sobel(small, cv2.CV_32F, 0, 1)
    window = (17, 17)
    xx, yy, xy = (cv2.blur(part, window) for part in (dx * dx, dy * dy, dx * dy))
    energy = np.asarray(xx + yy)
    difference, cross = np.asarray(xx - yy), np.asarray(2 * xy)
    coherence = np.hypot(difference, cross) / (energy + 1)
    strong = energy > max(60.0, 0.12 * float(np.percentile(energy, 99)))
    mask = ((coherence > ONE_WAY) & strong).astype(np.uint8)
    mask = np.asarray(cv2.morphologyEx(mask, cv2.MORPH_OPEN, np.ones((7, 7), np.uint8)))
    mask = np.asarray(cv2.morphologyEx(mask, cv2.MORPH_CLOSE, np.ones((9, 9), np.uint8)))
    count, marked, stats, _ = cv2.connectedComponentsWithStats(mask)
    order = sorted(range(1, count), key=lambda i: -int(stats[i, cv2.CC_STAT_AREA]))
    found: list[Bars] = []
    for number in order[:MOST_REGIONS]:
        ys, xs = np.nonzero(np.asarray(marked) == number)
        if len(xs) < 600:
            break
        bars = _region(xs, ys, difference[ys, xs], cross[ys, xs], factor)
        # the edge of a case is long and thin along its one line; a bar code is wide across many
        if bars.across * factor > 40 and bars.across > 0.6 * bars.along:
            found.append(bars)
    return found


def _region(
    xs: NDArray[np.intp],
    ys: NDArray[np.intp],
    difference: NDArray[np.generic],
    cross: NDArray[np.generic],
    factor: float,
) -> Bars:
    """Measure one region along and across its edges."""
    angle = 0.5 * float(np.arctan2(cross.sum(), difference.sum()))
    c, s = float(np.cos(angle)), float(np.sin(angle))
    across, along = xs * c + ys * s, ys * c - xs * s
    middle_across = (float(across.max()) + float(across.min())) / 2
    middle_along = float(np.median(along))
    return Bars(
        x=(middle_across * c - middle_along * s) / factor,
        y=(middle_across * s + middle_along * c) / factor,
        across=float(np.ptp(across)) / factor,
        along=float(np.ptp(along)) / factor,
        angle=float(np.degrees(angle)),
    )


def read_bars(grey: Grey, bars: Bars, over: Callable[[], bool]) -> Iterator[Found]:
    """Yield what a region gives, step by step until it is over; corners in photo pixels."""
    scale = 2.0 if bars.across < 700 else min(1.0, 1600 / bars.across)
    width = int((bars.across * 1.25 + 40) * scale)
    height = int((max(bars.along, 30) * 1.1) * scale)
    matrix = cv2.getRotationMatrix2D((bars.x, bars.y), bars.angle, scale)
    matrix += np.array([[0, 0, width / 2 - bars.x], [0, 0, height / 2 - bars.y]])
    upright = np.asarray(
        cv2.warpAffine(
            grey, matrix, (width, height), flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE
        ),
        np.uint8,
    )
    back = np.asarray(cv2.invertAffineTransform(matrix), np.float64)
    for picture, name in ((upright, "bars"), (_profile(upright), "bars averaged")):
        for prepare, module in STEPS:
            ready = prepare(picture, module)
            for decode in (read_zxing, read_zbar):
                if over():
                    return
                for found in decode(ready):
                    quad = found.quad
                    if picture is not upright:  # a profile has no height of its own
                        quad = np.column_stack([quad[:, 0], [0, 0, height, height]])
                    quad = quad @ back[:, :2].T + back[:, 2]
                    yield replace(found, quad=quad, rung=f"{name} {prepare.__name__}")


def _profile(upright: Grey) -> Grey:
    """Average the middle of the region along its bars and draw the one line as a picture."""
    third = max(1, upright.shape[0] // 4)
    middle = upright[third : max(third + 1, upright.shape[0] - third)]
    line = np.clip(middle.mean(axis=0), 0, 255).astype(np.uint8)
    return np.repeat(line[None, :], PROFILE_ROWS, axis=0)
