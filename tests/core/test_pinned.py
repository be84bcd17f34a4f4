"""Figures of sources without their constants handed in, and that a changed constant is noticed."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from server.core.securing import rules_en
from tests import mutants
from tests.core.published import pinned, pinned_edges, pinned_road
from tests.core.published.row import Row, agrees


@pytest.mark.parametrize(
    "row", [*pinned.ROWS, *pinned_road.ROWS, *pinned_edges.ROWS], ids=lambda row: row.id
)
def test_a_pinned_figure_is_what_its_source_gives(row: Row) -> None:
    assert agrees(row.got(), row.printed, row.tolerance), row.got()


def test_a_changed_factor_is_noticed_and_put_back() -> None:
    """EN 12195-1:2010, fs 1.25 forward: once no test of the folder saw it fall to 1.0."""
    tree = ast.parse(Path(rules_en.__file__).read_text(encoding="utf-8"))
    forward = next(one for one in mutants.mutants(rules_en, tree) if one.was == 1.25)
    before = rules_en.LATEST
    every = mutants.checks()
    with mutants.Applied(forward, rules_en, tree):
        assert rules_en.LATEST.excess_forward == forward.becomes
        assert mutants.noticed(every)
    assert rules_en.LATEST is before
    assert not mutants.noticed(every)
