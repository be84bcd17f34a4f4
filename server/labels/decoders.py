"""The two general decoders behind one form: a grey picture in, readings with four corners out.

Only QR and Code 128 are asked for: our labels carry nothing else, and every further symbology is
one more way to read something where nothing is. `read_every_kind` asks for all of them, for tags of
other systems: what it reads counts only where it is known. zbar turns other alphabets and Code
128's extended characters into wrong text (seen on outside photos), so of it only plain ASCII is
taken.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

import numpy as np
import zxingcpp
from numpy.typing import NDArray

from server.labels.prepare import Grey
from server.labels.reading import Symbology

try:
    from pyzbar import pyzbar
except ImportError:  # the system library libzbar is not there: zxing-cpp works on alone
    pyzbar = None


def zbar_is_there() -> bool:
    """Say whether the second decoder can be used on this machine."""
    return pyzbar is not None


Quad = NDArray[np.float64]
ZBAR_MISSING: Final = "pyzbar could not find libzbar: photos are read by zxing-cpp alone"
# Scan lines that agree on a Code 128, whose check character passes one wrong line in 103: of
# 493 reads with two lines and more none was wrong, of 71 with one line three (drawn bar codes).
LEAST_LINES: Final = 2
_FORMATS: Final = zxingcpp.BarcodeFormats(
    [zxingcpp.BarcodeFormat.QRCode, zxingcpp.BarcodeFormat.Code128]
)
_NAMES: Final[dict[zxingcpp.BarcodeFormat, Symbology]] = {
    zxingcpp.BarcodeFormat.QRCode: "QR",
    zxingcpp.BarcodeFormat.QRCodeModel2: "QR",
    zxingcpp.BarcodeFormat.QRCodeModel1: "QR",
    zxingcpp.BarcodeFormat.Code128: "Code 128",
}


@dataclass(frozen=True, slots=True)
class Found:
    """What a decoder read, its corners in the picture it was given."""

    text: str
    symbology: Symbology
    quad: Quad
    reader: str
    rung: str = ""
    x: float = field(init=False)
    y: float = field(init=False)
    size: float = field(init=False)

    def __post_init__(self) -> None:
        """Work out the middle and the longest side once: places are compared very often."""
        corners = self.quad.tolist()
        sides = [math.dist(corners[i], corners[i - 1]) for i in range(4)]
        object.__setattr__(self, "x", sum(x for x, _ in corners) / 4)
        object.__setattr__(self, "y", sum(y for _, y in corners) / 4)
        object.__setattr__(self, "size", max(sides))


def read_zxing(grey: Grey) -> list[Found]:
    """Read every QR and Code 128 with zxing-cpp."""
    found = zxingcpp.read_barcodes(grey, formats=_FORMATS, text_mode=zxingcpp.TextMode.Plain)
    # asked for QR, it gives Micro QR as well
    return _found([result for result in found if result.format in _NAMES])


def read_every_kind(grey: Grey) -> list[Found]:
    """Read bar codes of every kind with zxing-cpp."""
    return _found(zxingcpp.read_barcodes(grey, text_mode=zxingcpp.TextMode.Plain))


def _found(results: Sequence[zxingcpp.Barcode]) -> list[Found]:
    found = []
    for result in results:
        place = result.position
        corners = (place.top_left, place.top_right, place.bottom_right, place.bottom_left)
        quad = np.array([(corner.x, corner.y) for corner in corners], np.float64)
        name = _NAMES.get(result.format) or str(result.format).rpartition(".")[2]
        if result.valid and result.text:
            found.append(Found(result.text, name, quad, "zxing-cpp"))
    return found


def read_zbar(grey: Grey) -> list[Found]:
    """Read every QR and Code 128 with zbar; text beyond plain ASCII is left out."""
    if pyzbar is None:
        return []
    kinds = [pyzbar.ZBarSymbol.QRCODE, pyzbar.ZBarSymbol.CODE128]
    found = []
    for result in pyzbar.decode(grey, symbols=kinds):
        text = result.data.decode("utf-8", "replace")
        if not text or not text.isascii():
            continue
        name: Symbology = "QR" if result.type == "QRCODE" else "Code 128"
        if name == "Code 128" and result.quality < LEAST_LINES:
            continue
        found.append(Found(text, name, _zbar_quad(result), "pyzbar"))
    return found


def _zbar_quad(result: pyzbar.Decoded) -> Quad:
    """Return zbar's outline as four corners: its polygon if it is one, else its rectangle."""
    if len(result.polygon) == 4:
        return np.array([(p.x, p.y) for p in result.polygon], np.float64)
    left, top, width, height = result.rect
    right, bottom = left + max(width, 1), top + max(height, 1)
    return np.array([(left, top), (right, top), (right, bottom), (left, bottom)], np.float64)
