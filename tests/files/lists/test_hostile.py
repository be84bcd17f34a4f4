"""Files that are no lists, or mean harm."""

from __future__ import annotations

import io
import zipfile

import pytest

from server.files.lists.propose import Choices, plain, propose
from server.trouble import BadInput
from tests.files.lists.books import workbook

ROWS: list[list[object]] = [
    ["Nr", "Name", "Length cm", "Width cm", "Height cm", "kg"],
    ["K-1", "amp case", 76.2, 61, 76.2, 109],
    ["K-2", "amp case", 76.2, 61, 76.2, 109],
]


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        (b"", "an empty file"),
        (b"  \r\n \n", "an empty file"),
        (b"%PDF-1.7 ...", "a PDF"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), "an old Excel file"),
        (b"\x89PNG\r\n\x1a\n", "a picture"),
        (b"PK\x03\x04 broken", "an Excel workbook"),
        (b"hello world\n", "lines with numbers and sides"),
        (b"one,two\nthree,four\n", "lines with numbers and sides"),
        (b"Nr,Length\n" + b",".join([b"x"] * 300), "at most 200 columns"),
        (b"Nr,Length\nK," + b"9" * 2_000, "at most 1000 characters"),
        (bytes(range(256)) * 4, "expected"),
    ],
)
def test_what_is_no_list_is_refused_with_what_to_do(content: bytes, expected: str) -> None:
    with pytest.raises(BadInput, match=expected):
        propose(content, "list")


def test_a_workbook_that_is_a_trap_is_refused() -> None:
    packed = io.BytesIO()
    source = zipfile.ZipFile(io.BytesIO(workbook(("Cases", ROWS))))
    with source, zipfile.ZipFile(packed, "w") as out:
        for name in source.namelist():
            text = source.read(name)
            if name.startswith("xl/worksheets"):
                text = b'<!DOCTYPE x [<!ENTITY a "aaaa">]>' + text
            out.writestr(name, text)
    with pytest.raises(BadInput, match="without a document type"):
        propose(packed.getvalue(), "list.xlsx")
    huge = io.BytesIO()
    with zipfile.ZipFile(huge, "w", zipfile.ZIP_DEFLATED) as out:
        out.writestr("xl/workbook.xml", b"<a/>")
        with out.open("xl/worksheets/sheet1.xml", "w") as part:
            for _ in range(210):
                part.write(bytes(1_000_000))
    with pytest.raises(BadInput, match="200 MB"):
        propose(huge.getvalue(), "list.xlsx")
    other = io.BytesIO()
    with zipfile.ZipFile(other, "w") as out:
        out.writestr("content.xml", "<a/>")
    with pytest.raises(BadInput, match="OpenDocument"):
        propose(other.getvalue(), "list.ods")


def test_every_sheet_is_offered_and_another_list_is_asked_about() -> None:
    content = workbook(
        ("Info", [["Hello"]]), ("Sound", ROWS), ("Lights", [*ROWS, ["K-3", "x", 60, 60, 60, 5]])
    )
    found = propose(content, "list.xlsx")
    assert found.sheets == (("Info", 0), ("Sound", 2), ("Lights", 3))
    assert len(found.lines) == 3
    assert next(one.why for one in found.asks if not one.code).startswith(
        "Sheet 'Sound' has 2 lines"
    )
    assert len(propose(content, "list.xlsx", Choices(sheet="Sound")).lines) == 2
    with pytest.raises(BadInput, match="one of the sheets Info, Sound, Lights"):
        propose(content, "list.xlsx", Choices(sheet="Video"))


def test_a_person_may_choose_columns_units_and_heading() -> None:
    text = b"a,b,c,d,e\nK-1,45,22.5,24,150\nK-2,30,24,30,240\n"
    choices = Choices(
        heading=1,
        columns={"code": 1, "width": 2, "length": 3, "height": 4, "mass": 5},
        units={"length": "cm", "mass": "kg"},
    )
    case = plain(propose(text, "list", choices))["cases"][0]
    assert (case["length_mm"], case["width_mm"], case["mass_kg"]) == (225.0, 450.0, 150.0)
    with pytest.raises(BadInput, match="units: expected one of"):
        propose(text, "list", Choices(units={"length": "furlong"}))
