"""Case lists as shops keep them, each with its truth: every cell right, nothing wrong silently."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from server.commands.import_ import add, run
from server.files.lists.propose import plain, propose
from tests.files.lists.compare import compare

LISTS = Path(__file__).parents[3] / "fixtures" / "lists"
FILES = sorted(one for one in LISTS.iterdir() if one.suffix != ".json")


@pytest.mark.parametrize("file", FILES, ids=lambda one: one.name)
def test_every_cell_of_a_list_is_right_and_only_what_needs_a_person_is_asked(file: Path) -> None:
    truth = json.loads(file.with_suffix(".truth.json").read_text("utf-8"))
    found = compare(plain(propose(file.read_bytes(), file.name)), truth)
    assert found.wrong == []
    assert found.asked == set(truth["ask"])
    assert found.cells == 7 * len(truth["cases"])


def test_the_command_prints_the_proposal_and_changes_nothing(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    import argparse

    parser = argparse.ArgumentParser()
    add(parser)
    file = LISTS / "list-01.csv"
    assert run(parser.parse_args([str(file), "--propose", "--json"])) == 0
    got: dict[str, Any] = json.loads(capsys.readouterr().out)
    assert list(got) == ["columns", "units", "cases", "ask"]
    assert got["units"] == {"length": "cm", "width": "cm", "height": "cm", "mass": "kg"}
    assert got["cases"][0] == {
        "code": "SO 1", "length_mm": 1143.0, "width_mm": 572.0, "height_mm": 610.0, "mass_kg": 68.0,
        "name": "monitor pair", "department": "Sound", "home": "Bay 7",
    }  # fmt: skip
    assert [(one["line"], one["code"]) for one in got["ask"]] == [(14, "SO 11"), (32, "RI 28")]
    assert list(tmp_path.iterdir()) == []
    assert run(parser.parse_args([str(file), "--propose"])) == 0
    assert "38 cases, 2 questions" in capsys.readouterr().out
