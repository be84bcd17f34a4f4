"""Grey pictures made easier for a decoder; sizes are in QR modules, so they fit any scale.

Every preparation takes an 8-bit grey picture and the module's side in pixels, and gives another.
"""

from __future__ import annotations

import math

import cv2
import numpy as np
from numpy.typing import NDArray

Grey = NDArray[np.uint8]


def odd(size: float, least: int = 3) -> int:
    """Return the odd whole number next above a size: kernels need a middle."""
    return max(least, int(size) // 2 * 2 + 1)


def resized(grey: Grey, factor: float) -> Grey:
    """Return the picture at another scale: averaged down, smoothly up."""
    if factor == 1 or min(grey.shape) * factor < 8:
        return grey
    how = cv2.INTER_AREA if factor < 1 else cv2.INTER_CUBIC
    return np.asarray(cv2.resize(grey, None, fx=factor, fy=factor, interpolation=how), np.uint8)


def grain(grey: Grey) -> float:
    """Return the standard deviation of a picture's noise, in grey levels.

    From the median difference of pixels four apart, on one line in sixteen: edges are few and do
    not move a median; nearer pixels are alike where a camera or a blur has smoothed them.
    """
    lines = grey[::16].astype(np.int16)
    if lines.shape[1] < 5:
        return 0.0
    counts = np.bincount(np.abs(lines[:, 4:] - lines[:, :-4]).ravel(), minlength=2)
    below = np.cumsum(counts) / counts.sum()
    middle = int(np.searchsorted(below, 0.5))
    # differences are whole numbers: say where between two of them the median lies
    before = float(below[middle - 1]) if middle else 0.0
    share = (0.5 - before) / max(1e-9, float(below[middle]) - before)
    return 1.4826 / math.sqrt(2) * max(0.0, middle - 0.5 + share)


def plain(grey: Grey, _module: float) -> Grey:
    """Leave the picture as it is."""
    return grey


def smooth(grey: Grey, module: float) -> Grey:
    """Take sensor noise away without joining neighbouring modules."""
    return np.asarray(cv2.GaussianBlur(grey, (0, 0), max(0.5, 0.22 * module)), np.uint8)


def median(grey: Grey, module: float) -> Grey:
    """Take single bright or dark pixels away; keeps edges."""
    return np.asarray(cv2.medianBlur(grey, odd(0.6 * module)), np.uint8)


def threshold(grey: Grey, module: float) -> Grey:
    """Paper or ink, each pixel against the mean of nine modules round it."""
    block = odd(9 * module, 11)
    way = cv2.ADAPTIVE_THRESH_MEAN_C
    return np.asarray(cv2.adaptiveThreshold(grey, 255, way, cv2.THRESH_BINARY, block, 3), np.uint8)


def smooth_threshold(grey: Grey, module: float) -> Grey:
    """Take the noise away first, then decide paper or ink."""
    return threshold(smooth(grey, module), module)


def evened(grey: Grey, module: float) -> Grey:
    """Give every part the same mean and contrast, whatever light fell on it."""
    picture = cv2.GaussianBlur(grey, (0, 0), max(0.5, 0.18 * module)).astype(np.float32)
    window = (odd(12 * module),) * 2
    mean = cv2.blur(picture, window)
    spread = np.sqrt(np.maximum(cv2.blur(picture * picture, window) - mean * mean, 0)) + 4
    even = 128 + (picture - mean) / spread * 60
    return np.asarray(np.clip(even, 0, 255), np.uint8)


def sharpened(grey: Grey, module: float) -> Grey:
    """Undo a soft lens: add back what a blur of half a module takes away, four times."""
    soft = cv2.GaussianBlur(grey, (0, 0), max(0.6, 0.5 * module))
    return np.asarray(cv2.addWeighted(grey, 5.0, soft, -4.0, 0), np.uint8)


def deconvolved(grey: Grey, module: float) -> Grey:
    """Undo a blur of half a module as far as the noise allows (Wiener's filter)."""
    height, width = grey.shape
    across = np.fft.rfftfreq(width)[None, :]
    along = np.fft.fftfreq(height)[:, None]
    lens = np.exp(-2 * (np.pi * 0.5 * module) ** 2 * (across**2 + along**2))
    sharp = np.fft.rfft2(grey.astype(np.float32)) * lens / (lens * lens + 0.003)
    return np.asarray(np.clip(np.fft.irfft2(sharp, s=(height, width)), 0, 255), np.uint8)


def inverted(grey: Grey, _module: float) -> Grey:
    """Make light labels on dark of dark ones on light: zbar reads only those."""
    return np.asarray(255 - grey, np.uint8)


def contrasted(grey: Grey, _module: float) -> Grey:
    """Stretch contrast tile by tile (CLAHE)."""
    return np.asarray(cv2.createCLAHE(4.0, (8, 8)).apply(grey), np.uint8)


def turned(grey: Grey, angle: float) -> tuple[Grey, NDArray[np.float64]]:
    """Return the picture turned about its middle and the matrix that turns points back."""
    height, width = grey.shape
    matrix = cv2.getRotationMatrix2D((width / 2, height / 2), angle, 1.0)
    rim = int(np.median(grey))
    picture = cv2.warpAffine(grey, matrix, (width, height), borderValue=rim)
    back = np.asarray(cv2.invertAffineTransform(matrix), np.float64)
    return np.asarray(picture, np.uint8), back
