"""Hostile uploads through the API: photos of two kinds, packed and odd bodies, long and wild CSV.

Refusals of the decoder itself are in tests/labels/test_refusals.py, of CSV cells in
tests/service/test_office_csv_fuzz.py. Drawn from a seed: the same files every time.
"""

from __future__ import annotations

import gzip
import random
import struct
import time
import zlib
from collections.abc import Callable
from typing import Any, Final

import pytest

from tests.api.test_pictures import chunk, label, png
from tests.support.app import SENT, Bench

SHOW: Final = "/api/shows/demo"
TAKEN: Final = {200, 201, 413, 415, 422, 503}


def jpeg(width: int, height: int) -> bytes:
    """Return the markers of a JPEG of this size (ISO/IEC 10918-1, B.2) without a picture."""
    frame = struct.pack(">BHHB", 8, height, width, 1) + b"\x01\x11\x00"
    return b"\xff\xd8\xff\xc0" + struct.pack(">H", 2 + len(frame)) + frame + b"\xff\xd9"


def packed_text(keyword: bytes, size: int) -> bytes:
    """Return a PNG chunk of text that unpacks to `size` bytes (ISO/IEC 15948, 11.3.4.3)."""
    return chunk(b"zTXt", keyword + b"\0\0" + zlib.compress(b"A" * size, 9))


def with_chunk(content: bytes, extra: bytes) -> bytes:
    """Return a PNG with one more chunk behind its header."""
    return content[:33] + extra + content[33:]


# what is sent → content, type it is called
HOSTILE: dict[str, tuple[bytes, str]] = {
    "a PNG of no width": (png(1, 1).replace(struct.pack(">II", 1, 1), bytes(8), 1), "image/png"),
    "a PNG of 2^31 by 2^31": (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", struct.pack(">IIBBBBB", 2**31 - 1, 2**31 - 1, 8, 6, 0, 0, 0))
        + chunk(b"IEND", b""),
        "image/png",
    ),
    "a JPEG of 65535 by 65535": (jpeg(65_535, 65_535), "image/jpeg"),
    "a JPEG of no height": (jpeg(100, 0), "image/jpeg"),
    "a JPEG that ends in its frame": (jpeg(100, 100)[:12], "image/jpeg"),
    "a JPEG segment longer than the file": (b"\xff\xd8\xff\xe1\xff\xff" + b"x", "image/jpeg"),
    "a PNG chunk that says it has 4 GB": (
        png(4, 4)[:33] + b"\xff\xff\xff\xffIDAT" + b"x" * 10, "image/png",
    ),
    "a PNG whose text unpacks to 50 MB": (
        with_chunk(png(4, 4), packed_text(b"Comment", 50_000_000)), "image/png",
    ),
    "a PNG whose data unpacks to 40 MB for 16 pixels": (
        png(4, 4)[:33] + chunk(b"IDAT", zlib.compress(bytes(40_000_000), 9)) + chunk(b"IEND", b""),
        "image/png",
    ),
    "a PNG whose checksum is wrong": (png(4, 4)[:-6] + b"\0" + png(4, 4)[-5:], "image/png"),
    "an SVG with a script": (b"<svg xmlns='x'><script>1</script></svg>", "image/png"),
    "a GIF": (b"GIF89a" + struct.pack("<HH", 9, 9) + b"\0\0\0;", "image/png"),
    "a zip": (b"PK\x03\x04" + bytes(60), "image/png"),
    "a PDF": (b"%PDF-1.7\n", "image/jpeg"),
}  # fmt: skip


@pytest.mark.parametrize("where", ["photos?id=photo-hostile", "read"])
@pytest.mark.parametrize("what", HOSTILE)
def test_a_hostile_photo_is_answered_soon_and_breaks_nothing(
    quick: Bench, what: str, where: str
) -> None:
    content, kind = HOSTILE[what]
    bo = quick.phone("Bo")
    begun = time.monotonic()
    answer = bo.send(f"{SHOW}/{where}", content, kind)
    assert answer.status_code in TAKEN, answer.text
    assert "Traceback" not in answer.text and time.monotonic() - begun < 15
    assert bo.get(f"{SHOW}/notes").status_code == 200


@pytest.mark.parametrize(
    "tail", [b"<script>alert(1)</script>", b"PK\x05\x06" + bytes(18), b"%PDF-1.7", b"<?php 1 ?>"],
    ids=["a page", "a zip", "a PDF", "a program"],
)  # fmt: skip
def test_of_a_file_that_is_two_things_only_the_photo_is_kept(quick: Bench, tail: bytes) -> None:
    bo = quick.phone("Bo")
    assert (
        bo.send(f"{SHOW}/photos?id=photo-double", png(4, 4) + tail, "image/png").status_code == 200
    )
    back = bo.get(f"{SHOW}/photos/photo-double")
    assert back.mimetype == "image/jpeg" and back.headers["X-Content-Type-Options"] == "nosniff"
    assert tail not in back.data
    assert "sandbox" in back.headers["Content-Security-Policy"]


