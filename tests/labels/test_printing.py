"""Labels printed: the PDF is rendered and every label decoded; SVG squares are painted and decoded.

Rendering is PDFium's; decoding is zbar's, which is not what segno was written against.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import numpy as np
import pypdfium2
import pytest
import zxingcpp
from numpy.typing import NDArray
from pyzbar import pyzbar

from server.core.base.units import Units
from server.core.shop.case import Case
from server.labels.draw import READ_FROM_M, read_distance_m
from server.labels.label_case import LabelCase, label_case
from server.labels.sheet import Job, Sheet, jobs, print_pdf, print_svg, roll_size, sheet
from server.labels.testpage import (
    MODULE_SIZES_MM,
    printer_page_pdf,
    printer_page_svg,
    square_text,
)
from server.trouble import BadInput
from tests.support.case_codes import issue_codes

CODES = [str(code) for code in issue_codes("PW", 28, 5)]
CASE = Case(
    code=CODES[0],
    name="feeder trunk",
    department="power",
    home="B2",
    length_um=1_143_000,
    width_um=571_500,
    height_um=762_000,
    mass_g=190_509,
    lid_load_g=136_078,
    stances=("upright",),
)
DPI = 150


def pages_of(pdf: bytes) -> list[NDArray[np.uint8]]:
    document = pypdfium2.PdfDocument(pdf)
    return [page.render(scale=DPI / 72, grayscale=True).to_numpy() for page in document]


def words_of(pdf: bytes) -> str:
    return "\n".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(pdf))


def decoded(picture: NDArray[np.uint8]) -> list[str]:
    found = pyzbar.decode(picture, symbols=[pyzbar.ZBarSymbol.QRCODE])
    return sorted(one.data.decode() for one in found)


PAPERS = [
    pytest.param(sheet("a4"), 4, id="A4, four"),
    pytest.param(sheet("a4", large=True), 2, id="A4, two"),
    pytest.param(sheet("letter"), 4, id="Letter, four"),
    pytest.param(sheet("letter", large=True), 2, id="Letter, two"),
    pytest.param(sheet("roll"), 1, id="roll 102x152"),
    pytest.param(sheet("roll", roll=(62, 100)), 1, id="roll 62x100"),
    pytest.param(sheet("roll", roll=(100, 50)), 1, id="roll 100x50"),
]


def whole_work() -> list[Job]:
    plain = [LabelCase(code) for code in CODES[1:]]
    return jobs([label_case(CASE, Units(), "If found: 555-0100"), *plain], ["ends", "lid", "side"])


@pytest.mark.parametrize(("paper", "a_page"), PAPERS)
def test_every_label_of_a_printed_pdf_decodes_to_its_code(paper: Sheet, a_page: int) -> None:
    work = whole_work()
    pages = pages_of(print_pdf(work, paper).pdf)
    assert len(pages) == -(-len(work) // a_page)
    for number, page in enumerate(pages):
        due = [case.code for case, _ in work[number * a_page : (number + 1) * a_page]]
        assert decoded(page) == sorted(due)


@pytest.mark.parametrize(("paper", "a_page"), PAPERS[:5])
def test_sheets_and_the_usual_roll_are_read_from_two_metres(paper: Sheet, a_page: int) -> None:
    assert read_distance_m(print_pdf(whole_work(), paper).module_mm) >= READ_FROM_M


def test_the_module_is_printed_as_large_as_is_said_with_its_quiet_zone() -> None:
    """ISO/IEC 18004: four modules of paper all round; 21 modules from edge to edge in version 1."""
    printed = print_pdf(jobs([LabelCase(CODES[0])], ["lid"]), sheet("a4"))
    page = pages_of(printed.pdf)[0]
    result = zxingcpp.read_barcodes(page)[0]
    corner, other = result.position.top_left, result.position.top_right
    side_mm = float(np.hypot(other.x - corner.x, other.y - corner.y)) / DPI * 25.4
    assert side_mm / 21 == pytest.approx(printed.module_mm, rel=0.02)
    quiet = int(4 * printed.module_mm / 25.4 * DPI) - 2
    around = page[corner.y - quiet : corner.y - 1, corner.x - quiet : other.x + quiet]
    assert around.min() > 250


def test_the_symbol_is_a_full_qr_even_for_the_shortest_code() -> None:
    page = pages_of(print_pdf(jobs([LabelCase("A-001")], ["lid"]), sheet("roll")).pdf)[0]
    assert [one.format for one in zxingcpp.read_barcodes(page)] == [zxingcpp.BarcodeFormat.QRCode]


def test_a_label_says_in_words_what_a_hand_must_know() -> None:
    words = words_of(print_pdf(jobs([label_case(CASE, Units())], ["ends"]), sheet("a4")).pdf)
    for word in (
        CODES[0],
        "POWER",
        "feeder trunk",
        "HOME B2",
        "45 x 22.5 x 30 in",
        "420 lb",
        "TO ROLL",
        "NO HAND LIFT",
        "ON LID 300 lb",
        "END A",
        "END B",
        "local law",
        "competent person",
    ):
        assert word in words, word


def test_metric_labels_and_light_cases_say_so() -> None:
    light = replace(CASE, mass_g=20_000, lid_load_g=None)
    label = label_case(light, Units(length="cm", mass="kg"))
    assert label.footprint == "114.3 x 57.15 x 76.2 cm" and label.mass == "20 kg"
    # HSE L23: 25 kg for one man; above 16 kg for each of a mixed crew one at each corner
    assert label.lift == "1-4" and not label.no_hand_lift
    assert label.stacks is False


def test_letters_that_a_pdf_lacks_do_not_stop_the_print() -> None:
    strange = LabelCase(CODES[0], name="Прожектор & <ü>", department="свет")
    assert decoded(pages_of(print_pdf([(strange, "lid")], sheet("a4")).pdf)[0]) == [CODES[0]]
    assert "Прожектор &amp; &lt;ü&gt;" in print_svg([(strange, "lid")], sheet("a4")).svg[0]


def painted(svg: str) -> NDArray[np.uint8]:
    """Paint an SVG's rectangles, which is all a QR is drawn of, at ten pixels a millimetre."""
    root = ET.fromstring(svg)
    width, height = (float(v) for v in root.attrib["viewBox"].split()[2:])
    picture = np.full((round(height * 10), round(width * 10)), 255, np.uint8)
    for part in root.iter("{http://www.w3.org/2000/svg}rect"):
        if part.get("fill") == "none":
            continue
        x, y, w, h = (round(float(part.get(k, "0")) * 10) for k in ("x", "y", "width", "height"))
        colour = part.attrib["fill"]
        grey = 255 if colour == "#fff" else int(colour[1:3], 16)
        picture[y : y + h, x : x + w] = grey
    return picture


