"""What the decoding process does with one photo: decode, climb the ladder, answer in plain JSON."""

from __future__ import annotations

import base64
import time
from typing import Any, Final

import cv2

from server.labels.decode import FULL_PIXELS, SMALL_SIDE, Damaged, small_jpeg, upright_grey
from server.labels.decoders import ZBAR_MISSING, zbar_is_there
from server.labels.ladder import read_grey
from server.labels.photo_header import Header

# Longest sides: for lists, and as photos of the night are kept (4 megapixels at most).
SIDES: Final = {"small": SMALL_SIDE, "kept": 2_000}
cv2.setNumThreads(1)  # one photo, one core: others wait for theirs


def answer(request: dict[str, Any], data: bytes) -> dict[str, Any]:
    """Read one photo, or make a small one of it; plain JSON, or that it is damaged."""
    header = Header(request["kind"], request["width"], request["height"])
    if request["do"] in SIDES:
        return _small(data, header, SIDES[request["do"]])
    return _read(request, data, header)


def _small(data: bytes, header: Header, side: int) -> dict[str, Any]:
    try:
        return {"jpeg": base64.b64encode(small_jpeg(data, header, side)).decode()}
    except (Damaged, MemoryError) as trouble:
        return {"damaged": type(trouble).__name__}


def _read(request: dict[str, Any], data: bytes, header: Header) -> dict[str, Any]:
    started = time.perf_counter()
    busy = time.process_time()
    try:
        grey = upright_grey(data, header)
    except (Damaged, MemoryError) as trouble:
        return {"damaged": type(trouble).__name__}
    # a very large photo was halved: places are told in the pixels that were sent
    scale = 2 if header.width * header.height > FULL_PIXELS else 1
    effort = request["cpu_seconds"] - (time.process_time() - busy)
    readings = [
        {
            "text": found.text,
            "symbology": found.symbology,
            "quad": (found.quad * scale).tolist(),
            "reader": found.reader,
            "rung": found.rung,
        }
        for found in read_grey(grey, effort, every_kind=request["do"] == "read every kind")
    ]
    return {
        "width": grey.shape[1] * scale,
        "height": grey.shape[0] * scale,
        "readings": readings,
        "milliseconds": round((time.perf_counter() - started) * 1000),
        "notes": [ZBAR_MISSING] if not zbar_is_there() else [],
    }
