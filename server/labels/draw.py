"""One label: QR with quiet zone, the code in large letters, and what a hand must know.

The QR is always a full one (segno.make_qr): a Micro QR is not read by phones' own detectors.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

import segno

from server.core.shop.case import STANCES, Stance
from server.labels import icons
from server.labels.canvas import POINTS_PER_MM, Canvas, Letters, Point
from server.labels.label_case import Face, LabelCase
from server.typeface import CAP_HEIGHT
from server.typeface import lines as broken_at

QUIET_MODULES: Final = 4  # ISO/IEC 18004: four modules of quiet zone all round
# A phone's main camera, 4000 pixels across 65 degrees (common practice, no source), still reads at
# 4 pixels a module by our benchmark.
CAMERA_PIXELS: Final = 4000
CAMERA_DEGREES: Final = 65.0
READ_AT_PIXELS: Final = 4.0
READ_FROM_M: Final = 2.0
# Reach of each way to read, as shares of a photo that the server reads: measured on drawn labels of
# 2.5 mm modules: 2.3 m by the server, 1.5 m by the phone alone, 1.1 m in the live picture.
REACH: Final = {"photo": 1.0, "offline": 0.65, "live": 0.48}
# People and lid load are planning figures (core/handling, the owner's own entries).
CAUTION_SIZE: Final = 7 / POINTS_PER_MM  # 7 pt: smaller print is not read (common practice)
MOST_CAUTION: Final = 0.3  # of the place for facts
# Read at arm's length (0.7 m): a 200th of the distance (common practice, no source).
ARM_CAPITAL: Final = 3.5
MOST_CONTENTS: Final = 0.3  # of the place for facts
# On a label that fills a sheet: 2 in capitals, read across a dock (common practice, no source).
FAR_CAPITAL: Final = 52.0
WHOLE_LEAST: Final = (170.0, 240.0)  # a place as wide and high as this is a whole sheet's
CAUTION: Final = "Planning figures: local law, ratings and a competent person decide"


@dataclass(frozen=True, slots=True)
class Place:
    """A rectangle of the page, in mm."""

    x: float
    y: float
    width: float
    height: float


def read_distance_m(module_mm: float) -> float:
    """Return from how far a module of this side is still read in a photo, in metres."""
    across_mm = CAMERA_PIXELS / READ_AT_PIXELS * module_mm
    return across_mm / 2 / math.tan(math.radians(CAMERA_DEGREES / 2)) / 1000


def draw_qr(canvas: Canvas, text: str, at: Point, side: float) -> float:
    """Draw a QR whose quiet zone fills a square of this side; return its module's side in mm."""
    code = segno.make_qr(text, error="m", boost_error=True)
    rows = [list(row) for row in code.matrix_iter(border=QUIET_MODULES)]
    module = side / len(rows)
    canvas.rectangle(at, (side, side), 1)
    for number, row in enumerate(rows):
        for start, length in _runs(row):
            place = (at[0] + start * module, at[1] + number * module)
            # a breath more than a module: no white hairlines between rows on any printer
            canvas.rectangle(place, (length * module, module * 1.01))
    return module


def _runs(row: list[int]) -> list[tuple[int, int]]:
    """Return start and length of each run of dark modules."""
    runs: list[tuple[int, int]] = []
    for place, dark in enumerate(row):
        if dark and runs and sum(runs[-1]) == place:
            runs[-1] = (runs[-1][0], runs[-1][1] + 1)
        elif dark:
            runs.append((place, 1))
    return runs


def draw_label(
    canvas: Canvas, place: Place, case: LabelCase, face: Face, letters: Letters
) -> float:
    """Draw one label into its place; return the side of a QR module in mm."""
    canvas.frame((place.x, place.y), (place.width, place.height), 0.2)
    rim = 2.0
    inner = Place(place.x + rim, place.y + rim, place.width - 2 * rim, place.height - 2 * rim)
    if inner.width > WHOLE_LEAST[0] and inner.height > WHOLE_LEAST[1]:
        return _whole(canvas, inner, case, face, letters)
    if inner.width > inner.height:
        qr_side = min(inner.height * 0.8, inner.width * 0.62)
        facts = Place(inner.x + qr_side, inner.y, inner.width - qr_side, qr_side)
        below = Place(inner.x, inner.y + qr_side, inner.width, inner.height - qr_side)
        module = draw_qr(canvas, case.code, (inner.x, inner.y), qr_side)
    else:
        qr_side = min(inner.width, inner.height * 0.62)
        large = min(inner.height * 0.14, inner.height - qr_side)
        start = inner.x + (inner.width - qr_side) / 2
        module = draw_qr(canvas, case.code, (start, inner.y), qr_side)
        below = Place(inner.x, inner.y + qr_side, inner.width, large)
        rest = inner.height - qr_side - large
        facts = Place(inner.x, inner.y + qr_side + large, inner.width, rest)
    _large_code(canvas, below, case.code, letters)
    _facts(canvas, facts, case, face, letters)
    return module


