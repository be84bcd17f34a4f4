"""The sheets of an Excel workbook (.xlsx, ECMA-376), read by openpyxl without running anything."""

from __future__ import annotations

import io
import re
import warnings
import zipfile
from datetime import date, datetime, time
from typing import Any, Final

import openpyxl

from server.files.lists.sheets import MOST_ROWS, Cell, Sheet, bounded
from server.trouble import BadInput

MOST_UNPACKED: Final = 200_000_000
MOST_SHEETS: Final = 100
WORDS_IN_FORMAT: Final = re.compile(r'"([^"]*)"|\\(.)')
ZEROS: Final = re.compile(r"0+")


def workbook_sheets(content: bytes, place: str) -> tuple[Sheet, ...]:
    """Return the sheets of a workbook; BadInput where it is none, or too large."""
    _refuse_traps(content, place)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of styles and extensions, which nobody asks for
            book = openpyxl.load_workbook(io.BytesIO(content), read_only=True, data_only=True)
            return tuple(_sheet(book[name], place) for name in book.sheetnames[:MOST_SHEETS])
    except BadInput:
        raise
    except Exception as error:  # whatever a broken file makes the library raise
        raise BadInput(place, "an Excel workbook (.xlsx)", f"{type(error).__name__}") from error


def _refuse_traps(content: bytes, place: str) -> None:
    """Refuse what unpacks to too much, and XML that declares entities."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            names = packed.namelist()
            if "xl/workbook.xml" not in names:
                kind = "an OpenDocument file" if "content.xml" in names else "another kind of file"
                raise BadInput(place, "a .csv, .tsv or .xlsx file: save it as one of these", kind)
            if sum(one.file_size for one in packed.infolist()) > MOST_UNPACKED:
                raise BadInput(place, "at most 200 MB unpacked", "more")
            for name in names:
                if name.endswith((".xml", ".rels")) and b"<!DOCTYPE" in packed.read(name):
                    raise BadInput(place, "XML without a document type", name[:60])
    except (zipfile.BadZipFile, EOFError, RuntimeError) as error:
        raise BadInput(place, "an Excel workbook (.xlsx)", str(error)[:80]) from error


def _sheet(sheet: Any, place: str) -> Sheet:
    """Return one sheet; charts have no rows."""
    hidden = getattr(sheet, "sheet_state", "visible") != "visible"
    if not hasattr(sheet, "reset_dimensions"):
        return Sheet(sheet.title, (), hidden)
    sheet.reset_dimensions()  # files of other programs state too little
    rows: list[tuple[Cell, ...]] = []
    for number, cells in enumerate(sheet.iter_rows(), start=1):
        if number > MOST_ROWS:
            raise BadInput(f"{place}, sheet {sheet.title}", f"at most {MOST_ROWS} rows", "more")
        row: list[Cell] = [_cell(one) for one in cells]
        rows.append(bounded(row, f"{place}, sheet {sheet.title}, row {number}"))
    return Sheet(sheet.title, tuple(rows), hidden)


def _cell(cell: Any) -> Cell:
    """Return what a cell shows: a number, or a text where its format adds words or zeros."""
    value = cell.value
    if value is None or isinstance(value, str):
        return value or ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    style = str(cell.number_format or "General")
    if ZEROS.fullmatch(style) and float(value).is_integer():
        return str(int(value)).zfill(len(style))
    shown = WORDS_IN_FORMAT.findall(style.split(";", maxsplit=1)[0])
    words = " ".join("".join(one) for one in shown).strip()
    if any(sign.isalpha() or sign in "\"'#" for sign in words):
        return f"{plain_number(value)} {words}"
    return float(value)


def plain_number(value: float) -> str:
    """Return a number without an exponent or a decimal point that says nothing."""
    return str(int(value)) if float(value).is_integer() else repr(round(float(value), 6))
