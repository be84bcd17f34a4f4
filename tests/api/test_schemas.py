"""The printed schemas are JSON Schema 2020-12, and an outside validator agrees with our reader.

The validator is jsonschema (python-jsonschema.readthedocs.io), a general-purpose library.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from server.cli import main
from server.files.schemas import MODELS, schema_of
from tests.support.app import Bench

SHOWS = Path(__file__).resolve().parents[2] / "fixtures" / "shows"


def valid(document: object, name: str) -> bool:
    return bool(jsonschema.Draft202012Validator(schema_of(name)).is_valid(document))


@pytest.mark.parametrize("name", MODELS)
def test_the_command_and_the_address_give_the_same_valid_schema(
    name: str, quick: Bench, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["schema", name]) == 0
    printed = json.loads(capsys.readouterr().out)
    jsonschema.Draft202012Validator.check_schema(printed)
    answer = quick.client().get(f"/api/schemas/{name}.json")
    assert answer.json == printed
    assert quick.client().get("/api/schemas/nothing.json").status_code == 404


@pytest.mark.parametrize("file", sorted(SHOWS.glob("s*.json")), ids=lambda file: file.stem)
def test_our_own_show_files_hold_and_a_broken_one_does_not(file: Path) -> None:
    document: dict[str, Any] = json.loads(file.read_text(encoding="utf-8"))
    assert valid(document, "show")
    assert not valid({**document, "shade": 1}, "show")
    assert not valid({**document, "cases": [{"code": "A", "length": -1}]}, "show")


def test_a_plan_that_we_write_holds(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", str(SHOWS / "s1-two-truck-tour.json"), "--seconds", "1", "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert valid(document, "plan") and not valid({**document, "rows": []}, "plan")
