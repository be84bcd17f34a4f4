"""The cells of one line of a CSV file, read one by one; what is wrong is collected."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Final

from server.core.base.measures import (
    Amount,
    Refusal,
    grams,
    millimetres,
    read_length,
    read_mass,
)
from server.core.base.units import to_g, to_um

YES: Final = frozenset({"yes", "y", "true", "1", "x"})
NO: Final = frozenset({"no", "n", "false", "0", ""})
MOST: Final = 1_000_000.0
MOST_INSIDE: Final = 10**9  # micrometres (1 km) or grams (1,000 t), as everywhere in the office
ABOVE_ZERO: Final = "a number above zero"
FROM_ZERO: Final = "a number of zero or more"


class WrongCell(Exception):
    """A line that cannot be taken; each fault is (column, expected, got)."""

    def __init__(self, faults: list[tuple[str, str, str]]) -> None:
        super().__init__(str(faults))
        self.faults = faults


def number_of(text: str) -> float | None:
    """Return the number that a cell says, None where it says none.

    60,5 is how half the world writes 60.5; what may be thousands is refused.
    """
    whole, _, rest = text.partition(",")
    if len(rest) == 3 and 1 <= len(whole) <= 3 and whole.isdigit() and whole[0] != "0":
        return None  # 1,143 may be thousands or decimals
    plain = text.replace(",", ".") if text.count(",") == 1 and "." not in text else text
    try:
        value = float(plain) if plain.isascii() and "_" not in plain else None
    except ValueError:
        return None
    return value if value is not None and abs(value) <= MOST else None  # NaN is refused too


class Cells:
    """Reads cells by column and collects what is wrong, so that a line is told once and wholly."""

    def __init__(self, cells: list[str], columns: Mapping[str, tuple[int, str]]) -> None:
        self._cells = cells
        self._columns = columns
        self.faults: list[tuple[str, str, str]] = []
        width = max(place for place, _ in columns.values())
        if any(cell.strip() for cell in cells[width + 1 :]):
            self.wrong("line", f"at most {width + 1} cells", f"{len(cells)} cells")

    def wrong(self, column: str, expected: str, got: str) -> None:
        """Note a wrong cell."""
        self.faults.append((column, expected, got))

    def unit(self, column: str) -> str:
        """Return the unit of a column that the file has."""
        return self._columns[column][1]

    def cell(self, column: str) -> str:
        """Return a cell's text without the blanks around it, empty where there is none."""
        place = self._columns.get(column, (len(self._cells), ""))[0]
        text = self._cells[place].strip() if place < len(self._cells) else ""
        # What `harmless` of the way out put before it.
        return text[1:] if text[:2] in {"'=", "'+", "'-", "'@"} else text

    def text(self, column: str, longest: int, *, required: bool = False) -> str:
        """Return a text of bounded length."""
        text = self.cell(column)
        if required and not text:
            self.wrong(column, "a value here", "nothing")
        elif len(text) > longest:
            self.wrong(column, f"at most {longest} characters", f"{len(text)}")
        elif not text.isprintable():
            self.wrong(column, "printable text", repr(text[:40]))
        return text

    def number(
        self, column: str, expected: str = FROM_ZERO, *, required: bool = False
    ) -> float | None:
        """Return a number above zero, of zero or more, or any, as `expected` says."""
        text = self.cell(column)
        if not text:
            if required:
                self.wrong(column, expected, "nothing")
            return None
        value = number_of(text)
        if (
            value is None
            or (expected == ABOVE_ZERO and value <= 0)
            or (expected == FROM_ZERO and value < 0)
        ):
            self.wrong(column, expected, repr(text[:40]))
            return None
        return value

    def length(
        self, column: str, expected: str = FROM_ZERO, *, required: bool = False
    ) -> int | None:
        """Return a length in micrometres, to the nearest."""
        written = self._written(column, read_length, millimetres)
        if written is not None:
            return self._bounded(column, round(written * 1000))
        value = self.number(column, expected, required=required)
        return None if value is None else self._bounded(column, to_um(value, self.unit(column)))

    def _written(
        self,
        column: str,
        read: Callable[[str, str], Amount | Refusal],
        inside: Callable[[Amount, str], Fraction],
    ) -> Fraction | None:
        """Return an amount that is more than a plain number: 22 1/2, 45", 572mm, 310 lbs, 57,1."""
        text = self.cell(column)
        if column not in self._columns or not text or number_of(text.replace(",", "x")) is not None:
            return None
        amount = read(text, self.unit(column))
        return inside(amount, self.unit(column)) if isinstance(amount, Amount) else None

    def side(self, column: str) -> int:
        """Return a side of a case, which must be there and is rounded down."""
        written = self._written(column, read_length, millimetres)
        if written:
            return max(1, self._bounded(column, int(written * 1000)))
        value = self.number(column, ABOVE_ZERO, required=True)
        if value is None:
            return 0
        return max(1, self._bounded(column, to_um(value, self.unit(column), "down")))

    def mass(self, column: str, *, required: bool = False) -> int | None:
        """Return a mass in grams."""
        written = self._written(column, read_mass, grams)
        if written is not None:
            return self._bounded(column, round(written))
        value = self.number(column, required=required)
        return None if value is None else self._bounded(column, to_g(value, self.unit(column)))

    def _bounded(self, column: str, inside: int) -> int:
        if abs(inside) > MOST_INSIDE:
            self.wrong(column, "at most 1 km or 1,000 t", repr(self.cell(column)[:40]))
        return inside

    def yes(self, column: str, *, default: bool) -> bool:
        """Return whether a cell says yes."""
        text = self.cell(column).lower()
        if column not in self._columns or not text:
            return default
        if text not in YES | NO:
            self.wrong(column, "yes or no", repr(text[:40]))
        return text in YES
