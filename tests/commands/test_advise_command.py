"""`advise` at the terminal: text, JSON, CSV, and input that cannot be taken."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from server.cli import main
from server.commands.advise_text import csv_of, lines_of
from server.core.advisor.advise import advise
from server.files.advise_file import read_asked
from server.files.own_units import in_units

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
SHOP = FIXTURES / "advise" / "small-shop.json"
FESTIVAL = FIXTURES / "shows" / "s3-festival.json"

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    def command(*words: object) -> tuple[int, str, str]:
        status = main(["advise", *(str(word) for word in words)])
        said = capsys.readouterr()
        return status, said.out, said.err

    return command


def _small(**changes: Any) -> dict[str, Any]:
    document: dict[str, Any] = {
        "format": "rowcall-advise-1",
        "units": {"length": "cm", "mass": "kg"},
        "vehicles": [{"id": "V", "width": 240, "length": 600, "height": 240, "payload": 900}],
        "cases": [
            {"code": "A", "length": 120, "width": 60, "height": 80, "mass": 100, "quantity": 4}
        ],
    }
    return {**document, **changes}


def _file(folder: Path, document: object) -> Path:
    path = folder / "asked.json"
    path.write_text(json.dumps(document), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def answer() -> dict[str, Any]:
    asked, units = read_asked(SHOP)
    whole = in_units(advise(asked), units)
    return {"units": {"length": "in", "mass": "lb"}, "currency": "USD", **whole}


def test_the_whole_answer_is_in_the_files_own_units(answer: dict[str, Any]) -> None:
    assert [one["vehicle"] for one in answer["fleet"]] == ["VAN", "BOX16", "BOX26"]
    by_name = {one["name"]: one for one in answer["year"]["changes"]}
    # a gala has six racks: rows of three of 30 in become rows 6 in shallower; no night is worse
    assert by_name["24 in deep racks"]["floor"]["verdict"] == "less"
    assert answer["hire"]["proven"]
    assert answer["load_time"]["shop_load"]["enough"] is False
    best = answer["buy"]["ranked"][0]
    assert best["length"] >= 41
    assert best["width"] >= 21
    words = json.dumps(answer).split('"')
    assert not [key for key in words if key.endswith(("_um", "_um3", "_g", "_cents"))]


def test_the_text_names_what_an_owner_decides_by(answer: dict[str, Any]) -> None:
    text = "\n".join(lines_of(answer))
    for words in ("third", "floor lost", "24 in deep racks", "New cases", "Hire", "fewer than 10"):
        assert words in text


def test_each_part_is_a_csv_table(answer: dict[str, Any]) -> None:
    tables = csv_of(answer)
    assert set(tables) == {"fleet", "changes", "costs", "buy", "hire"}
    rows = list(csv.DictReader(io.StringIO(tables["fleet"])))
    assert {"vehicle", "kind", "count", "slack", "orphans", "pack"} <= set(rows[0])


def test_csv_files_are_written_into_a_folder(run: Run, tmp_path: Path) -> None:
    asked = _small()
    asked["cases"][0]["name"] = "=1+1"  # a spreadsheet must not run it
    status, out, _ = run(_file(tmp_path, asked), "--csv", tmp_path / "out")
    assert status == 0
    assert {Path(line).stem for line in out.split()} == {"fleet", "changes", "costs"}
    assert "'=1+1" in (tmp_path / "out" / "fleet.csv").read_text(encoding="utf-8")


def test_a_show_file_is_taken_too(run: Run) -> None:
    status, out, _ = run(FESTIVAL, "--json")
    answer = json.loads(out)
    assert status == 0
    assert answer["format"] == "rowcall-advice-1"
    assert answer["hire"]["booked"]["fits"] is True
    assert answer["fleet"][0]["floor"] == {"low": 307.5, "high": 307.5}


def test_without_prices_nothing_is_said_of_money(run: Run, tmp_path: Path) -> None:
    asked = _small(hire={"night": "all cases", "booked": ["V"]})
    status, out, _ = run(_file(tmp_path, asked), "--json")
    answer = json.loads(out)
    assert status == 0
    assert answer["hire"]["by_money"] is False
    assert answer["hire"]["best"]["cost"] is None
    assert answer["year"]["nights"][0]["loads"][0]["money"] is None


def test_a_load_that_no_vehicle_takes_ends_with_1(run: Run, tmp_path: Path) -> None:
    asked = _small(hire={"night": "all cases", "booked": ["V"]})
    asked["vehicles"][0]["payload"] = 300
    status, out, _ = run(_file(tmp_path, asked))
    assert status == 1
    assert "this is proven" in out
    assert "100 kg over" in out


def test_an_empty_fleet_is_no_error(run: Run, tmp_path: Path) -> None:
    status, out, _ = run(_file(tmp_path, _small(cases=[])), "--json")
    assert status == 0
    assert json.loads(out)["fleet"][0]["kinds"] == []


def test_a_shop_that_starts_anew_needs_no_cases(run: Run, tmp_path: Path) -> None:
    needs = [
        {"name": "lamp", "count": 6, "height": 80, "inside": [55, 55, 60]},
        {"name": "cable", "count": 4, "height": 70, "volume": 120_000, "inside": [1, 1, 1]},
    ]
    asked = _small(cases=[], buy={"needs": needs, "most_sizes": 2})
    status, out, _ = run(_file(tmp_path, asked), "--json")
    assert status == 0
    assert [one["at_most"] for one in json.loads(out)["buy"]["sets"]] == [1, 2]


NEED = {"count": 2, "height": 80, "inside": [40, 40, 40]}


@pytest.mark.parametrize(
    ("changes", "place", "expected"),
    [
        ({"format": "rowcall-advise-9"}, "format", "rowcall-advise-1"),
        ({"vehicles": []}, "vehicles", "at least 1"),
        ({"colour": "red"}, "colour", "no key of this name"),
        ({"nights": [{"name": "n", "cases": ["ZZ"]}]}, "nights[0].cases[0]", "in the file"),
        (
            {"nights": [{"name": "n", "cases": [{"code": "A", "count": 9}]}]},
            "nights[0].cases[0].count",
            "at most 4",
        ),
        ({"nights": [{"name": "n", "cases": ["A", "A#1"]}]}, "nights[0].cases", "once"),
        ({"nights": [{"name": "n"}, {"name": "n"}]}, "nights", "once"),
        ({"nights": [{"name": "n", "vehicles": ["X"]}]}, "nights[0].vehicles", "in the file"),
        ({"nights": [{"name": "n", "times": 0}]}, "nights[0].times", "at least 1"),
        ({"prices": {"vehicles": [{"id": "X"}]}}, "prices.vehicles[0].id", "in the file"),
        ({"prices": {"vehicles": [{"id": "V", "day": -1}]}}, "prices.vehicles[0].day", "at least"),
        ({"prices": {"driver_hour": float("nan")}}, "prices.driver_hour", "number"),
        ({"changes": [{"name": "c", "sell": ["Q"]}]}, "changes[0].sell", "in the file"),
        (
            {
                "changes": [
                    {"name": "c", "buy": [{"code": "A#1", "length": 1, "width": 1, "height": 1}]}
                ]
            },
            "changes[0].buy",
            "no case of the fleet",
        ),
        ({"hire": {"night": "other"}}, "hire.night", "in the file"),
        ({"hire": {"night": "all cases", "booked": ["X"]}}, "hire.booked", "in the file"),
        ({"buy": {"needs": [{"count": 1, "height": 80}]}}, "buy.needs[0]", "what must fit in"),
        ({"buy": {"needs": [{**NEED, "height": 30}]}}, "buy.needs[0]", "inside height"),
        ({"buy": {"needs": [{**NEED, "inside": [1, 2]}]}}, "buy.needs[0].inside", "at least 3"),
        ({"buy": {"needs": [NEED], "most_sizes": 4}}, "buy.most_sizes", "at most 3"),
        ({"timed": [{"minutes": 0, "cases": 3}]}, "timed[0].minutes", "above 0"),
    ],
)
def test_bad_input_is_refused_by_place(
    run: Run, tmp_path: Path, changes: dict[str, Any], place: str, expected: str
) -> None:
    status, out, err = run(_file(tmp_path, _small(**changes)))
    assert (status, out) == (2, "")
    assert f"asked.json: {place}" in err
    assert expected in err


@pytest.mark.parametrize("text", ["", "[]", "null", '{"format": 3}', "{", "\x00"])
def test_what_is_no_document_is_refused(run: Run, tmp_path: Path, text: str) -> None:
    path = tmp_path / "asked.json"
    path.write_text(text, encoding="utf-8")
    status, _, err = run(path)
    assert status == 2
    assert "expected" in err


def test_the_schema_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema", "advise"]) == 0
    schema = json.loads(capsys.readouterr().out)
    assert schema["$id"] == "urn:rowcall:advise:1"
    assert {"nights", "prices", "changes", "buy", "hire"} <= set(schema["properties"])
