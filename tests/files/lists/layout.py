"""Headings, junk and files around the lines of an invented list."""

from __future__ import annotations

import csv
import io

import openpyxl

from tests.files.lists.manner import HEADINGS, JUNK, TITLES, Manner

ENCODINGS = (
    "utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252", "cp850", "mac_roman",
)  # fmt: skip
MAC_NONE = {"×": "x", "½": " 1/2", "¼": " 1/4", "¾": " 3/4"}


def with_junk(manner: Manner, fields: list[str], body: list[list[object]]) -> list[list[object]]:
    rng = manner.rng
    rows: list[list[object]] = []
    for row in body:
        rows.append(row)
        if rng.random() < 0.04:
            rows.append([""] * len(fields))
    if rng.random() < 0.5:
        total: list[object] = [""] * len(fields)
        total[0], total[-1] = rng.choice(JUNK["total"]), str(len(body))
        rows += [[""] * len(fields), total]
    if rng.random() < 0.3:
        rows.append([rng.choice(JUNK["foot"])])
    return rows


def with_heading(manner: Manner, fields: list[str], rows: list[list[object]]) -> list[list[object]]:
    rng, words = manner.rng, HEADINGS[manner.language]
    top: list[list[object]] = []
    if rng.random() < 0.6 or manner.headed == "late":
        top += [[rng.choice(TITLES)], []]
    if manner.unit_place == "title":
        top.append([JUNK["units"][0].format(_spoken(manner.unit), _spoken(manner.mass_unit))])
    if manner.headed == "late":
        top += [[rng.choice(JUNK["foot"])], [], ["Rowena", "office"], []]
    if manner.headed == "none":
        return [*top, *rows]
    heading: list[object] = []
    for one in fields:
        word = rng.choice(words[one])
        if one == "sides" and manner.order != ("length", "width", "height"):
            word = " x ".join(
                {"length": "L", "width": "W", "height": "H"}[side] for side in manner.order
            )
        if one == "base":
            word = " x ".join(
                {"length": "L", "width": "W"}[side] for side in manner.order if side != "height"
            )
        heading.append(word)
    return [*top, *_heading_rows(manner, fields, heading), *rows]


def _heading_rows(manner: Manner, fields: list[str], heading: list[object]) -> list[list[object]]:
    units = [
        manner.unit
        if one in {"length", "width", "height", "sides", "base"}
        else manner.mass_unit
        if one == "mass"
        else ""
        for one in fields
    ]
    stated = [
        unit
        if (one == "mass" and manner.mass_place == "heading")
        or (one != "mass" and manner.unit_place == "heading")
        else ""
        for one, unit in zip(fields, units, strict=True)
    ]
    if manner.headed == "unit_row":
        return [heading, [f"({unit})" if unit else "" for unit in stated]]
    shape = manner.rng.choice(("{} ({})", "{} {}", "{} [{}]"))
    written: list[object] = [
        shape.format(word, unit) if unit else word
        for word, unit in zip(heading, stated, strict=True)
    ]
    together = [fields.index(one) for one in manner.order if one in fields]
    if manner.headed != "group_row" or max(together) - min(together) != 2:
        return [written]
    above: list[object] = [""] * len(fields)
    above[min(together)] = f"Dimensions ({manner.unit})"
    letters = {"length": "L", "width": "W", "height": "H"}
    return [above, [letters.get(one, word) for one, word in zip(fields, written, strict=True)]]


def _spoken(unit: str) -> str:
    return {"in": "inches", "cm": "cm", "mm": "mm", "m": "metres", "lb": "lbs", "kg": "kg"}[unit]


def saved(manner: Manner, rows: list[list[object]]) -> tuple[bytes, str]:
    rng = manner.rng
    if rng.random() < 0.3:
        return _workbook(manner, rows), "list.xlsx"
    out = io.StringIO()
    separator = rng.choice((";", "\t", "|") if manner.comma else (",", ";", "\t", "|"))
    csv.writer(out, delimiter=separator, lineterminator=rng.choice(("\r\n", "\n"))).writerows(rows)
    text, encoding = out.getvalue(), rng.choice(ENCODINGS)
    if encoding == "mac_roman":
        for sign, plain in MAC_NONE.items():
            text = text.replace(sign, plain)
    return text.encode(encoding, "replace"), "list.csv"


def _workbook(manner: Manner, rows: list[list[object]]) -> bytes:
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    for row in rows:
        sheet.append([_typed(manner, cell) for cell in row])
    if rows and len([cell for cell in rows[0] if cell]) == 1:
        sheet.merge_cells(start_row=1, start_column=1, end_row=1, end_column=4)
    book.create_sheet("Notes").append(["nothing here"])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _typed(manner: Manner, cell: object) -> object:
    """Return a plain number as a number, as a spreadsheet keeps it."""
    text = str(cell)
    plain = text.replace(",", ".") if manner.comma and not manner.grouped else text
    if manner.grouped and manner.comma:
        plain = text.replace(".", "")
    elif manner.grouped:
        plain = text.replace(",", "")
    if text.startswith("0") and text.isdigit():
        return text
    try:
        return float(plain) if plain and not plain.endswith(".00") else cell
    except ValueError:
        return cell
