"""Further tags: bound by a chief's phone or in the office, read from a photo, never of two."""

from __future__ import annotations

import csv
import io
from io import BytesIO

import numpy as np
import pytest
import zxingcpp
from PIL import Image

from tests.support.app import Bench

SHOW = "/api/shows/demo"


def sticker(text: str, kind: str) -> bytes:
    """Return a photo of a sticker drawn by the outside library's own writer."""
    form = getattr(zxingcpp.BarcodeFormat, kind)
    drawn = np.asarray(zxingcpp.create_barcode(text, form).to_image(scale=4, add_quiet_zones=True))
    paper = np.full((drawn.shape[0] + 200, drawn.shape[1] + 200), 235, np.uint8)
    paper[100 : 100 + drawn.shape[0], 100 : 100 + drawn.shape[1]] = drawn
    file = BytesIO()
    Image.fromarray(paper).save(file, "PNG")
    return file.getvalue()


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        ("Code39", "OLD-0042"),
        ("Code93", "OLD-0043"),
        ("ITF", "00420042"),
        ("Codabar", "A004211A"),
        ("EAN13", "4006381333931"),  # the worked example of GS1's check digit pages, from memory
        ("DataMatrix", "Кофр №7 из 12"),
        ("Aztec", "rig/0042"),
        ("PDF417", "Serial 5581-0042, made 2019"),
    ],
)
def test_a_tag_of_any_kind_names_its_case_in_a_photo(quick: Bench, kind: str, text: str) -> None:
    ana, photo = quick.phone("Ana", chief=True), sticker(text, kind)
    assert ana.send(f"{SHOW}/read", photo, "image/png").get_json()["readings"] == []
    bound = ana.post(f"{SHOW}/tags", {"code": "PW-001-J", "text": text})
    assert bound.get_json() == {"code": "PW-001-J"}
    (reading,) = ana.send(f"{SHOW}/read", photo, "image/png").get_json()["readings"]
    assert reading["known"] and reading["code"] == "PW-001-J"


def test_a_tag_is_bound_once_and_by_the_chief(quick: Bench) -> None:
    tag = {"code": "PW-001-J", "text": " SN 17 "}
    assert quick.phone("Bo").post(f"{SHOW}/tags", tag).status_code == 403
    ana = quick.phone("Ana", chief=True)
    for _ in range(2):
        assert ana.post(f"{SHOW}/tags", tag).status_code == 200
    other = ana.post(f"{SHOW}/tags", {"code": "PW-002-H", "text": "sn 17"})
    assert other.status_code == 409 and "PW-001-J" in other.get_json()["detail"]
    code = ana.post(f"{SHOW}/tags", {"code": "PW-002-H", "text": "pw-001-j"})
    assert code.status_code == 409
    cards = ana.get(f"{SHOW}/bundle").get_json()["cases"]
    assert cards["PW-001-J"]["tags"] == ["SN 17"] and "tags" not in cards["PW-002-H"]
    assert ana.post(f"{SHOW}/tags", {"code": "NO-1", "text": "x"}).status_code == 404
    assert ana.post(f"{SHOW}/tags", {"code": "PW-001-J", "text": "x" * 61}).status_code == 422
    assert ana.post(f"{SHOW}/tags", {"code": "PW-001-J", "text": "a\u0007b"}).status_code == 422


def test_tags_come_in_bulk_by_a_column_and_go_back_out(quick: Bench) -> None:
    owner = quick.owner()

    def table(**tags: str) -> bytes:
        there = io.StringIO(owner.get("/api/cases.csv").data.decode("utf-8-sig"))
        rows = list(csv.DictReader(there))
        out = io.StringIO()
        writer = csv.DictWriter(out, list(rows[0]))
        writer.writeheader()
        for row in rows:
            row["tags"] = tags.get(row["code"].replace("-", "_"), row["tags"])
            writer.writerow(row)
        return out.getvalue().encode()

    good = table(PW_001_J="SN 17; old/3", PW_002_H="Кофр №7")
    assert owner.send("/api/cases/import", good, "text/csv").status_code == 200
    assert owner.get("/api/cases/PW-001-J").get_json()["notes"]["tags"] == ["SN 17", "old/3"]
    answer = owner.send("/api/cases/import", table(PW_003_F="sn 17"), "text/csv")
    assert answer.status_code == 422 and "PW-001-J" in answer.get_json()["detail"]
