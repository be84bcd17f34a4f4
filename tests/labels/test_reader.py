"""Photos read: outside photos of two decoder projects, rows of our own, and files that are refused.

The outside photos and their texts are test data of the libraries zxing and zxing-cpp (Apache-2.0):
fixtures/labels/outside/README.md. `python3 tests bench labels` reads the whole of both sets.
"""

from __future__ import annotations

import threading
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import cv2
import numpy as np
import pytest
import segno
from numpy.typing import NDArray
from PIL import Image

from server.labels.reader import DEFAULT_LIMITS, PhotoReader, read_photo
from server.labels.reading import PhotoReading, Refused
from tests.bench.label_outside import NEGATIVES, ODD, PHOTOS, expected_text
from tests.bench.label_scenes import Light, Scene, Trials, draw_scene

ROOT = Path(__file__).resolve().parents[2]
OUTSIDE = ROOT / "fixtures/labels/outside"
NEGATIVES_1 = f"{NEGATIVES}-1"


def read(data: bytes) -> PhotoReading:
    answer = read_photo(data)
    assert isinstance(answer, PhotoReading), answer
    return answer


def as_bytes(image: Image.Image, kind: str = "PNG", **options: object) -> bytes:
    file = BytesIO()
    image.save(file, kind, **options)
    return file.getvalue()


def label_picture(text: str = "PW-031-7", scale: int = 6) -> Image.Image:
    file = BytesIO()
    segno.make_qr(text, error="q").save(file, kind="png", scale=scale, border=4)
    return Image.open(file).convert("L")


def test_outside_photos_are_read_and_none_wrongly() -> None:
    due, seen, wrong = [], [], list[str]()
    for photo in sorted(path for path in OUTSIDE.rglob("*") if path.suffix in PHOTOS):
        text = expected_text(photo)
        if text is None:
            continue
        key = f"{photo.parent.name}/{photo.stem}"
        texts = {reading.text for reading in read(photo.read_bytes()).readings}
        due.append(key)
        seen += [key] * bool(texts & ({text} | ODD.get(key, frozenset())))
        wrong += [f"{key}: {t}" for t in texts - {text} - ODD.get(key, frozenset())]
    assert len(due) == 13 and seen == due
    assert wrong == []


def test_nothing_is_read_where_nothing_is() -> None:
    photos = [path for path in (OUTSIDE / NEGATIVES_1).iterdir() if path.suffix in PHOTOS]
    assert len(photos) > 15
    assert [p.name for p in photos if read(p.read_bytes()).readings] == []


