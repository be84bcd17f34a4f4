"""Lists of kinds that no generator makes: nothing wrong, what needs a person asked."""

from __future__ import annotations

import datetime as dt
import tomllib
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from server.files.lists.propose import plain, propose
from server.files.lists.several import Several, count_of, several_of
from tests.files.lists.books import workbook
from tests.files.lists.compare import compare

KINDS: list[dict[str, Any]] = tomllib.loads(
    Path(__file__).with_name("kinds.toml").read_text("utf-8")
)["list"]
FIELDS = ("length_mm", "width_mm", "height_mm", "mass_kg", "name", "department", "home")
BOX = ("Box", 80, 60, 60)
HEAD: list[object] = ["Case", "Name", "L cm", "W cm", "H cm", "kg"]


def truth_of(text: str) -> dict[str, Any]:
    cases: dict[str, dict[str, object]] = {}
    for row in text.strip().splitlines():
        code, *cells = (cell.strip() for cell in row.split(";"))
        values: list[object] = [None if one == "-" else float(one) for one in cells[:4]]
        cases[code] = dict(zip(FIELDS, [*values, *cells[4:]], strict=True))
    return {"cases": cases}


@pytest.mark.parametrize("kind", KINDS, ids=lambda one: one["name"])
def test_a_list_of_this_kind_is_read_as_it_was_meant(kind: dict[str, Any]) -> None:
    got = plain(propose(kind["text"].encode(), "list.csv"))
    found = compare(got, truth_of(kind["truth"]))
    assert found.wrong == []
    assert found.asked == set(kind.get("ask", ()))
    whole = [one["why"] for one in got["ask"] if not one["code"]]
    wanted = kind.get("whole", [])
    assert len(whole) == len(wanted), whole
    assert all(said in why for said, why in zip(wanted, whole, strict=True)), whole


def asked(content: bytes) -> dict[str, str]:
    return {one["code"]: one["why"] for one in plain(propose(content, "x.xlsx"))["ask"]}


def test_rows_that_a_workbook_hides_are_asked_about() -> None:
    rows: list[list[object]] = [HEAD, ["A1", "Box", 80, 60, 60, 66], ["A2", "Box", 80, 60, 60, 66]]

    def hide(book: openpyxl.Workbook) -> None:
        book["Fleet"].row_dimensions[2].hidden = True

    assert asked(workbook(("Fleet", rows), change=hide)) == {
        "A1": "this row is hidden in the spreadsheet: is the case still yours?"
    }


def test_a_formula_that_no_program_has_worked_out_is_asked_about() -> None:
    rows: list[list[object]] = [
        HEAD,
        ["A1", "Box", 80, 60, 60, 66],
        ["A2", "Box", 80, 60, 60, "=F2"],
    ]
    assert asked(workbook(("Fleet", rows))) == {"A2": "weight: cannot read '=F2'"}


def test_merged_cells_say_the_same_for_every_row_and_a_weight_of_several_is_asked() -> None:
    rows: list[list[object]] = [
        ["Department", *HEAD],
        ["Audio", "A1", "Desk", 152, 102, 41, 86],
        [None, "A2", "Box", 80, 60, 60, 66],
        ["Light", "L1", "Box", 80, 60, 60, 66],
        [None, "L2", "Box", 80, 60, 60, None],
    ]

    def merge(book: openpyxl.Workbook) -> None:
        for area in ("A2:A3", "A4:A5", "G4:G5"):
            book["Fleet"].merge_cells(area)

    got = plain(propose(workbook(("Fleet", rows), change=merge), "x.xlsx"))
    assert [(one["department"], one["mass_kg"]) for one in got["cases"]] == [
        ("Audio", 86.0), ("Audio", 66.0), ("Light", 66.0), ("Light", 66.0),
    ]  # fmt: skip
    assert [one["code"] for one in got["ask"]] == ["L2"]


def test_cells_of_a_workbook_are_what_they_show() -> None:
    rows: list[list[object]] = [
        HEAD,
        [7, "Box", 80, 60, 60, 66],
        [dt.date(2024, 3, 1), "Box", 80, 60, 60, 66],
    ]

    def style(book: openpyxl.Workbook) -> None:
        book["Fleet"]["A2"].number_format = "000"
        book["Fleet"]["F2"].number_format = '0.0" lb"'

    got = plain(propose(workbook(("Fleet", rows), change=style), "x.xlsx"))
    first, second = got["cases"]
    assert (first["code"], first["mass_kg"]) == ("007", 29.937)
    assert second["code"].startswith("2024-03-01")
    assert [one["code"] for one in got["ask"]] == [second["code"]]


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        ("K-001..003", "K-001|K-002|K-003"),
        ("K-1 to K-3", "K-1|K-2|K-3"),
        ("K-98 – K-101", "K-98|K-99|K-100|K-101"),
        ("K-101..03", "K-101|K-102|K-103"),
        ("D1, 2 & 4", "D1|D2|D4"),
        ("D1-D3, D7", "D1|D2|D3|D7"),
        ("K 5 bis 7", "K 5|K 6|K 7"),
    ],
)
def test_a_cell_that_names_several_numbers(text: str, codes: str) -> None:
    assert several_of(text).codes == tuple(codes.split("|"))


def test_a_cell_that_names_one_number() -> None:
    for text in ("K-001", "C-2001/B", "S 1", "1/2", "A-3-2b", "SND 01", "", "K-009-001"):
        assert several_of(text) == Several((text,)), text
    assert not several_of("K-001-004").sure
    assert several_of("4 x K-7") == Several(("K-7",), 4)
    assert [count_of(text) for text in ("4", "4x", "4 pcs", "", "many")] == [4, 4, 4, None, None]
