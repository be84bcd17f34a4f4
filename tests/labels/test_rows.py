"""Whole rows at 12 megapixels, and codes whose marks, timing lines and corners are spoilt."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
import segno
from numpy.typing import NDArray

from server.labels.candidates import find_marks
from server.labels.decoders import read_zxing
from server.labels.grid import read_grid
from server.labels.ladder import read_grey
from server.labels.prepare import grain
from tests.bench.label_walls import draw_wall

AMPLE = 3.0  # seconds of effort: what is read must not hang on how fast this machine is
MODULE = 6


def test_a_dark_row_of_twelve_megapixels_is_read_and_nothing_wrongly() -> None:
    wall = draw_wall(10, "dark")
    grey = cv2.imdecode(np.frombuffer(wall.jpeg, np.uint8), cv2.IMREAD_GRAYSCALE)
    texts = {found.text for found in read_grey(np.asarray(grey, np.uint8), AMPLE)}
    assert len(wall.modules) == 17
    assert texts <= wall.modules.keys()
    assert len(texts) >= 16


@pytest.mark.parametrize("spread", [0.0, 0.5, 1, 2, 4, 8])
def test_grain_is_measured_as_it_was_made(spread: float) -> None:
    noise = np.random.default_rng(5).normal(120, spread, (640, 640))
    picture = np.clip(np.rint(noise), 0, 255).astype(np.uint8)
    assert grain(picture) == pytest.approx(spread, abs=0.15 + spread / 20)


def test_grain_alone_has_no_marks_and_finder_marks_are_found_in_it() -> None:
    rng = np.random.default_rng(6)
    bare = np.clip(rng.normal(60, 6, (900, 900)), 0, 255).astype(np.uint8)
    assert len(find_marks(bare, 1.0)) < 20
    marked = bare.astype(np.float64)
    code = drawn("AU-647-B")
    marked[100 : 100 + code.shape[0], 100 : 100 + code.shape[1]] += code / 255.0 * 60 - 30
    seen = find_marks(np.clip(marked, 0, 255).astype(np.uint8), 0.5)
    assert sum(abs(mark.module - MODULE) < 1 for mark in seen) == 3


def drawn(text: str) -> NDArray[np.uint8]:
    rows = [list(row) for row in segno.make_qr(text, error="m", boost_error=True).matrix_iter()]
    return np.kron(255 - 255 * np.array(rows, np.uint8), np.ones((MODULE, MODULE), np.uint8))


def spoilt(text: str) -> NDArray[np.uint8]:
    """Draw a code with both timing lines gone and scratches over marks and data."""
    code = drawn(text)
    side = code.shape[0]
    lines = slice((4 + 6) * MODULE, (4 + 7) * MODULE)
    code[lines, (4 + 8) * MODULE : side - (4 + 8) * MODULE] = 128
    code[(4 + 8) * MODULE : side - (4 + 8) * MODULE, lines] = 255
    for start, end in (((20, 60), (160, 50)), ((40, 20), (60, 150))):
        cv2.line(code, start, end, 255, 3)
    return code


def test_a_code_without_its_timing_lines_is_read_module_by_module() -> None:
    code = spoilt("SND-041-M")
    assert read_zxing(code) == []
    modules = code.shape[0] // MODULE - 8
    found = list(read_grid(code, modules, 7.5 * MODULE, MODULE))
    assert [one.text for one in found] == ["SND-041-M"]
    rim = 4 * MODULE
    corners = [(rim, rim), (code.shape[1] - rim, rim)]
    assert found[0].quad[:2] == pytest.approx(np.array(corners, float), abs=MODULE)


def test_what_is_no_code_is_not_read_module_by_module() -> None:
    rng = np.random.default_rng(7)
    for _ in range(10):
        picture = rng.integers(0, 256, (29 * MODULE, 29 * MODULE)).astype(np.uint8)
        assert list(read_grid(picture, 21, 7.5 * MODULE, MODULE)) == []
