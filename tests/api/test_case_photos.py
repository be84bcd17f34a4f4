"""Photos of cases: within the limits of every photo, small in lists, the owner's to remove."""

from __future__ import annotations

import io
import json
from pathlib import Path

from PIL import Image

from server.service.records import Called
from tests.api.test_data_commands import run
from tests.api.test_pictures import WRONG, png
from tests.support.app import Bench, Caller

CASE = "/api/cases/RG-001-Q"
ORIENTATION = 0x0112  # Exif 2.32, table 4


def jpeg(width: int, height: int, *, turned: bool = False) -> bytes:
    """Return a JPEG whose first corner is red; `turned`: its Exif says turn it by 90 degrees."""
    picture = Image.new("RGB", (width, height), "grey")
    picture.paste("red", (0, 0, width // 4, height // 4))
    notes = Image.Exif()
    if turned:
        notes[ORIENTATION] = 6  # the first row is the right-hand side of the scene
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=90, exif=notes)
    return out.getvalue()


def added(owner: Caller, content: bytes, kind: str = "image/jpeg", words: str = "") -> str:
    """Add a photo to the case; return its name."""
    answer = owner.send(f"{CASE}/photos?words={words}", content, kind)
    assert answer.status_code == 201, answer.text
    name: str = json.loads(answer.data)["photo"]
    return name


def test_a_photo_is_kept_as_sent_shown_small_and_upright_and_removed(quick: Bench) -> None:
    owner, content = quick.owner(), jpeg(1200, 800, turned=True)
    name = added(owner, content, words="lid open")
    assert added(owner, content) == name  # twice is once
    told = owner.read(f"{CASE}/photos")
    assert [(one["id"], one["words"]) for one in told["photos"]] == [(name, "lid open")]
    assert list(owner.read("/api/case-photos")) == ["RG-001-Q"]
    whole = owner.get(f"{CASE}/photos/{name}")
    assert whole.data == content and "immutable" in whole.headers["Cache-Control"]
    small = owner.get(f"{CASE}/photos/{name}?small=1")
    picture = Image.open(io.BytesIO(small.data))
    assert picture.size == (160, 240) and len(small.data) < 20_000
    assert not picture.getexif(), "expected no notes of the camera in the small one"
    red, green, _ = picture.convert("RGB").getpixel((150, 10))  # type: ignore[misc]
    assert red > 180 and green < 120, "expected the red corner at the upper right after turning"
    assert owner.delete(f"{CASE}/photos/{name}").status_code == 200
    assert owner.read("/api/case-photos") == {}
    assert owner.get(f"{CASE}/photos/{name}").status_code == 404
    assert owner.delete(f"{CASE}/photos/{name}").status_code == 404


def test_what_is_no_photo_of_a_case_is_refused(quick: Bench) -> None:
    owner = quick.owner()
    for what, (content, kind, status) in WRONG.items():
        answer = owner.send(f"{CASE}/photos", content, kind)
        assert answer.status_code in {status, 415}, (what, answer.text)
    # whole by its header, broken inside: only decoding tells (PNG, ISO/IEC 15948, 10.1)
    broken = png(40, 30).replace(b"IDATx", b"IDATy")
    assert owner.send(f"{CASE}/photos", broken, "image/png").status_code == 422
    assert owner.send("/api/cases/XX-001/photos", png(4, 3), "image/png").status_code == 404
    assert owner.read("/api/case-photos") == {}
    for size in range(1, 21):
        added(owner, png(size, 3), "image/png")
    answer = owner.send(f"{CASE}/photos", png(21, 3), "image/png")
    assert answer.status_code == 409 and "at most 20" in answer.text


def test_a_photo_that_a_phone_took_of_a_case_becomes_its_own(quick: Bench) -> None:
    owner, ana = quick.owner(), quick.phone("Ana", chief=True)
    content = jpeg(300, 200)
    for name in ("photo-of-damage", "photo-of-others"):
        assert (
            ana.send(f"/api/shows/demo/photos?id={name}", content, "image/jpeg").status_code < 300
        )
    hinge = {"kind": "damaged", "code": "RG-001-Q", "note": "hinge", "photo": "photo-of-damage"}
    lid = {"kind": "damaged", "code": "BL-002-C", "note": "lid", "photo": "photo-of-others"}
    ana.tell(ana.fact(hinge), ana.fact(lid))
    (offered,) = owner.read(f"{CASE}/photos")["from_nights"]
    assert (offered["photo"], offered["words"]) == ("photo-of-damage", "hinge")
    stranger = {"show": "demo", "photo": "photo-of-others"}
    assert owner.post(f"{CASE}/photos/from-night", stranger).status_code == 404
    taken = owner.post(f"{CASE}/photos/from-night", {"show": "demo", "photo": "photo-of-damage"})
    assert taken.status_code == 201
    told = owner.read(f"{CASE}/photos")
    assert len(told["photos"]) == 1 and told["from_nights"] == []
    theirs = ana.get("/api/shows/demo/photos/photo-of-damage").data
    assert owner.get(f"{CASE}/photos/{told['photos'][0]['id']}").data == theirs


def test_the_crew_sees_a_small_photo_of_the_cases_of_its_own_show_and_of_no_other(
    quick: Bench,
) -> None:
    owner, ana = quick.owner(), quick.phone("Ana")
    first = added(owner, jpeg(1200, 800, turned=True))
    quick.clock.pass_ms(1000)
    added(owner, jpeg(600, 600))  # later ones are the office's alone
    cards = ana.read("/api/shows/demo/bundle")["cases"]
    assert cards["RG-001-Q"]["photo"] == first
    assert [code for code, card in cards.items() if "photo" in card] == ["RG-001-Q"]
    small = ana.get(f"/api/shows/demo/cases/RG-001-Q/photos/{first}")
    assert small.status_code == 200 and len(small.data) < 20_000
    assert Image.open(io.BytesIO(small.data)).size == (160, 240)
    assert "immutable" in small.headers["Cache-Control"]
    assert "sandbox" in small.headers["Content-Security-Policy"]
    called = {one.code for one in in_app(quick)}
    other = next(code for code in cards if code not in called)
    kept = owner.send(f"/api/cases/{other}/photos", jpeg(300, 300), "image/jpeg")
    name = json.loads(kept.data)["photo"]
    assert "photo" not in ana.read("/api/shows/demo/bundle")["cases"][other]
    assert ana.get(f"/api/shows/demo/cases/{other}/photos/{name}").status_code == 404
    assert ana.get(f"/api/shows/another/cases/RG-001-Q/photos/{first}").status_code == 404
    assert quick.client().get(f"/api/shows/demo/cases/RG-001-Q/photos/{first}").status_code == 401


def in_app(quick: Bench) -> list[Called]:
    """Return what the demo show calls."""
    with quick.app.app_context():
        return quick.ports.shows.called("demo")


def test_an_export_brings_every_photo_back_byte_for_byte(quick: Bench, tmp_path: Path) -> None:
    owner, ana = quick.owner(), quick.phone("Ana", chief=True)
    added(owner, jpeg(400, 300), words="from the front")
    added(owner, png(9, 7), "image/png")
    row = jpeg(640, 480)
    assert ana.send("/api/shows/demo/photos?id=row-photo-1", row, "image/jpeg").status_code < 300
    fact = {"kind": "row_photo", "row": 1, "photo": "row-photo-1", "codes": ["RG-001-Q"]}
    drawn = {"kind": "released", "signature": "M1 1L9 9", "digest": "0" * 64,
             "signers": [{"role": "chief", "name": "Ana", "signature": "M1 1L9 9"}]}  # fmt: skip
    ana.tell(ana.fact(fact), ana.fact(drawn))
    stored = ana.get("/api/shows/demo/photos/row-photo-1").data  # made anew when it came in
    quick.close()
    first, second, other = tmp_path / "first", tmp_path / "second", tmp_path / "other"
    assert run("export", first, "--data", quick.settings.data)[0] == 0
    assert (first / "show-demo/photos/row-photo-1.jpg").read_bytes() == stored
    assert "M1 1L9 9" in (first / "show-demo/record.json").read_text(encoding="utf-8")
    status, said = run("import", first, "--data", other)
    assert status == 0, said
    assert run("export", second, "--data", other)[0] == 0
    before, after = (
        {
            file.relative_to(folder): file.read_bytes()
            for file in folder.rglob("*.*")
            if file.name not in {"record.json", "digests.json"}  # sealed by each server anew
        }
        for folder in (first, second)
    )
    assert len([file for file in before if file.suffix in {".jpg", ".png"}]) == 3
    assert before == after


def test_an_export_with_a_changed_photo_is_refused_whole(quick: Bench, tmp_path: Path) -> None:
    added(quick.owner(), jpeg(400, 300))
    quick.close()
    folder, other = tmp_path / "out", tmp_path / "other"
    assert run("export", folder, "--data", quick.settings.data)[0] == 0
    (photo,) = (folder / "case-photos").iterdir()
    good = photo.read_bytes()
    photo.write_bytes(jpeg(401, 300))
    status, said = run("import", folder, "--data", other)
    assert status == 2 and photo.name in said and "as it was given out" in said
    photo.write_bytes(good)
    listing = folder / "case-photos.json"
    text = listing.read_text(encoding="utf-8")
    listing.write_text(text.replace(photo.stem, "../../../etc/passwd"), encoding="utf-8")
    status, said = run("import", folder, "--data", other)
    assert status == 2 and "case-photos.json" in said
    listing.write_text(text, encoding="utf-8")
    assert run("import", folder, "--data", other)[0] == 0, "nothing was half imported before"
