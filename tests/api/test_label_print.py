"""Labels in batches, and the page that proves a printer, as the office asks for them."""

from __future__ import annotations

from io import BytesIO

import pypdfium2

from server.labels.testpage import MODULE_SIZES_MM
from tests.support.app import Bench


def words_of(pdf: bytes) -> str:
    return "\n".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(pdf))


def test_a_batch_has_its_count_its_contact_and_what_lies_in_each_case(quick: Bench) -> None:
    owner = quick.owner()
    body = {"codes": ["RG-001-Q"], "faces": ["ends"], "count": 3, "contact": "If found: 555-0100"}
    words = words_of(owner.post("/api/labels.pdf", body).data)
    assert words.count("END A") == words.count("END B") == 3
    assert words.count("If found: 555-0100") == 6


def test_a_photo_of_the_printed_test_page_says_what_the_printer_can(quick: Bench) -> None:
    owner = quick.owner()
    page = owner.http.get("/api/labels/test-page.pdf?paper=letter")
    assert page.data.startswith(b"%PDF")
    picture = pypdfium2.PdfDocument(page.data)[0].render(scale=2, grayscale=True).to_pil()
    file = BytesIO()
    picture.save(file, "PNG")
    told = owner.send("/api/labels/test-page", file.getvalue(), "image/png").json
    assert told is not None
    assert told["good"] and told["read_mm"] == list(MODULE_SIZES_MM)
    assert owner.send("/api/labels/test-page", b"hello", "image/png").status_code in {415, 422}
    assert owner.http.get("/api/labels/test-page.pdf?paper=a3").status_code == 422
    assert quick.phone("Bo").http.get("/api/labels/test-page.pdf").status_code in {401, 403}
