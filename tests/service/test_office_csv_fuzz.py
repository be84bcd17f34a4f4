"""CSV from anywhere: encodings, separators, quotes, formulas, long files; all of it or none.

Formula cells: OWASP, CSV injection. RFC 4180 for quotes. Everything else is drawn from a seed.
"""

from __future__ import annotations

import csv
import io
import random
from typing import Final

import pytest

from server.core.base.units import Units
from server.core.shop.case import Case
from server.service.csv_table import FORMULA, BadCsv, Fault
from server.service.fleet_csv import read_fleet, write_fleet
from server.service.records import CaseNotes, Content, FleetCase

pytestmark = pytest.mark.slow

HEAD: Final = (
    "code",
    "name",
    "department",
    "length",
    "width",
    "height",
    "mass",
    "contents",
    "note",
)
ENCODINGS: Final = ("utf-8", "utf-8-sig", "utf-16", "cp1252")
SEPARATORS: Final = (",", ";", "\t")
# What makes trouble in cells: quotes, separators, breaks, formulas, letters of other scripts.
NASTY: Final = ('a "quoted" one', "a,b;c\td", "=1+1", "+49", "-5", "@sum", "Ål", "naïve", "",
                "'=x", "x" * 80, "two words ")  # fmt: skip


def file_of(dice: random.Random, lines: int) -> tuple[bytes, list[str]]:
    """Return a file as some program might have saved it, and its codes."""
    out = io.StringIO()
    writer = csv.writer(
        out,
        delimiter=dice.choice(SEPARATORS),
        quoting=csv.QUOTE_ALL if dice.random() < 0.5 else csv.QUOTE_MINIMAL,
        lineterminator=dice.choice(["\r\n", "\n"]),
    )
    writer.writerow(HEAD)
    codes = [f"C-{number}" for number in range(lines)]
    for code in codes:
        name, note = (dice.choice(NASTY).replace("\t", " ") for _ in range(2))
        sides = [dice.choice(["30", "22.5", "45,5", " 60 "]) for _ in range(3)]
        writer.writerow([code, name, "dept", *sides, "100", "3 x lamp; cable", note])
    return out.getvalue().encode(dice.choice(ENCODINGS)), codes


@pytest.mark.parametrize("seed", range(60))
def test_a_file_is_read_whole_however_it_was_saved(seed: int) -> None:
    content, codes = file_of(random.Random(seed), 20)
    assert [one.case.code for one in read_fleet(content, Units("in", "lb"))] == codes


@pytest.mark.parametrize("seed", range(200))
def test_a_broken_file_is_told_by_row_and_column_and_never_crashes(seed: int) -> None:
    dice = random.Random(seed)
    content = bytearray(file_of(dice, 6)[0])
    for _ in range(dice.randint(1, 12)):
        place = dice.randrange(len(content))
        action = dice.choice(["change", "drop", "insert"])
        if action == "change":
            content[place] = dice.randrange(256)
        elif action == "drop":
            del content[place]
        else:
            content[place:place] = dice.choice([b'"', b",", b"\n", b"\x00", b"\xff", b"="])
    faults: list[Fault] = []
    try:
        assert read_fleet(bytes(content), Units("in", "lb"))
    except BadCsv as bad:
        faults = bad.faults
    assert all(one.row >= 1 and one.column and one.expected for one in faults)


@pytest.mark.parametrize("seed", range(40))
def test_no_export_holds_a_formula_and_it_comes_back_the_same(seed: int) -> None:
    dice = random.Random(seed)

    def text() -> str:
        return dice.choice([*FORMULA[:4], ""]) + dice.choice(["cmd|' /C'!A0", "sum(A1)", "plain"])

    fleet = [
        FleetCase(
            Case(f"C-{number}", 762_000, 571_500, 609_600, name=text(), department=text(),
                 home=text(), mass_g=1000),
            owner=text(),
            notes=CaseNotes("2027-01-02", "", (Content(text() or "x", 2),), text()),
        )
        for number in range(10)
    ]  # fmt: skip
    written = write_fleet(fleet, Units("mm", "kg"))
    cells = [cell for line in csv.reader(io.StringIO(written)) for cell in line]
    assert not [cell for cell in cells if cell.startswith(FORMULA)]
    assert read_fleet(written.encode(), Units("mm", "kg")) == fleet


@pytest.mark.untraced
def test_one_wrong_cell_in_a_hundred_thousand_lines_is_found_and_nothing_is_taken() -> None:
    lines = [f"Q-{number},30,22.5,24" for number in range(100_000)]
    lines[70_000] = "Q-70000,30,wide,24"
    content = ("code,length,width,height\n" + "\n".join(lines)).encode()
    with pytest.raises(BadCsv) as told:
        read_fleet(content, Units("in", "lb"))
    assert [(one.row, one.column) for one in told.value.faults] == [(70_002, "width")]
