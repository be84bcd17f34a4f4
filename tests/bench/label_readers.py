"""Three readers measured side by side: ours, and each of the two general decoders alone."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, Final

import numpy as np
import zxingcpp
from pyzbar import pyzbar

from server.labels.answering import answer
from server.labels.decode import Damaged, upright_grey
from server.labels.photo_header import Header, inspect
from server.labels.reading import Limits, Refused

LIMITS: Final = Limits()
Texts = list[str]
Read = Callable[[bytes, Header], Texts]


def ours(data: bytes, header: Header) -> Texts:
    """Decode and climb the ladder, just as the worker process does."""
    request: dict[str, Any] = {
        "do": "read",
        "kind": header.kind,
        "width": header.width,
        "height": header.height,
        "cpu_seconds": LIMITS.effort(header.width * header.height),
    }
    return [reading["text"] for reading in answer(request, data).get("readings", [])]


def zbar_alone(data: bytes, header: Header) -> Texts:
    """Use pyzbar as it comes, asked for the same two symbologies."""
    kinds = [pyzbar.ZBarSymbol.QRCODE, pyzbar.ZBarSymbol.CODE128]
    found = pyzbar.decode(upright_grey(data, header), symbols=kinds)
    return [one.data.decode("utf-8", "replace") for one in found]


def zxing_alone(data: bytes, header: Header) -> Texts:
    """Use zxing-cpp as it comes, asked for the same two symbologies."""
    kinds = zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.QRCode, zxingcpp.BarcodeFormat.Code128])
    plain = zxingcpp.TextMode.Plain
    found = zxingcpp.read_barcodes(upright_grey(data, header), formats=kinds, text_mode=plain)
    return [one.text for one in found]


READERS: Final[dict[str, Read]] = {
    "ours": ours,
    "pyzbar alone": zbar_alone,
    "zxing-cpp alone": zxing_alone,
}


@dataclass(slots=True)
class Score:
    """What one reader did on one set of photos."""

    due: int = 0
    read: int = 0
    wrong: list[str] = field(default_factory=list)
    missed: list[str] = field(default_factory=list)
    milliseconds: list[float] = field(default_factory=list)

    @property
    def share(self) -> float:
        return self.read / self.due if self.due else 1.0

    def add(self, other: Score) -> None:
        self.due += other.due
        self.read += other.read
        self.wrong += other.wrong
        self.missed += other.missed
        self.milliseconds += other.milliseconds

    def as_json(self) -> dict[str, Any]:
        times = self.milliseconds or [0.0]
        return {
            "due": self.due,
            "read": self.read,
            "share": round(self.share, 4),
            "wrong": self.wrong,
            "missed": self.missed,
            "milliseconds_mean": round(float(np.mean(times)), 1),
            "milliseconds_p90": round(float(np.percentile(times, 90)), 1),
            "milliseconds_worst": round(max(times), 1),
        }


def try_photo(
    name: str, data: bytes, read: Read, due: set[str], also: frozenset[str] = frozenset()
) -> Score:
    """Let one reader read one photo; `also` are texts that are there but not asked for."""
    header = inspect(data, LIMITS)
    start = time.process_time()
    try:
        texts = set() if isinstance(header, Refused) else set(read(data, header))
    except Damaged:
        texts = set()
    taken = (time.process_time() - start) * 1000
    return Score(
        due=len(due),
        read=len(due & texts),
        wrong=[f"{name}: {text}" for text in sorted(texts - due - also)],
        missed=[f"{name}: {text}" for text in sorted(due - texts)],
        milliseconds=[taken],
    )