def test_every_svg_page_decodes_and_is_as_large_as_its_paper() -> None:
    work = whole_work()
    drawings = print_svg(work, sheet("letter")).svg
    assert len(drawings) == 5
    for drawing in drawings:
        assert len(decoded(painted(drawing))) == 4
        assert re.search(r'width="215.9mm" height="279.4mm"', drawing)
    texts = [t.text for t in ET.fromstring(drawings[0]).iter("{http://www.w3.org/2000/svg}text")]
    assert texts.count(CODES[0]) == 4


def test_one_label_is_reprinted_on_the_free_place_of_a_used_sheet() -> None:
    work = jobs([LabelCase(CODES[2])], ["side"])
    page = pages_of(print_pdf(work, sheet("a4"), first=4).pdf)[0]
    height, width = page.shape
    assert decoded(page) == [CODES[2]]
    assert page[: height // 2].min() == 255 and page[:, : width // 2].min() == 255
    with pytest.raises(BadInput, match="1 to 4"):
        print_pdf(work, sheet("a4"), first=5)


def test_the_same_labels_make_the_same_file() -> None:
    assert print_pdf(whole_work(), sheet("a4")).pdf == print_pdf(whole_work(), sheet("a4")).pdf


@pytest.mark.parametrize("text", ["62", "62x", "0x100", "62x9000", "axb", "62x100x3", "10x10"])
def test_a_roll_that_no_printer_takes_is_refused(text: str) -> None:
    with pytest.raises(BadInput, match="width x height"):
        roll_size(text)


def longest_run(dark: NDArray[np.bool_]) -> int:
    """Return the longest unbroken run of ink in any line of a page."""
    lines = ("".join("#" if pixel else " " for pixel in line) for line in dark)
    return max(len(run) for line in lines for run in line.split(" "))


@pytest.mark.parametrize("page", [(210.0, 297.0), (215.9, 279.4)], ids=["A4", "Letter"])
def test_the_test_page_is_to_scale_and_each_of_its_squares_decodes(
    page: tuple[float, float],
) -> None:
    picture = pages_of(printer_page_pdf(page))[0]
    assert decoded(picture) == sorted(map(square_text, MODULE_SIZES_MM))
    for dark in (picture < 128, (picture < 128).T):  # a bar along the page and one across
        assert longest_run(dark) / DPI * 25.4 == pytest.approx(100, abs=0.4)
    assert ET.fromstring(printer_page_svg(page)).attrib["width"] == f"{page[0]:g}mm"
