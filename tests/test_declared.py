"""What the client knows of cases and vehicles is what the server declares."""

from __future__ import annotations

from dataclasses import make_dataclass
from pathlib import Path
from typing import Annotated

import pytest

from server.api.declared import change_fields, make, model_fields
from server.core.base.units import Units
from server.core.shop.case import Case
from server.core.shop.columns import Column, columns
from server.files.show_schema import ShowModel
from server.service import case_cells
from server.service.csv_cells import Cells
from server.service.fleet_csv import LAYOUT
from tests.support import declared


@pytest.mark.parametrize("file", declared.files(), ids=lambda file: Path(file).name)
def test_the_generated_file_is_up_to_date(file: Path) -> None:
    expected = declared.plain(declared.files()[file])
    assert declared.plain(file.read_text(encoding="utf-8")) == expected, (
        "run python -m tests.support.declared"
    )


def test_every_column_of_a_case_is_in_the_show_file_and_those_for_it_in_the_csv_file() -> None:
    schema = ShowModel.model_json_schema()["$defs"]["CaseModel"]["properties"]
    assert {one.name for one in columns(Case).values()} <= set(schema)
    listed = {one.name for one in columns(Case).values() if one.column.in_csv}
    assert listed <= set(LAYOUT.columns) and "lid_load" in listed
    assert LAYOUT.heading(Units("cm", "kg"))[4:8] == [
        "length_cm",
        "width_cm",
        "height_cm",
        "mass_kg",
    ]


def test_a_column_that_is_added_by_one_line_reaches_the_api_the_csv_file_and_the_form() -> None:
    line = Annotated[bool, Column("Fragile", "flag", many=True)]
    wider = make_dataclass("Wider", [("fragile", line, False)], bases=(Case,), frozen=True)
    one = columns(wider)["fragile"]
    model = make("Wider", "A case with one more column.", model_fields(wider))
    given = {"code": "A", "length_um": 1, "width_um": 1, "height_um": 1, "fragile": True}
    assert model.model_validate(given).fragile is True
    assert "fragile" in change_fields(wider)
    assert case_cells.READERS[one.column.kind](Cells(["yes"], {"fragile": (0, "")}), one)
    assert declared.row(one, "case")["label"] == "Fragile"
