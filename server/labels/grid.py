"""A QR whose three marks are known is sampled module by module and drawn anew without its wear.

Decoders give up where a scratch or a reflection spoils the timing lines or the fourth corner. Here
the corner is sought where modules are clearest, each module is decided on its own, and what is
known of every QR (marks, separators, timing: ISO/IEC 18004, clause 6.3) is drawn as it must be.
The data are as photographed: the code's own error correction decides whether they can be read.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from server.labels.decoders import Found, read_zxing
from server.labels.prepare import Grey, evened

CLEAN: Final = 4  # pixels of a module in the picture drawn anew
QUIET: Final = 4
# where tilt may move the fourth corner to, in modules from where three marks would have it
DRIFTS: Final = (-2.0, -1.0, 0.0, 1.0, 2.0)
FINER: Final = (-0.5, 0.0, 0.5)
TRIES: Final = 3  # corners at which modules are clearest
Grid = NDArray[np.float64]
Corner = tuple[float, float]


def read_grid(picture: Grey, modules: int, first: float, module: float) -> Iterator[Found]:
    """Yield what a straightened code says; `first` is the middle of its first mark (x and y)."""
    even = cv2.blur(evened(picture, module), (max(1, int(module * 0.5)),) * 2)
    corners = _clearest(np.asarray(even, np.float64), modules, first, module)
    for corner in corners[:TRIES]:
        grid = _grid(modules, first, module, corner)
        dark = _sampled(np.asarray(even, np.float64), grid) < 0
        found = read_zxing(_drawn(dark))
        for one in found:
            matrix = _matrix(modules, first, module, corner)
            flat = (one.quad / CLEAN - QUIET)[None]
            yield replace(one, quad=cv2.perspectiveTransform(flat, matrix)[0])
        if found:
            return


def _matrix(modules: int, first: float, module: float, corner: Corner) -> Grid:
    """Return the matrix from modules to pixels: marks in place, the fourth corner moved."""
    far = modules - 3.5
    flat = np.array([(3.5, 3.5), (far, 3.5), (3.5, far), (far, far)], np.float32)
    seen = (flat - 3.5) * module + first
    seen[3] += np.array(corner, np.float32) * module
    return np.asarray(cv2.getPerspectiveTransform(flat, seen.astype(np.float32)), np.float64)


def _grid(modules: int, first: float, module: float, corner: Corner) -> Grid:
    """Return the pixel of every module's middle, row by row."""
    middles = np.arange(modules) + 0.5
    across, down = np.meshgrid(middles, middles)
    points = np.stack([across, down], axis=-1).reshape(1, -1, 2)
    matrix = _matrix(modules, first, module, corner)
    seen = cv2.perspectiveTransform(points, matrix).reshape(modules, modules, 2)
    return np.asarray(seen, np.float64)


def _sampled(even: NDArray[np.float64], grid: Grid) -> NDArray[np.float64]:
    """Return how light each module is: below zero it is ink."""
    xs = np.clip(np.rint(grid[..., 0]).astype(int), 0, even.shape[1] - 1)
    ys = np.clip(np.rint(grid[..., 1]).astype(int), 0, even.shape[0] - 1)
    return np.asarray(even[ys, xs] - 128)


def _clearest(even: NDArray[np.float64], modules: int, first: float, module: float) -> list[Corner]:
    """Return places of the fourth corner, that with the clearest modules first."""
    scores: dict[Corner, float] = {}

    def score(corners: list[Corner]) -> list[Corner]:
        for corner in corners:
            if corner not in scores:
                light = _sampled(even, _grid(modules, first, module, corner))
                # of the quarter that the corner moves most
                scores[corner] = float(np.abs(light[modules // 2 :, modules // 2 :]).mean())
        return sorted(scores, key=lambda corner: -scores[corner])

    rough = score([(x, y) for x in DRIFTS for y in DRIFTS])[0]
    return score([(rough[0] + x, rough[1] + y) for x in FINER for y in FINER])


def _drawn(dark: NDArray[np.bool_]) -> Grey:
    """Draw the modules cleanly, with marks, separators and timing as every QR has them."""
    size = dark.shape[0]
    ink = dark.copy()
    ink[6, 8 : size - 8] = ink[8 : size - 8, 6] = np.arange(8, size - 8) % 2 == 0
    mark = np.zeros((8, 8), np.bool_)
    mark[:7, :7] = True
    mark[1:6, 1:6] = False
    mark[2:5, 2:5] = True
    ink[:8, :8] = mark
    ink[:8, -8:] = mark[:, ::-1]
    ink[-8:, :8] = mark[::-1]
    ink[size - 8, 8] = True  # the dark module
    whole = np.pad(np.where(ink, 0, 255).astype(np.uint8), QUIET, constant_values=255)
    return np.asarray(np.kron(whole, np.ones((CLEAN, CLEAN), np.uint8)), np.uint8)