def test_four_codes_in_one_photo_are_all_read() -> None:
    texts = [f"PW-03{number}-7" for number in range(4)]
    labels = [label_picture(text) for text in texts]
    side = max(label.width for label in labels) + 20
    sheet = Image.new("L", (2 * side, 2 * side), 255)
    for place, one in enumerate(labels):
        sheet.paste(one, (place % 2 * side, place // 2 * side))
    answer = read(as_bytes(sheet))
    assert sorted(reading.text for reading in answer.readings) == texts
    assert {reading.symbology for reading in answer.readings} == {"QR"}


@pytest.mark.parametrize(
    ("light", "module_px", "least"),
    [
        ("good", 4.0, 23),  # 24 labels each; the targets over many scenes are in tests/bench
        ("dock", 5.0, 23),
        ("dark", 6.0, 21),
    ],
)
def test_rows_in_every_light_are_read_and_none_wrongly(
    light: Light, module_px: float, least: int
) -> None:
    count = 0
    for seed in (41, 42):
        scene = draw_scene(Trials(seed, module_px, light))
        texts = {reading.text for reading in read(scene.jpeg).readings}
        assert texts <= set(scene.truth)
        count += len(texts)
    assert count >= least


def middle(corners: object) -> NDArray[np.float64]:
    return np.asarray(np.asarray(corners, float).mean(axis=0), np.float64)


def test_every_box_lies_on_its_label_and_goes_clockwise(scene: Scene) -> None:
    answer = read(scene.jpeg)
    assert len(answer.readings) >= 5
    for reading in answer.readings:
        truth = scene.truth[reading.text]
        side = np.linalg.norm(truth[0] - truth[1])
        assert np.linalg.norm(middle(reading.box) - middle(truth)) < 0.15 * side
        assert cv2.contourArea(np.array(reading.box, np.float32)) > 0.6 * side * side
        assert cv2.contourArea(np.array(reading.box, np.float32), oriented=True) > 0
        assert min(sum(corner) for corner in reading.box) == sum(reading.box[0])


@pytest.fixture(scope="module")
def scene() -> Scene:
    return draw_scene(Trials(7, 6.0, "good", labels=6, glare=0.5))


@pytest.mark.parametrize("orientation", range(1, 9))
def test_exif_orientation_is_honoured(orientation: int, scene: Scene) -> None:
    """The stored picture is laid out as each of the eight EXIF values says (EXIF 2.32, 4.6.4)."""
    upright = Image.fromarray(scene.grey)
    undo = {
        1: None,
        2: Image.Transpose.FLIP_LEFT_RIGHT,
        3: Image.Transpose.ROTATE_180,
        4: Image.Transpose.FLIP_TOP_BOTTOM,
        5: Image.Transpose.TRANSPOSE,
        6: Image.Transpose.ROTATE_90,
        7: Image.Transpose.TRANSVERSE,
        8: Image.Transpose.ROTATE_270,
    }[orientation]
    stored = upright if undo is None else upright.transpose(undo)
    exif = Image.Exif()
    exif[0x0112] = orientation
    answer = read(as_bytes(stored, "JPEG", quality=95, exif=exif))
    assert (answer.width, answer.height) == upright.size
    assert len(answer.readings) >= 5
    for reading in answer.readings:
        assert np.linalg.norm(middle(reading.box) - middle(scene.truth[reading.text])) < 20


@pytest.mark.parametrize(
    "picture",
    [
        label_picture().convert("RGB"),
        label_picture().convert("P"),
        label_picture().convert("1"),
        label_picture().convert("RGBA"),
        Image.fromarray(np.asarray(label_picture(), np.uint16) * 257),  # 16 bits a grey
        Image.merge(
            "LA", [label_picture().point(lambda _: 0), label_picture().point(lambda v: 255 - v)]
        ),
    ],
    ids=["colour", "palette", "one bit", "alpha", "16 bit", "ink on nothing"],
)
def test_every_kind_of_png_is_read(picture: Image.Image) -> None:
    assert [reading.text for reading in read(as_bytes(picture)).readings] == ["PW-031-7"]


@pytest.mark.parametrize(
    ("kind", "options"),
    [("WEBP", {"lossless": True}), ("WEBP", {}), ("JPEG", {}), ("AVIF", {"speed": 10})],
)
def test_other_kinds_of_photo_are_read(kind: str, options: dict[str, object]) -> None:
    data = as_bytes(label_picture().convert("RGB"), kind, **options)
    assert [reading.text for reading in read(data).readings] == ["PW-031-7"]


def test_a_micro_qr_is_never_read() -> None:
    file = BytesIO()
    micro = segno.make("PW-031-7")
    assert micro.is_micro  # what segno makes of a short text unless told otherwise
    micro.save(file, kind="png", scale=8, border=4)
    assert read(file.getvalue()).readings == ()


def test_the_same_code_on_two_cases_gives_two_readings() -> None:
    one = np.asarray(label_picture())
    answer = read(as_bytes(Image.fromarray(np.hstack([one, one]))))
    assert [reading.text for reading in answer.readings] == ["PW-031-7"] * 2


def test_a_spoilt_finder_mark_is_mended() -> None:
    """A whole mark is painted over: neither decoder alone finds the code any more."""
    from server.labels.decoders import read_zbar, read_zxing

    grey = np.array(label_picture(scale=8))
    grey[4 * 8 : 11 * 8, 4 * 8 + 3 * 8 : 11 * 8] = 255  # right half of the first mark is glare
    noisy = np.clip(grey * 0.8 + np.random.default_rng(1).normal(20, 6, grey.shape), 0, 255)
    spoilt = noisy.astype(np.uint8)
    assert read_zxing(spoilt) == [] and read_zbar(spoilt) == []
    answer = read(as_bytes(Image.fromarray(spoilt)))
    assert [reading.text for reading in answer.readings] == ["PW-031-7"]
    assert answer.readings[0].rung.startswith("mended")


def test_a_photo_that_waits_too_long_is_ended_and_the_next_one_is_read() -> None:
    reader = PhotoReader(workers=1)
    data = as_bytes(label_picture())
    try:
        slow = reader.read(data, replace(DEFAULT_LIMITS, wall_seconds=0.01))
        assert isinstance(slow, Refused) and slow.kind == "busy"
        assert isinstance(reader.read(data, DEFAULT_LIMITS), PhotoReading)
    finally:
        reader.close()


def test_a_photo_that_needs_more_memory_than_allowed_is_refused() -> None:
    reader = PhotoReader(workers=1)
    large = as_bytes(Image.new("RGB", (6000, 6000)))
    try:
        answer = reader.read(large, replace(DEFAULT_LIMITS, memory_bytes=250_000_000))
        assert isinstance(answer, Refused) and answer.kind in {"too big", "damaged"}
    finally:
        reader.close()


def test_many_threads_share_two_processes() -> None:
    reader = PhotoReader(workers=2)
    data = as_bytes(label_picture())
    answers: list[PhotoReading | Refused] = []
    threads = [
        threading.Thread(target=lambda: answers.append(reader.read(data, DEFAULT_LIMITS)))
        for _ in range(8)
    ]
    try:
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
    finally:
        reader.close()
    assert len(answers) == 8
    assert all(isinstance(a, PhotoReading) and len(a.readings) == 1 for a in answers)


def bar_code(text: str, module_px: float) -> NDArray[np.uint8]:
    """Draw a Code 128 on paper with the outside library's own writer."""
    import zxingcpp

    drawn = zxingcpp.create_barcode(text, zxingcpp.BarcodeFormat.Code128).to_image(
        add_quiet_zones=True
    )
    line = np.asarray(drawn)[2]
    side = int(len(line) * module_px)
    bars = cv2.resize(line[None], (side, 1), interpolation=cv2.INTER_NEAREST)
    paper = np.full((side + 40, side + 40), 235, np.uint8)
    paper[side // 2 - 30 : side // 2 + 30, 20 : 20 + side] = np.repeat(bars, 60, axis=0)
    return paper


@pytest.mark.parametrize("angle", [0, 25, 45, 70, 90, 160])
def test_a_bar_code_is_read_at_any_angle(angle: float) -> None:
    paper = bar_code("AU-404-C", 3)
    middle_of = (paper.shape[1] / 2, paper.shape[0] / 2)
    matrix = cv2.getRotationMatrix2D(middle_of, angle, 0.9)
    turned = np.asarray(cv2.warpAffine(paper, matrix, paper.shape[::-1], borderValue=235))
    answer = read(as_bytes(Image.fromarray(turned)))
    assert [(r.text, r.symbology) for r in answer.readings] == [("AU-404-C", "Code 128")]


def test_a_bar_code_drowned_in_noise_is_read_by_averaging_along_its_bars() -> None:
    noise = np.random.default_rng(5).normal(0, 45, bar_code("AU-404-C", 3).shape)
    noisy = np.clip(bar_code("AU-404-C", 3) * 0.6 + 40 + noise, 0, 255).astype(np.uint8)
    assert [r.text for r in read(as_bytes(Image.fromarray(noisy))).readings] == ["AU-404-C"]


def test_a_code_out_of_focus_by_half_a_module_is_read() -> None:
    soft = cv2.GaussianBlur(np.asarray(label_picture(scale=7)), (0, 0), 0.55 * 7)
    assert [r.text for r in read(as_bytes(Image.fromarray(soft))).readings] == ["PW-031-7"]
