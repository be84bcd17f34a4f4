"""Papers over HTTP: who gets them, and what they hold."""

from __future__ import annotations

import pypdfium2

from tests.support.app import Bench


def _text(made: bytes) -> str:
    pages = pypdfium2.PdfDocument(made)
    return "\n".join(page.get_textpage().get_text_range() for page in pages)


def test_a_loader_prints_the_sheet_of_every_vehicle(quick: Bench) -> None:
    answer = quick.phone().get("/api/shows/demo/sheet.pdf")
    assert answer.status_code == 200 and answer.mimetype == "application/pdf"
    document = pypdfium2.PdfDocument(answer.data)
    assert len(document) == 2
    assert "join with this" in _text(answer.data)


def test_one_vehicle_is_one_page_and_an_unknown_one_is_not_found(quick: Bench) -> None:
    phone = quick.phone()
    one = phone.get("/api/shows/demo/sheet.pdf?vehicle=T1")
    assert len(pypdfium2.PdfDocument(one.data)) == 1
    assert phone.get("/api/shows/demo/sheet.pdf?vehicle=T9").status_code == 404


def test_the_chief_prints_the_record_and_a_loader_does_not(quick: Bench) -> None:
    answer = quick.phone("Ana", chief=True).get("/api/shows/demo/record.pdf")
    assert answer.status_code == 200
    assert "How to check this record" in _text(answer.data)
    assert quick.phone("Bo").get("/api/shows/demo/record.pdf").status_code == 403


def test_a_show_that_is_not_there_has_no_papers(quick: Bench) -> None:
    assert quick.owner().get("/api/shows/nowhere/sheet.pdf").status_code == 404
