"""Print to last: how large letters are, the quality of the squares, the page that proves a printer.

The pages are rendered by PDFium; sizes are those of the letters in the PDF.
"""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
import pypdfium2
import pytest
import segno
from numpy.typing import NDArray

from server.core.base.units import Units
from server.labels.decoders import read_zxing
from server.labels.draw import ARM_CAPITAL, read_distance_m
from server.labels.label_case import LabelCase, label_case
from server.labels.sheet import Sheet, jobs, print_pdf, sheet
from server.labels.testpage import MODULE_SIZES_MM, printer_page_pdf, proven, square_text
from server.typeface import CAP_HEIGHT
from tests.labels.test_printing import CASE, CODES, PAPERS, pages_of, words_of
from tests.support.print_grade import PrintGrade, grade

FULL = replace(
    label_case(CASE, Units(), "If found: 555-0100"), contents="12 x cable 20 m, 6 x cable 25 m"
)


def capitals(pdf: bytes) -> dict[str, float]:
    """Return word → height of a capital in mm, of the first page's words."""
    page = pypdfium2.PdfDocument(pdf)[0]
    found: dict[str, float] = {}
    for item in page.get_objects(
        filter=[pypdfium2.raw.FPDF_PAGEOBJ_TEXT], textpage=page.get_textpage()
    ):
        size = item.get_matrix().d * item.get_font_size() / 72 * 25.4
        found[item.extract()] = abs(size) * CAP_HEIGHT
    return found


@pytest.mark.parametrize("name", ["a4", "letter"])
@pytest.mark.parametrize(
    ("code", "least_mm"),
    [("PW-031-7", 51), ("SND-041-M", 51), ("WWW-999-W", 40)],  # the last: the widest there is
)
def test_a_label_of_a_whole_sheet_has_capitals_of_two_inches(
    name: str, code: str, least_mm: float
) -> None:
    printed = print_pdf(jobs([replace(FULL, code=code)], ["lid"]), sheet(name, whole=True))  # type: ignore[arg-type]
    head, _, rest = code.partition("-")
    sizes = capitals(printed.pdf)
    # PDFium gives a hyphen at the end of a line as another sign
    first = next(size for words, size in sizes.items() if words[:-1] == head)
    number = sizes.get(rest) or sizes[rest.partition("-")[0]]
    assert min(first, number) >= least_mm
    assert read_distance_m(printed.module_mm) > 3


@pytest.mark.parametrize(("paper", "_a_page"), PAPERS[:5])
def test_no_hand_lift_and_contents_are_read_at_arms_length(paper: Sheet, _a_page: int) -> None:
    sizes = capitals(print_pdf(jobs([FULL], ["lid"]), paper).pdf)
    assert sizes["NO HAND LIFT"] >= ARM_CAPITAL - 0.05
    contents = [size for words, size in sizes.items() if words.startswith("12 x cable")]
    assert contents == [pytest.approx(ARM_CAPITAL, abs=0.05)]


def test_contents_too_long_for_their_place_are_cut_with_dots() -> None:
    long = replace(FULL, contents=", ".join(f"{n} x adapter number {n}" for n in range(1, 40)))
    words = words_of(print_pdf(jobs([long], ["lid"]), sheet("a4")).pdf)
    assert "1 x adapter" in words and "..." in words and "39 x" not in words


def test_the_department_is_white_on_a_black_band() -> None:
    lone = LabelCase(CODES[0], department="power")
    bare = pages_of(print_pdf(jobs([LabelCase(CODES[0])], ["lid"]), sheet("a4")).pdf)[0]
    band = pages_of(print_pdf(jobs([lone], ["lid"]), sheet("a4")).pdf)[0]
    rows = [int((bare < 128)[y].sum()) for y in range(bare.shape[0])]
    more = [int((band < 128)[y].sum()) - rows[y] for y in range(bare.shape[0])]
    assert max(more) > 100  # a line of the page that is black for long


@pytest.mark.parametrize(("paper", "_a_page"), PAPERS)
def test_every_square_is_of_the_best_print_quality_as_rendered(paper: Sheet, _a_page: int) -> None:
    pdf = print_pdf(jobs([replace(FULL, code=CODES[1])], ["lid"]), paper).pdf
    page = pypdfium2.PdfDocument(pdf)[0].render(scale=300 / 72, grayscale=True).to_numpy()
    assert grade(page, modules(CODES[1])) == PrintGrade(4, 4, 4, 4, 4)


def test_a_faint_a_stretched_and_a_blotted_print_are_graded_lower() -> None:
    pdf = print_pdf(jobs([LabelCase(CODES[1])], ["lid"]), sheet("roll")).pdf
    page = np.asarray(pages_of(pdf)[0])
    true = modules(CODES[1])
    faint = (255 - (255 - page) * 0.45).astype(np.uint8)
    assert grade(faint, true).contrast == 2
    wide = cv2.resize(page, None, fx=1.09, fy=1)
    assert grade(np.asarray(wide, np.uint8), true).axial == 2
    spread = cv2.GaussianBlur(page, (0, 0), 9)
    assert grade(np.asarray(spread, np.uint8), true).modulation < 4


def modules(text: str) -> NDArray[np.bool_]:
    """Return a code's modules as its encoder has them."""
    rows = segno.make_qr(text, error="m", boost_error=True).matrix_iter(border=0)
    return np.array([list(row) for row in rows], np.bool_)


def test_a_printed_page_says_what_its_printer_can() -> None:
    texts = [square_text(size) for size in MODULE_SIZES_MM]
    best = proven([*texts, "PW-031-7"])
    assert best["good"] and best["smallest_mm"] == 0.5 and best["missing_mm"] == []
    coarse = proven(texts[:4])
    assert not coarse["good"] and coarse["missing_mm"] == [1.0, 0.7, 0.5]
    assert "large rolls only" in coarse["advice"]
    assert "do not print labels" in proven([texts[0], *texts[2:]])["advice"]
    nothing = proven(["PRINT-9MM", "PRINT-2.5", ""])
    assert nothing["smallest_mm"] is None and "nearer" in nothing["advice"]


def test_a_blurred_page_loses_its_smallest_squares_first() -> None:
    page = pages_of(printer_page_pdf((210.0, 297.0)))[0]
    soft = cv2.GaussianBlur(page, (0, 0), 4)
    told = proven([found.text for found in read_zxing(np.asarray(soft, np.uint8))])
    assert 3.0 in told["read_mm"] and 0.5 in told["missing_mm"]
