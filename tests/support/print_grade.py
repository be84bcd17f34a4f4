"""How well a printed QR is: the grades of ISO/IEC 15415:2011, worked out from a picture of it.

Clauses 7.8.2 to 7.8.8: symbol contrast, modulation, fixed pattern damage, axial non-uniformity and
unused error correction, each 4 (best) to 0; the whole is the worst. The limits are from memory.
Our labels have no linear symbol, so ISO/IEC 15416 has nothing to grade.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
import zxingcpp
from numpy.typing import NDArray

Plane = NDArray[np.float64]
APERTURE = 0.8  # of a module
_QR = zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.QRCode])


@dataclass(frozen=True, slots=True)
class PrintGrade:
    """Grades 4 to 0 of one symbol."""

    contrast: int
    modulation: int
    fixed_pattern: int
    axial: int
    unused_correction: int

    @property
    def overall(self) -> int:
        return min(
            self.contrast,
            self.modulation,
            self.fixed_pattern,
            self.axial,
            self.unused_correction,
        )


def grade(picture: NDArray[np.uint8], true: NDArray[np.bool_]) -> PrintGrade:
    """Grade the one QR of a picture; `true`: its modules as they should be, dark is True."""
    found = zxingcpp.read_barcodes(picture, formats=_QR)
    assert len(found) == 1, f"expected one QR, got {len(found)}"
    place = found[0].position
    corners = [place.top_left, place.top_right, place.bottom_right, place.bottom_left]
    quad = np.array([(corner.x, corner.y) for corner in corners], np.float64)
    across, down = (float(np.linalg.norm(quad[i] - quad[0])) for i in (1, 3))
    light = _modules(picture, quad, true.shape[0])
    contrast = float(light.max() - light.min()) / 255
    middle = float(light.max() + light.min()) / 2
    clear = 2 * np.abs(light - middle) / max(1e-9, 255 * contrast)
    wrong = (light < middle) != true
    return PrintGrade(
        contrast=_at_least(contrast, (0.70, 0.55, 0.40, 0.20)),
        modulation=_at_least(float(np.where(wrong, 0, clear).min()), (0.50, 0.40, 0.30, 0.20)),
        fixed_pattern=4 if not wrong[_fixed(true.shape[0])].any() else 0,
        axial=_at_most(abs(across - down) / ((across + down) / 2), (0.06, 0.08, 0.10, 0.12)),
        unused_correction=4 if not wrong.any() else 0,
    )


def _modules(picture: NDArray[np.uint8], quad: Plane, count: int) -> Plane:
    """Return the mean light of every module through an aperture smaller than it."""
    size, steps = count * 20, 20
    flat = np.array([(0, 0), (size, 0), (size, size), (0, size)], np.float32)
    matrix = cv2.getPerspectiveTransform(quad.astype(np.float32), flat)
    warped = cv2.warpPerspective(picture, matrix, (size, size), flags=cv2.INTER_LINEAR)
    rim = round(steps * (1 - APERTURE) / 2)
    cells = warped.reshape(count, steps, count, steps)[:, rim : steps - rim, :, rim : steps - rim]
    return np.asarray(cells.mean(axis=(1, 3)), np.float64)


def _fixed(count: int) -> NDArray[np.bool_]:
    """Return where marks, separators and timing lie."""
    fixed = np.zeros((count, count), np.bool_)
    fixed[:8, :8] = fixed[:8, -8:] = fixed[-8:, :8] = True
    fixed[6, :] = fixed[:, 6] = True
    return fixed


def _at_least(value: float, limits: tuple[float, ...]) -> int:
    return next((4 - at for at, limit in enumerate(limits) if value >= limit), 0)


def _at_most(value: float, limits: tuple[float, ...]) -> int:
    return next((4 - at for at, limit in enumerate(limits) if value <= limit), 0)