def _whole(canvas: Canvas, inner: Place, case: LabelCase, face: Face, letters: Letters) -> float:
    """Draw a label that fills a sheet: the code over two lines, below it the QR and the facts."""
    first, dash, rest = case.code.partition("-")
    y, pitch = inner.y, FAR_CAPITAL * 1.22
    for line in [first + dash, rest] if rest else [case.code]:
        _far_line(canvas, Place(inner.x, y, inner.width, pitch), line, letters)
        y += pitch
    side = min(inner.y + inner.height - y, inner.width * 0.66)
    module = draw_qr(canvas, case.code, (inner.x, y), side)
    facts = Place(inner.x + side, y + 2, inner.width - side, inner.y + inner.height - y - 2)
    _facts(canvas, facts, case, face, letters)
    return module


def _far_line(canvas: Canvas, place: Place, text: str, letters: Letters) -> None:
    """Set a line in capitals read from afar; where it is too wide, its check character smaller."""
    head, dash, tail = text.rpartition("-")
    wide = letters.width(text, FAR_CAPITAL) > place.width
    parts = [head, dash + tail] if wide and head and tail else [text]
    left, base = place.x, place.y + (place.height + FAR_CAPITAL) / 2
    widths: list[tuple[float, float]] = []
    for part in parts:
        room = place.width - sum(width for width, _ in widths)
        if part != parts[-1]:
            room *= 0.75
        capital = letters.fitting(part, room, FAR_CAPITAL)
        widths.append((letters.width(part, capital), capital))
    left += (place.width - sum(width for width, _ in widths)) / 2
    for part, (width, capital) in zip(parts, widths, strict=True):
        canvas.text((left, base), part, capital)
        left += width


def _large_code(canvas: Canvas, place: Place, code: str, letters: Letters) -> None:
    """Set the code as large as its band allows, in the middle."""
    capital = letters.fitting(code, place.width * 0.96, place.height * 0.8)
    left = place.x + (place.width - letters.width(code, capital)) / 2
    canvas.text((left, place.y + (place.height + capital) / 2), code, capital)


@dataclass(frozen=True, slots=True)
class Line:
    """One fact: its words, its share of the height, and who draws its icon (place, side)."""

    text: str
    weight: float
    icon: Callable[[Point, float], None] | None = None
    band: bool = False  # white on black, across the whole place


def _facts(canvas: Canvas, place: Place, case: LabelCase, face: Face, letters: Letters) -> None:
    """Write what the label says, a fact a line; in two columns where the place is wide."""
    lines = _lines(canvas, case, face)
    if case.roll or case.lift or case.stacks:
        place = _caution(canvas, place)
    if case.contents:
        place = _contents(canvas, place, case.contents)
    if place.width < 1.1 * place.height:
        _column(canvas, place, lines, letters)
        return
    half = (len(lines) + 1) // 2
    left = Place(place.x, place.y, place.width / 2, place.height)
    _column(canvas, left, lines[:half], letters)
    _column(canvas, replace(left, x=place.x + place.width / 2), lines[half:], letters)


def _caution(canvas: Canvas, place: Place) -> Place:
    """Write the caution along the bottom, in letters that are read; return what is left above."""
    broken = broken_at(CAUTION, (place.width - 1) / CAUTION_SIZE, bold=True)
    pitch = CAUTION_SIZE * 1.15
    if len(broken) * pitch > place.height * MOST_CAUTION:  # a small roll: as large as it can be
        pitch = place.height * MOST_CAUTION / len(broken)
    high = len(broken) * pitch
    for number, line in enumerate(broken, start=1):
        at = (place.x + 0.5, place.y + place.height - high + number * pitch - pitch * 0.25)
        canvas.text(at, line, pitch / 1.15 * CAP_HEIGHT)
    return replace(place, height=place.height - high)


