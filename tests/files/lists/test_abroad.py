"""Lists of other countries and trades, and lists whose words nobody knows: right, or asked."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from server.files.lists.propose import plain, propose
from tests.files.lists.compare import compare
from tests.files.lists.test_kinds import truth_of

ABROAD: list[dict[str, Any]] = tomllib.loads(
    Path(__file__).with_name("abroad.toml").read_text("utf-8")
)["list"]


@pytest.mark.parametrize("one", ABROAD, ids=lambda one: one["name"])
def test_every_cell_is_right_and_only_what_needs_a_person_is_asked(one: dict[str, Any]) -> None:
    got = plain(propose(one["text"].encode(one["encoding"]), "list.csv"))
    found = compare(got, truth_of(one["truth"]))
    assert found.wrong == []
    assert found.asked == set(one["asked"])


def asked_of_all(text: str) -> str:
    asks = plain(propose(text.encode(), "list.csv"))["ask"]
    return " ".join(one["why"] for one in asks if not one["code"])


def test_a_heading_of_unknown_words_is_read_by_its_cells_and_asked_about() -> None:
    text = "Kesto;Enhavo;Longeco;Largeco;Alteco;Pezo\n" + "".join(
        f"E-{n};Miksilo;{side};80;45;78\n" for n, side in enumerate((120, 60, 110), start=1)
    )
    got = plain(propose(text.encode(), "list.csv"))
    assert [one["code"] for one in got["cases"]] == ["E-1", "E-2", "E-3"]
    assert got["cases"][0]["length_mm"] == 1200 and got["cases"][0]["mass_kg"] == 78
    assert "length in 'Longeco'" in asked_of_all(text)


def test_millimetres_under_a_heading_of_metres_are_read_so_and_asked_about() -> None:
    text = "Case,Name,Length (m),Width (m),Height (m),kg\nM1,Rack,1200,600,700,90\n"
    assert plain(propose(text.encode(), "list.csv"))["cases"][0]["length_mm"] == 1200
    assert "read as millimetres" in asked_of_all(text)


def test_cases_beside_the_list_are_asked_about() -> None:
    text = "Case,Name,Size cm,kg,,Case,Name,Size cm,kg\n" + "".join(
        f"A{n},Rack,60x80x110,150,,B{n},Trunk,120x60x60,90\n" for n in range(1, 4)
    )
    assert "Columns from 6 on repeat the headings" in asked_of_all(text)


def test_a_decimal_comma_that_splits_a_number_is_asked_about() -> None:
    text = "Case,Name,L cm,W cm,H cm,kg\nA1,Rack,60,80,110,150,5\nA2,Rack,60,80,110,151,5\n"
    asks = plain(propose(text.encode(), "list.csv"))["ask"]
    assert {one["code"] for one in asks if one["code"]} == {"A1", "A2"}
