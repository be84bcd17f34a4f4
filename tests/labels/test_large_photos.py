"""Photos of iPhones, very large ones, and those that are too hard: read, halved or refused."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
from PIL import Image

from server.labels.photo_worker import OUT_OF_EFFORT
from server.labels.reader import DEFAULT_LIMITS, PhotoReader, small_photo
from server.labels.reading import PhotoReading, Refused
from tests.labels.test_reader import as_bytes, label_picture, middle, read

ROOT = Path(__file__).resolve().parents[2]


def test_a_photo_that_takes_too_much_processor_time_is_refused_as_too_hard() -> None:
    reader = PhotoReader(workers=1)
    noise = np.random.default_rng(2).integers(0, 255, (1500, 2000)).astype(np.uint8)
    try:
        hard = replace(DEFAULT_LIMITS, most_cpu_seconds=1, cpu_seconds=30)
        slow = reader.read(as_bytes(Image.fromarray(noise)), hard)
        ended = isinstance(slow, Refused) and slow.kind == "too slow"
        assert ended == bool(OUT_OF_EFFORT)  # where the system can limit processor time
        assert isinstance(reader.read(as_bytes(label_picture()), DEFAULT_LIMITS), PhotoReading)
    finally:
        reader.close()


def test_an_iphone_photo_is_read() -> None:
    """The fixture was made by libheif and x265 (package pillow-heif) of a drawn label."""
    photo = (ROOT / "fixtures/labels/label.heic").read_bytes()
    assert [reading.text for reading in read(photo).readings] == ["PW-031-7"]
    small = small_photo(photo)
    assert isinstance(small, bytes) and small.startswith(b"\xff\xd8")


def test_a_photo_of_50_megapixels_is_halved_and_read() -> None:
    sheet = Image.new("L", (8192, 6144), 210)
    sheet.paste(label_picture(scale=10), (400, 300))
    for data in (as_bytes(sheet, "JPEG"), as_bytes(sheet, compress_level=1)):
        answer = read(data)
        assert [reading.text for reading in answer.readings] == ["PW-031-7"]
        assert (answer.width, answer.height) == (8192, 6144)
        assert np.linalg.norm(middle(answer.readings[0].box) - [545, 445]) < 10