def _contents(canvas: Canvas, place: Place, contents: str) -> Place:
    """Write what lies in the case, legible at arm's length; return what is left above.

    What does not fit into its share is cut with three dots: the list in full is on the phone.
    """
    em = ARM_CAPITAL / CAP_HEIGHT
    pitch = em * 1.1
    most = int(place.height * MOST_CONTENTS / pitch)
    broken = broken_at(contents, (place.width - 2) / em, bold=True)
    if most < 1:
        return place
    lines = broken[:most]
    if len(broken) > most:
        lines[-1] = f"{lines[-1][:-3].rstrip(' ,')} ..."
    high = len(lines) * pitch
    for number, line in enumerate(lines, start=1):
        at = (place.x + 0.5, place.y + place.height - high + number * pitch - pitch * 0.25)
        canvas.text(at, line, ARM_CAPITAL)
    return replace(place, height=place.height - high)


def _column(canvas: Canvas, place: Place, lines: Sequence[Line], letters: Letters) -> None:
    total = sum(line.weight for line in lines)
    unit = min(place.height / max(total, 1), place.width / 5.5, 11.0)
    y = place.y
    for line in lines:
        height = unit * line.weight
        left = place.x + 0.5
        if line.band:
            size = (place.width - 1, height * 0.86)
            canvas.rectangle((left, y + height * 0.07), size)
            left += 1
        if line.icon is not None:
            line.icon((left, y + height * 0.1), height * 0.8)
            left += height
        capital = letters.fitting(line.text, place.x + place.width - left - 1, height * 0.55)
        at = (left + 0.5, y + (height + capital) / 2)
        canvas.text(at, line.text, capital, 1 if line.band else 0)
        y += height


def _lines(canvas: Canvas, case: LabelCase, face: Face) -> list[Line]:
    """Return text, share of height and icon of each line that has something to say."""
    stacks = case.stacks
    lid = f"ON LID {case.lid_load}".strip() if stacks else "NOTHING ON LID"
    facts = [
        Line(face.upper(), 1.0, lambda at, side: icons.face(canvas, at, side, face)),
        Line(case.department.upper(), 1.3, band=True),
        Line(case.name, 1.1),
        Line(f"HOME {case.home}" if case.home else "", 1.1),
        Line(case.footprint, 0.9),
        Line(case.mass, 1.1),
        Line(
            f"{case.roll} TO ROLL, LEVEL" if case.roll else "",
            1.1,
            lambda at, side: icons.caster(canvas, at, side),
        ),
        Line(
            f"{case.lift} TO LIFT, WAIST HIGH" if case.lift else "",
            1.1,
            lambda at, side: icons.person(canvas, at, side),
        ),
        Line(
            "NO HAND LIFT" if case.no_hand_lift else "",
            1.8,
            lambda at, side: _never(canvas, at, side),
        ),
        Line(
            lid if stacks is not None else "",
            1.0,
            lambda at, side: _lid(canvas, at, side, stacks=bool(stacks)),
        ),
        Line(case.owner, 0.8),
    ]
    lines = [line for line in facts if line.text]
    if case.stances:
        icon = Line("", 1.2, lambda at, side: _stances(canvas, at, side, case.stances))
        lines.insert(-1 if len(lines) > 4 else len(lines), icon)
    return lines


def _never(canvas: Canvas, at: Point, side: float) -> None:
    icons.lifted(canvas, at, side)
    icons.crossed(canvas, at, side)


def _lid(canvas: Canvas, at: Point, side: float, *, stacks: bool) -> None:
    if stacks:
        icons.stacking_limit(canvas, at, side)
        return
    icons.stacked(canvas, at, side)
    icons.crossed(canvas, at, side)


def _stances(canvas: Canvas, at: Point, side: float, allowed: Sequence[Stance]) -> None:
    """Draw the mark of ISO 780 and the three ways to stand; those not allowed are struck out."""
    icons.this_way_up(canvas, at, side)
    for number, how in enumerate(STANCES, start=1):
        place = (at[0] + number * side * 1.2, at[1])
        icons.stance(canvas, place, side, how)
        if how not in allowed:
            icons.crossed(canvas, place, side)
