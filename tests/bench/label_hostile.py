"""Files made to hurt a reader, each read by a process of its own: processor time and peak memory.

Linux only: the peak is what the kernel says of the process.

What they attack: pixels (50 megapixels of three kinds, 16 bits, see-through), drawings full of
marks or codes, noise, bars and rings, hundreds of notes, packed text of 200 MB, many frames.
"""

from __future__ import annotations

import json
import struct
import subprocess
import sys
import tempfile
import zlib
from collections.abc import Callable, Iterator
from io import BytesIO
from pathlib import Path
from typing import Any, Final

import cv2
import numpy as np
import segno
from PIL import Image

from server.labels.mend import mark_pattern

ROOT: Final = Path(__file__).resolve().parents[2]
MOST_SECONDS: Final = 1.0
MOST_MEGABYTES: Final = 300
# Started anew for each file: its imports are not counted as time, but are as memory.
PROBE: Final = """
import json, sys, time
from server.labels.answering import answer
from server.labels.photo_header import Header, inspect
from server.labels.reading import Limits
data, limits, begin = open(sys.argv[1], "rb").read(), Limits(), time.process_time()
header, labels = inspect(data, limits), None
if isinstance(header, Header):
    effort = limits.effort(header.width * header.height)
    size = {"kind": header.kind, "width": header.width, "height": header.height}
    labels = len(answer({"do": "read", "cpu_seconds": effort, **size}, data).get("readings", []))
# not ru_maxrss: it starts with what the process that started this one had
lines = open("/proc/self/status").read().splitlines()
peak = next(int(line.split()[1]) for line in lines if line.startswith("VmHWM")) / 1000
print(json.dumps({"seconds": time.process_time() - begin, "megabytes": peak, "labels": labels}))
"""


def measure() -> dict[str, dict[str, Any]]:
    """Return what each file costs: seconds of processor time, peak megabytes, labels read."""
    found: dict[str, dict[str, Any]] = {}
    with tempfile.TemporaryDirectory() as folder:
        for name, data in files():
            file = Path(folder) / name
            file.write_bytes(data)
            command = [sys.executable, "-c", PROBE, str(file)]
            done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
            found[name] = json.loads(done.stdout)
    return found


def missed(found: dict[str, dict[str, Any]]) -> list[str]:
    """Return the files that cost too much, in words."""
    return [
        f"{name}: {cost['seconds']:.2f} s, {cost['megabytes']:.0f} MB"
        for name, cost in found.items()
        if cost["seconds"] > MOST_SECONDS or cost["megabytes"] > MOST_MEGABYTES
    ]


def files() -> Iterator[tuple[str, bytes]]:
    """Yield each file's name and bytes."""
    yield "grey 49 MP.png", png(np.zeros((7000, 7000), np.uint8))
    yield "colour 49 MP.png", png(np.zeros((7000, 7000, 3), np.uint8))
    yield "16 bits 24 MP.png", png(np.zeros((4900, 5000, 3), np.uint16))
    yield "16 bits 49 MP.png", png(np.zeros((7000, 7000), np.uint16))
    yield "see-through 25 MP.png", png(np.zeros((5000, 5000, 4), np.uint8))
    yield "50 MP.jpg", saved(lambda: Image.new("RGB", (8100, 6200)), "JPEG", progressive=True)
    yield "CMYK.jpg", saved(lambda: Image.new("CMYK", (4000, 3000)), "JPEG")
    yield "25 MP.webp", saved(lambda: Image.new("RGB", (5000, 5000)), "WEBP", lossless=True)
    yield "tall.png", saved(lambda: Image.new("1", (1, 65_535)), "PNG")
    noise = np.random.default_rng(1).integers(0, 256, (3000, 4000), np.uint8)
    yield "noise.png", png(noise)
    yield "bars.png", png(np.repeat(noise[:1], 3000, axis=0))
    mark = np.asarray(mark_pattern(2))
    yield "marks.png", png(tiled(mark, 3, 86))
    code = np.array([list(row) for row in segno.make_qr("PW-031-7").matrix_iter()], np.uint8)
    yield "codes.png", png(tiled(255 - 255 * code, 2, 60))
    rings = np.zeros((3000, 3000), np.uint8)
    for inset in range(0, 1500, 4):
        cv2.rectangle(rings, (inset, inset), (3000 - inset, 3000 - inset), 255, 2)
    yield "rings.png", png(rings)
    small = saved(lambda: Image.new("L", (60, 60)), "JPEG")
    note = b"\xff\xe1" + struct.pack(">H", 65_535) + b"Exif\0\0" + bytes(65_527)
    yield "notes.jpg", small[:2] + note * 500 + small[2:]
    bare = png(np.zeros((60, 60), np.uint8))
    text = b"zTXt" + b"k\0\0" + zlib.compress(bytes(200_000_000), 9)
    packed = struct.pack(">I", len(text) - 4) + text + struct.pack(">I", zlib.crc32(text))
    yield "packed text.png", bare[:33] + packed + bare[33:]
    frame = Image.new("L", (400, 400))
    more = [Image.new("L", (400, 400), grey) for grey in range(1, 200)]
    yield "frames.png", saved(lambda: frame, "PNG", save_all=True, append_images=more)


def png(pixels: np.typing.NDArray[Any]) -> bytes:
    """Return a PNG, packed quickly."""
    done, data = cv2.imencode(".png", pixels, [cv2.IMWRITE_PNG_COMPRESSION, 1])
    assert done
    return data.tobytes()


def tiled(pattern: np.typing.NDArray[np.uint8], scale: int, count: int) -> Any:
    """Return a pattern, enlarged, so many times across and down."""
    return np.tile(np.kron(pattern, np.ones((scale, scale), np.uint8)), (count, count))


def saved(draw: Callable[[], Image.Image], kind: str, **options: Any) -> bytes:
    """Return a drawing as a file of a kind."""
    file = BytesIO()
    draw().save(file, kind, **options)
    return file.getvalue()
