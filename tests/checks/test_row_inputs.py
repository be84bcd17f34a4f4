"""Questions in the words of published rows, answered with what the rows print.

Sources and clauses of the figures stand beside the same ids in tests/core/published; here it is
shown that the question as a spreadsheet would put it comes to the same answer.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final

import pytest

from server.checks.method import answer
from server.checks.topics import TOPICS
from tests.core.published.row import agrees

FIXTURE: Final = Path(__file__).resolve().parents[2] / "fixtures/checks/published-questions.json"
QUESTIONS: Final[list[dict[str, Any]]] = json.loads(FIXTURE.read_text(encoding="utf-8"))


@pytest.mark.parametrize("asked", QUESTIONS, ids=lambda one: f"{one['row']} {one['at']}")
def test_a_published_row_asked_as_a_question(asked: dict[str, Any]) -> None:
    told = answer(TOPICS[asked["topic"]], asked["ask"], asked["topic"])
    got = told["value"] if asked["at"] == "value" else told["details"][asked["at"]]
    printed = asked["printed"]
    if isinstance(printed, list):
        got, printed = tuple(got), tuple(printed)
    assert agrees(got, printed, asked["tolerance"]), f"got {got}, printed {printed}"
    assert told["source"]
    assert told["derivation"]
