"""Labels in any script: the name as it is written, and nothing below 7 pt."""

from __future__ import annotations

import pypdfium2

from server.core.base.units import Units
from server.core.shop.case import Case
from server.printing import print_labels
from server.service.label_paper import LabelPaper
from server.service.records import FleetCase


def test_a_label_prints_its_name_as_written_and_nothing_too_small_to_read() -> None:
    names = ("照明ケーブル", "Ενισχυτής", "Zażółć “jaźń”", "무대")
    cases = [
        FleetCase(Case(f"A{n}", 1_100_000, 560_000, 700_000, name, home="Łódź", mass_g=80_000))
        for n, name in enumerate(names)
    ]
    document = pypdfium2.PdfDocument(print_labels(cases, Units("cm", "kg"), LabelPaper("a4")))
    assert len(document) == len(names)
    for page, name in zip(document, names, strict=True):
        text = page.get_textpage().get_text_range()
        assert name in text
        assert "Łódź" in text
        assert "a competent person decide" in text
        sizes = [
            one.get_font_size()
            for one in page.get_objects(filter=[pypdfium2.raw.FPDF_PAGEOBJ_TEXT])
        ]
        assert min(sizes) >= 6.99, sizes
