"""What shows only between lines: numbers that repeat, and one line of a kind in another unit."""

from __future__ import annotations

import re
from collections import Counter
from fractions import Fraction
from typing import Final

from server.files.lists.ditto import shape_of
from server.files.lists.lines import Line
from server.files.lists.words import SIDES

# Ratios that a forgotten unit or decimal mark leaves behind.
SLIPS: Final = {
    25.4: "inches", 2.54: "inches", 10.0: "another unit", 100.0: "another unit",
    1000.0: "another unit", 12.0: "feet", 30.48: "feet", 39.37: "metres",
}  # fmt: skip
MASS_SLIPS: Final = {2.2046: "pounds or kilograms", 10.0: "a decimal mark", 100.0: "a decimal mark"}


def question(lines: list[Line]) -> None:
    """Ask about repeated numbers, letters among digits, and slips of units."""
    _repeated(lines)
    _letters_for_digits(lines)
    kinds: dict[str, list[Line]] = {}
    for line in lines:
        if line.name:
            kinds.setdefault(line.name.casefold(), []).append(line)
    for group in kinds.values():
        if len(group) >= 3:
            _slips(group)


def _repeated(lines: list[Line]) -> None:
    first: dict[str, int] = {}
    for line in lines:
        same = " ".join(line.code.upper().split())
        if not same:
            continue
        if same in first:
            line.ask("code", f"{line.code} is on line {first[same]} too: two cases, or one?")
        else:
            first[same] = line.row


def _letters_for_digits(lines: list[Line]) -> None:
    """Ask about S1O4 among S101, S102, S103."""
    shapes = Counter(shape_of(line.code) for line in lines)
    usual = {shape for shape, count in shapes.items() if count >= max(5, len(lines) * 0.2)}
    for line in lines:
        shape = shape_of(line.code)
        if shape in usual or shapes[shape] > max(1, len(lines) * 0.05):
            continue
        swapped = re.sub(r"(?<=\d)[oO]|[oO](?=\d)", "0", line.code)
        swapped = re.sub(r"(?<=\d)[lI]|[lI](?=\d)", "1", swapped)
        if swapped != line.code and shape_of(swapped) in usual:
            line.ask("code", f"number: {line.code!r} looks like {swapped!r}: is it?")


def _slips(group: list[Line]) -> None:
    """Ask about a line that differs from most of its kind as another unit would."""
    for n, side in enumerate(SIDES):
        usual = _usual([line.sides_mm[n] for line in group])
        for line in group:
            slip = _slip(line.sides_mm[n], usual, SLIPS)
            if slip:
                times = _times(line.sides_mm[n], usual)
                why = f"{side}: the others of this name are {times}; is it in {slip}?"
                line.ask(side, why)
    usual = _usual([line.mass_g for line in group])
    for line in group:
        slip = _slip(line.mass_g, usual, MASS_SLIPS)
        if slip:
            times = _times(line.mass_g, usual)
            why = f"weight: the others of this name weigh {times}: a slip of {slip}?"
            line.ask("mass", why)


def _usual(values: list[Fraction | None]) -> float | None:
    """Return what at least three fifths of the known values are, within a hundredth."""
    known = sorted(float(value) for value in values if value is not None)
    if len(known) < 3:
        return None
    middle = known[len(known) // 2]
    near = sum(abs(value / middle - 1) < 0.01 for value in known)
    return middle if near >= 0.6 * len(known) else None


def _slip(value: Fraction | None, usual: float | None, slips: dict[float, str]) -> str:
    if value is None or usual is None:
        return ""
    ratio = max(float(value) / usual, usual / float(value))
    return next((what for slip, what in slips.items() if abs(ratio / slip - 1) < 0.02), "")


def _times(value: Fraction | None, usual: float | None) -> str:
    """Return how many times more or less the others are."""
    ratio = float(value or 1) / (usual or 1)
    return f"{1 / ratio:.3g} times this" if ratio < 1 else f"a {ratio:.3g}th of this"
