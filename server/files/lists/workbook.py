"""The sheets of an Excel workbook (.xlsx, ECMA-376), read without running anything in it."""

from __future__ import annotations

import io
import zipfile
import zlib
from typing import Final
from xml.parsers.expat import ExpatError

from server.files.lists.sheets import Sheet
from server.files.lists.workbook_cells import rows_of
from server.files.lists.workbook_parts import Parts, Trap, parts_of_book
from server.trouble import BadInput

MOST_UNPACKED: Final = 200_000_000
MOST_SHEETS: Final = 100


def workbook_sheets(content: bytes, place: str) -> tuple[Sheet, ...]:
    """Return the sheets of a workbook; BadInput where it is none, or too large."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            _refuse_others(packed, place)
            parts = parts_of_book(packed)
            return tuple(
                _sheet(packed, parts, n, place) for n in range(len(parts.sheets[:MOST_SHEETS]))
            )
    except Trap as error:
        raise BadInput(place, "XML without a document type", str(error)[:60]) from error
    except (
        zipfile.BadZipFile, EOFError, RuntimeError, ExpatError, KeyError,
        ValueError, OverflowError, zlib.error,
    ) as error:  # fmt: skip
        found = f"{type(error).__name__}: {error}"[:80]
        raise BadInput(place, "an Excel workbook (.xlsx)", found) from error


def _refuse_others(packed: zipfile.ZipFile, place: str) -> None:
    """Refuse a packed file of another kind, and one that unpacks to too much."""
    names = packed.namelist()
    if "xl/workbook.xml" not in names:
        kind = "an OpenDocument file" if "content.xml" in names else "another kind of file"
        raise BadInput(place, "a .csv, .tsv or .xlsx file: save it as one of these", kind)
    if sum(one.file_size for one in packed.infolist()) > MOST_UNPACKED:
        raise BadInput(place, "at most 200 MB unpacked", "more")


def _sheet(packed: zipfile.ZipFile, parts: Parts, number: int, place: str) -> Sheet:
    """Return one sheet; charts have no rows."""
    name, hidden, path = parts.sheets[number]
    if not path:
        return Sheet(name, (), hidden)
    with packed.open(path) as source:
        rows, hidden_rows, merged = rows_of(source, parts, f"{place}, sheet {name}")
    return Sheet(name, rows, hidden, hidden_rows, merged)