def test_packed_bodies_are_not_unpacked(quick: Bench) -> None:
    bomb = gzip.compress(bytes(30_000_000))
    http = quick.app.test_client()
    headers = {**SENT, "Content-Encoding": "gzip", "Content-Type": "application/json"}
    begun = time.process_time()
    assert http.post("/api/join", data=bomb, headers=headers).status_code in {400, 415}
    assert time.process_time() - begun < 0.5


def test_a_parameter_given_twice_is_taken_once(quick: Bench) -> None:
    bo = quick.phone("Bo")
    kept = bo.send(f"{SHOW}/photos?id=photo-first&id=../../second", png(4, 4), "image/png")
    assert kept.get_json() == {"photo": "photo-first"}
    twice = '{"code": "WRONG", "code": "CODE", "name": "Bo", "device": "device-two"}'
    answer = quick.app.test_client().post(
        "/api/join",
        data=twice.replace("CODE", quick.code),
        content_type="application/json",
        headers=SENT,
    )
    assert answer.status_code == 200  # the last one counts, everywhere: one parser, one reading


def form(boundary: bytes, name: bytes, content: bytes) -> bytes:
    """Return a multipart body (RFC 7578) of one part."""
    head = b"--" + boundary + b"\r\nContent-Disposition: form-data; " + name + b"\r\n\r\n"
    return head + content + b"\r\n--" + boundary + b"--\r\n"


# what is sent as a form → content type, body
FORMS: dict[str, tuple[str, bytes]] = {
    "a photo in a form": (
        "multipart/form-data; boundary=b", form(b"b", b'name="f"; filename="x.png"', png(4, 4))
    ),
    "a path as file name": (
        "multipart/form-data; boundary=b", form(b"b", b'name="f"; filename="../../x"', b"1")
    ),
    "no boundary": ("multipart/form-data", b"--b\r\n\r\n"),
    "a boundary without end": (f"multipart/form-data; boundary={'b' * 5000}", b"x"),
    "ten thousand parts": (
        "multipart/form-data; boundary=b", form(b"b", b'name="f"', b"1")[:-7] * 10_000
    ),
    "a line without end": ("multipart/form-data; boundary=b", b"--b\r\n" + b"x" * 900_000),
    "fields in the address's form": ("application/x-www-form-urlencoded", b"a=1&" * 200_000),
}  # fmt: skip


@pytest.mark.parametrize("what", FORMS)
def test_no_form_is_taken_anywhere(quick: Bench, what: str) -> None:
    kind, body = FORMS[what]
    owner = quick.owner()
    bo = quick.phone("Bo")
    begun = time.process_time()
    for caller, path in ((bo, f"{SHOW}/photos"), (owner, "/api/cases/import"), (bo, "/api/join")):
        assert caller.send(path, body, kind).status_code == 415, path
    assert time.process_time() - begun < 1.5


def wild(dice: random.Random, good: bytes) -> bytes:
    """Return a file with bytes changed, cut, doubled or swapped."""
    broken = bytearray(good)
    ways: list[Callable[[int], Any]] = [
        lambda at: broken.__setitem__(at, dice.randrange(256)),
        lambda at: broken.__delitem__(slice(at, at + dice.randrange(1, 40))),
        lambda at: broken.__setitem__(slice(at, at), broken[: dice.randrange(1, 60)]),
        lambda at: broken.__setitem__(slice(at, at + 4), b"\xff\xff\xff\xff"),
    ]
    for _ in range(dice.randint(1, 8)):
        dice.choice(ways)(dice.randrange(len(broken)))
    return bytes(broken)


def test_wild_photos_of_cases_are_kept_or_refused_and_the_server_goes_on(
    quick: Bench, tmp_path: Any
) -> None:
    dice, good, owner = random.Random(11), label("PW-001-J", tmp_path), quick.owner()
    for _ in range(12):
        answer = owner.send("/api/cases/PW-001-J/photos", wild(dice, good), "image/png")
        assert answer.status_code in TAKEN, answer.text
    assert owner.get("/api/cases/PW-001-J/photos").status_code == 200


def test_wild_fleet_files_are_told_by_cell_or_taken_whole(quick: Bench) -> None:
    owner = quick.owner()
    dice, good = random.Random(5), owner.get("/api/cases.csv").data
    before = owner.read("/api/cases")
    for _ in range(25):
        answer = owner.send("/api/cases/import?dry_run=true", wild(dice, good), "text/csv")
        assert answer.status_code in {200, 413, 422}, answer.text
        assert answer.status_code != 422 or answer.get_json()["detail"]
    assert owner.read("/api/cases") == before


@pytest.mark.untraced
def test_a_hundred_thousand_lines_are_refused_within_seconds_and_leave_the_fleet(
    quick: Bench,
) -> None:
    owner = quick.owner()
    head = b"code,name,department,home,length,width,height,mass\n"
    wrong = head + b"PW-001-J,x,power,B2,45,22.5,30,420\n" * 100_001
    begun = time.process_time()
    answer = owner.send("/api/cases/import", wrong, "text/csv")
    assert answer.status_code in {413, 422} and len(answer.data) < 200_000
    assert time.process_time() - begun < 20
    assert owner.send("/api/cases/import", b"x" * 40_000_001, "text/csv").status_code == 413
    assert len(owner.read("/api/cases")) == 73
