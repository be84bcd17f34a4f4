"""A fleet from a CSV file: all or nothing, every wrong cell named by row, column, expectation."""

from __future__ import annotations

import csv
import io
import time

import pytest

from server.core.base.units import Units
from server.service.csv_table import BadCsv
from server.service.fleet_csv import LAYOUT, read_fleet, write_fleet

pytestmark = pytest.mark.slow

INCHES = Units("in", "lb")
HEAD = "code,length,width,height\n"


def read(text: str | bytes, units: Units = INCHES) -> list[str]:
    content = text.encode() if isinstance(text, str) else text
    return [one.case.code for one in read_fleet(content, units)]


def faults(text: str | bytes) -> list[tuple[int, str, str, str]]:
    with pytest.raises(BadCsv) as bad:
        read(text)
    return [(one.row, one.column, one.expected, one.got) for one in bad.value.faults]


def test_a_plain_file_becomes_cases_in_exact_units() -> None:
    text = (
        "code,name,department,home,length,width,height,mass,lid_load,stances,rides,turn\n"
        "PW-001-J,feeder trunk,power,P1,45,22.5,30,420,300,upright on_side,no,yes\n"
    )
    (one,) = read_fleet(text.encode(), INCHES)
    # 1 in = 25.4 mm exactly (yard and pound agreement of 1959)
    assert (one.case.length_um, one.case.width_um, one.case.height_um) == (
        1_143_000,
        571_500,
        762_000,
    )
    assert one.case.stances == ("upright", "on_side") and one.case.turn and not one.case.rides
    assert one.case.lid_load_g == 136_078 and one.case.mass_g == 190_509  # 0.45359237 kg a pound


# how it was saved → the bytes of a file with Müller in it
SAVED = {
    "UTF-8": "code,name,length,width,height\nA,Müller,1,1,1\n".encode(),
    "UTF-8 with byte order mark": "\ufeffcode,name,length,width,height\nA,Müller,1,1,1\n".encode(),
    "Windows-1252": "code,name,length,width,height\nA,Müller,1,1,1\n".encode("cp1252"),
    "UTF-16": "code,name,length,width,height\nA,Müller,1,1,1\n".encode("utf-16"),
    "semicolons": "code;name;length;width;height\nA;Müller;1,0;1;1\n".encode(),
    "tabs": "code\tname\tlength\twidth\theight\nA\tMüller\t1\t1\t1\n".encode(),
    "Windows line ends": "code,name,length,width,height\r\nA,Müller,1,1,1\r\n".encode(),
    "blank lines": "code,name,length,width,height\n\nA,Müller,1,1,1\n,,,,\n".encode(),
    "other order": "Height,Width,Name,Length,Code\n1,1,Müller,1,A\n".encode(),
    "quotes": 'code,name,length,width,height\nA,"Müller",1,1,1\n'.encode(),
}


@pytest.mark.parametrize("how", SAVED)
def test_a_file_is_read_however_it_was_saved(how: str) -> None:
    (one,) = read_fleet(SAVED[how], INCHES)
    assert one.case.code == "A" and one.case.name == "Müller" and one.case.length_um == 25_400


def test_a_heading_may_name_its_unit() -> None:
    (one,) = read_fleet(b"code,length_cm,width_mm,height,mass_kg\nA,60,600,10,5\n", INCHES)
    assert (one.case.length_um, one.case.width_um) == (600_000, 600_000)
    assert one.case.height_um == 254_000 and one.case.mass_g == 5_000


# what is wrong → file, and the faults that are told
WRONG: dict[str, tuple[str | bytes, list[tuple[int, str, str, str]]]] = {
    "a length that is no number": (
        HEAD + "A,abc,1,1\n",
        [(2, "length", "a number above zero", "'abc'")],
    ),
    "a negative and a missing side, both told": (
        HEAD + "A,1,1,1\nB,-1,,1\n",
        [(3, "length", "a number above zero", "'-1'"), (3, "width", "a number above zero",
                                                         "nothing")],
    ),
    "an endless number": (HEAD + "A,inf,1,1\n", [(2, "length", "a number above zero", "'inf'")]),
    "a number that is none": (HEAD + "A,nan,1,1\n", [(2, "length", "a number above zero",
                                                      "'nan'")]),
    "no code": (HEAD + ",1,1,1\n", [(2, "code", "a value here", "nothing")]),
    "a code twice": (
        HEAD + "A,1,1,1\nB,1,1,1\nA,2,2,2\n",
        [(4, "code", "every code once (row 2 has it)", "A")],
    ),
    "no column of sides": (
        "code,length\nA,1\n",
        [(1, "width", "a column of this heading", "none"), (1, "height",
                                                            "a column of this heading", "none")],
    ),
    "a column twice": (
        "code,length,length,width,height\nA,1,1,1,1\n",
        [(1, "length", "every column once", "twice")],
    ),
    "nothing below the heading": (HEAD, [(2, "code", "at least one case below the heading",
                                          "nothing")]),
    "a yes that is none": (
        "code,length,width,height,rides\nA,1,1,1,maybe\n",
        [(2, "rides", "yes or no", "'maybe'")],
    ),
    "an unknown stance": (
        "code,length,width,height,stances\nA,1,1,1,upside\n",
        [(2, "stances", "one or more of upright on_end on_side", "'upside'")],
    ),
    "more cells than headings": (HEAD + "A,1,1,1,9\n", [(2, "line", "at most 4 cells",
                                                         "5 cells")]),
}  # fmt: skip


