"""Photos: kept once, bounded before anything is decoded, read for labels, never a crash."""

from __future__ import annotations

import random
import struct
import time
import zlib
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from tests.support.app import Bench

SHOW = "/api/shows/demo"


def chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def png(width: int, height: int) -> bytes:
    """Return a grey PNG (ISO/IEC 15948) of this size, packed small."""
    header = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    packer = zlib.compressobj(9)
    row = b"\0" * (width + 1)
    body = b"".join(packer.compress(row) for _ in range(height)) + packer.flush()
    signature = b"\x89PNG\r\n\x1a\n"
    return signature + chunk(b"IHDR", header) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


def label(code: str, folder: Path) -> bytes:
    """Return a photo of one printed code."""
    import segno

    file = folder / "label.png"
    segno.make_qr(code, error="m").save(str(file), scale=8, border=4)
    return file.read_bytes()


def test_a_photo_is_kept_under_its_name_and_twice_is_once(bench: Bench) -> None:
    bo, picture = bench.phone("Bo"), png(4, 3)
    for content in (picture, picture, png(5, 5)):
        kept = bo.send(f"{SHOW}/photos?id=photo-12345", content, "image/png")
        assert kept.get_json() == {"photo": "photo-12345"}
    back = bench.phone("Cy").get(f"{SHOW}/photos/photo-12345")
    with Image.open(BytesIO(back.data)) as stored:
        assert stored.size == (4, 3) and stored.format == "JPEG" and back.mimetype == "image/jpeg"
    assert "immutable" in back.headers["Cache-Control"]
    assert bo.get(f"{SHOW}/photos/other-12345").status_code == 404


# what is sent → content, type, status
WRONG = {
    "a text called a photo": (b"hello", "image/png", 415),
    "a page called a photo": (b"<html><script>1</script>", "image/jpeg", 415),
    "a photo called a text": (png(4, 3), "text/plain", 415),
    "nothing": (b"", "image/png", 422),
    "a header and no more": (b"\x89PNG\r\n\x1a\n", "image/png", 422),
    "a bomb of 400 megapixels": (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", struct.pack(">IIBBBBB", 20_000, 20_000, 8, 0, 0, 0, 0))
        + chunk(b"IDAT", zlib.compress(b"\0" * 1000))
        + chunk(b"IEND", b""),
        "image/png",
        413,
    ),
    "more bytes than are taken": (png(4, 3) + b"\0" * 25_100_000, "image/png", 413),
}


@pytest.mark.parametrize("where", ["photos", "read"])
@pytest.mark.parametrize("what", WRONG)
def test_what_is_no_photo_is_refused_at_once(quick: Bench, what: str, where: str) -> None:
    content, kind, status = WRONG[what]
    bo = quick.phone("Bo")
    begun = time.process_time()
    answer = bo.send(f"{SHOW}/{where}", content, kind)
    assert answer.status_code in {status, 415} and answer.status_code < 500, answer.text
    assert time.process_time() - begun < 0.5


def test_a_name_that_is_a_path_is_refused(quick: Bench) -> None:
    bo = quick.phone("Bo")
    for name in ("../../x", "a", "x" * 65, "a b c d e f g h"):
        answer = bo.send(f"{SHOW}/photos?id={name}", png(4, 3), "image/png")
        assert answer.status_code == 422, name


def test_labels_in_a_photo_are_read_and_known_ones_are_told(quick: Bench, tmp_path: Path) -> None:
    bo = quick.phone("Bo")
    for code, known in (("PW-001-J", True), ("hello there", False)):
        answer = bo.send(f"{SHOW}/read", label(code, tmp_path), "image/png").get_json()
        (reading,) = answer["readings"]
        assert reading["text"] == code and reading["known"] is known and len(reading["box"]) == 4


@pytest.mark.parametrize("kind", ["image/heic", "application/octet-stream"])
def test_an_iphone_photo_is_read_whatever_type_the_phone_gives_it(quick: Bench, kind: str) -> None:
    photo = (Path(__file__).parents[2] / "fixtures/labels/label.heic").read_bytes()
    answer = quick.phone("Bo").send(f"{SHOW}/read", photo, kind).get_json()
    assert [one["text"] for one in answer["readings"]] == ["PW-031-7"]
    assert (answer["width"], answer["height"]) == (348, 174)


def test_what_is_no_photo_is_answered_with_the_kinds_that_are(quick: Bench) -> None:
    answer = quick.phone("Bo").send(f"{SHOW}/read", b"hello", "text/plain")
    assert answer.get_json()["detail"] == "Expected a photo: JPEG, PNG, WebP, HEIC or AVIF."


def test_broken_photos_by_the_dozen_never_break_the_server(quick: Bench, tmp_path: Path) -> None:
    """Bytes of a good photo are changed, cut and repeated at random, always the same way."""
    chance, good, bo = random.Random(7), label("PW-001-J", tmp_path), quick.phone("Bo")
    for _ in range(25):
        broken = bytearray(good)
        for _ in range(chance.randint(1, 12)):
            broken[chance.randrange(len(broken))] = chance.randrange(256)
        if chance.random() < 0.4:
            del broken[chance.randrange(len(broken)) :]
        answer = bo.send(f"{SHOW}/read", bytes(broken), "image/png")
        assert answer.status_code in {200, 413, 415, 422, 503}, answer.text
