"""Workbooks for tests, written by openpyxl: an outside writer of the format that we read."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterable

import openpyxl


def workbook(
    *sheets: tuple[str, Iterable[Iterable[object]]],
    change: Callable[[openpyxl.Workbook], None] | None = None,
) -> bytes:
    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    for name, rows in sheets:
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(list(row))
    if change is not None:
        change(book)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()