@pytest.mark.parametrize("what", WRONG)
def test_every_wrong_cell_is_named(what: str) -> None:
    text, told = WRONG[what]
    assert faults(text) == told


def test_an_unknown_column_is_named_with_what_there_is() -> None:
    ((row, column, expected, _),) = faults("code,length,width,height,colour\nA,1,1,1,red\n")
    assert (row, column) == (1, "colour") and "lid_load" in expected


@pytest.mark.parametrize(
    "content",
    [b"", b"\x00\x01\x02", b"\x89PNG\r\n\x1a\n" + b"\0" * 50, b"\xff\xfe\x00", b'code,"open\n'],
)
def test_what_is_no_csv_is_told_so(content: bytes) -> None:
    assert faults(content)


@pytest.mark.untraced
def test_a_hundred_thousand_lines_are_bounded_in_number_and_in_faults() -> None:
    lines = "".join(f"C{n},30,22.5,x\n" for n in range(LAYOUT.most))
    begun = time.process_time()
    with pytest.raises(BadCsv) as bad:
        read(HEAD + lines)
    assert len(bad.value.faults) == 200 and bad.value.more == LAYOUT.most - 200
    assert time.process_time() - begun < 20
    assert faults(HEAD + lines.replace("x", "1") + "LAST,1,1,1\n")[-1][2] == "at most 100000 cases"


def test_what_goes_out_comes_back_the_same() -> None:
    text = (
        "code,name,department,home,length,width,height,mass,lid_load,stances,rides,turn,owner,"
        "state\n"
        "A,x,d,h,45.125,22.5,30,420,300,upright on_end,yes,no,Someone,repair\n"
        "B,,,,1,1,1,,,,,,,\n"
    )
    cases = read_fleet(text.encode(), INCHES)
    for units in (INCHES, Units("mm", "kg"), Units("cm", "lb")):
        assert read_fleet(write_fleet(cases, units).encode(), Units("mm", "kg")) == cases


@pytest.mark.parametrize("cell", ["=1+1", "+A1", "-A1", "@SUM(A1)", "=HYPERLINK(1)"])
def test_no_cell_runs_in_a_spreadsheet_and_each_still_comes_back(cell: str) -> None:
    """OWASP, CSV injection: cells that begin with = + - @ are run as formulas."""
    text = f'code,name,length,width,height\nA,"{cell}",1,1,1\n'
    cases = read_fleet(text.encode(), INCHES)
    assert cases[0].case.name == cell
    written = write_fleet(cases, INCHES)
    for row in csv.reader(io.StringIO(written)):
        assert not any(value.startswith(("=", "+", "-", "@")) for value in row)
    assert read_fleet(written.encode(), INCHES) == cases


def test_lengths_and_masses_are_read_as_people_write_them() -> None:
    text = (
        'code,length,width,height,mass\nA,"45""",22 1/2,3\' 6",310 lbs\n'
        'B,22½,572mm,"57,5","1,250"\n'
    )
    first, second = read_fleet(text.encode(), INCHES)
    assert (first.case.length_um, first.case.width_um) == (1_143_000, 571_500)
    assert (first.case.height_um, first.case.mass_g) == (1_066_800, 140_614)
    assert (second.case.length_um, second.case.width_um) == (571_500, 572_000)
    assert (second.case.height_um, second.case.mass_g) == (1_460_500, 566_990)
    with pytest.raises(BadCsv, match="length"):
        read_fleet(b'code,length,width,height\nA,"1,143",30,30\n', INCHES)
