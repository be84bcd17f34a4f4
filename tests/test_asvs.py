"""The table of OWASP ASVS 5.0.0 in tests/asvs.csv: whole, and all that it names exists.

The numbers are those of the standard's own list (github.com/OWASP/ASVS, tag v5.0.0, 5.0/docs_en,
the CSV): 70 requirements of level 1, 183 of level 2. What each asks is said in our own words.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final

import pytest

from tests import asvs

ROOT: Final = Path(__file__).resolve().parents[1]
PAGE: Final = (ROOT / "server/SECURITY.md").read_text(encoding="utf-8")

# chapter.section → numbers; "1-3" means 1, 2, 3
LEVEL_1: Final = {
    "1.2": "1-5", "1.3": "1-2", "1.5": "1",
    "2.1": "1", "2.2": "1-2", "2.3": "1",
    "3.2": "1-2", "3.3": "1", "3.4": "1-2", "3.5": "1-3",
    "4.1": "1", "4.4": "1",
    "5.2": "1-2", "5.3": "1-2",
    "6.1": "1", "6.2": "1-8", "6.3": "1-2", "6.4": "1-2",
    "7.2": "1-4", "7.4": "1-2",
    "8.1": "1", "8.2": "1-2", "8.3": "1",
    "9.1": "1-3", "9.2": "1",
    "10.4": "1-5",
    "11.3": "1-2", "11.4": "1",
    "12.1": "1", "12.2": "1-2",
    "13.4": "1",
    "14.2": "1", "14.3": "1",
    "15.1": "1", "15.2": "1", "15.3": "1",
}  # fmt: skip
LEVEL_2: Final = {
    "1.1": "1-2", "1.2": "6-9", "1.3": "3-11", "1.4": "1-3", "1.5": "2",
    "2.1": "2-3", "2.2": "3", "2.3": "2-4", "2.4": "1",
    "3.3": "2-4", "3.4": "3-6", "3.5": "4-5", "3.7": "1-2",
    "4.1": "2-3", "4.2": "1", "4.3": "1-2", "4.4": "2-4",
    "5.1": "1", "5.2": "3", "5.4": "1-3",
    "6.1": "2-3", "6.2": "9-12", "6.3": "3-4", "6.4": "3-4", "6.5": "1-5", "6.6": "1-3",
    "6.8": "1-4",
    "7.1": "1-3", "7.3": "1-2", "7.4": "3-5", "7.5": "1-2", "7.6": "1-2",
    "8.1": "2", "8.2": "3", "8.4": "1",
    "9.2": "2-4",
    "10.1": "1-2", "10.2": "1-2", "10.3": "1-4", "10.4": "6-11", "10.5": "1-5", "10.6": "1-2",
    "10.7": "1-3",
    "11.1": "1-2", "11.2": "1-3", "11.3": "3", "11.4": "2-4", "11.5": "1", "11.6": "1",
    "12.1": "2-3", "12.3": "1-4",
    "13.1": "1", "13.2": "1-5", "13.3": "1-2", "13.4": "2-5",
    "14.1": "1-2", "14.2": "2-4", "14.3": "2-3",
    "15.1": "2-3", "15.2": "2-3", "15.3": "2-7",
    "16.1": "1", "16.2": "1-5", "16.3": "1-4", "16.4": "1-3", "16.5": "1-3",
    "17.1": "1", "17.2": "1-4", "17.3": "1-2",
}  # fmt: skip
STATES: Final = {"met", "not met", "does not apply"}


def numbers(level: dict[str, str]) -> set[str]:
    """Return every number of a level."""
    found = set()
    for section, span in level.items():
        first, _, last = span.partition("-")
        found |= {f"{section}.{n}" for n in range(int(first), int(last or first) + 1)}
    return found


def rows() -> dict[str, list[asvs.Requirement]]:
    """Return the lines of the table by their number."""
    found: dict[str, list[asvs.Requirement]] = {}
    for line in asvs.table():
        found.setdefault(line.number, []).append(line)
    return found


ROWS: Final = rows()


def test_the_standard_has_70_requirements_of_level_1_and_183_of_level_2() -> None:
    assert (len(numbers(LEVEL_1)), len(numbers(LEVEL_2))) == (70, 183)
    assert not numbers(LEVEL_1) & numbers(LEVEL_2)


def test_every_requirement_stands_in_the_table_once_with_its_level() -> None:
    assert {number for number, lines in ROWS.items() if len(lines) > 1} == set()
    for level, spans in ((1, LEVEL_1), (2, LEVEL_2)):
        listed = {number for number, (line,) in ROWS.items() if line.level == level}
        assert listed == numbers(spans)


@pytest.mark.parametrize(
    "number", sorted(ROWS, key=lambda number: [*map(int, str(number).split("."))])
)
def test_what_is_met_names_what_shows_it_and_what_is_not_says_why(number: str) -> None:
    (line,) = ROWS[number]
    state, shown = line.state, line.evidence
    assert state in STATES
    assert len(line.asks) > 4 or state == "does not apply"
    named = re.findall(r"`((?:server|pwa|tests|fixtures)/[^`]+)`", shown)
    if state == "met":
        assert named or "paragraph" in shown, "expected a test, a file or a paragraph of the page"
    else:
        assert len(shown) > 10, "expected the reason"
    for one in named:
        check(one)
    for title in re.findall(r"paragraph “([^”]+)”", shown):
        assert f"**{title}.**" in PAGE, title


def check(name: str) -> None:
    """Make sure that a file exists, and the test or symbol in it."""
    file, _, symbol = name.partition("::")
    path = ROOT / file
    assert path.exists(), name
    if symbol:
        text = path.read_text(encoding="utf-8")
        word = re.escape(symbol)
        kinds = (
            rf"(?m)^\s*(def|class) {word}\b",
            rf"(?m)^(export )?(async )?(const|function) {word}\b",
            rf"(?m)^\s*{word}\b",
            rf'(?m)^\s*"{word}": ',
        )
        assert any(re.search(kind, text) for kind in kinds), name


def test_a_row_that_names_what_is_not_there_would_be_found() -> None:
    for wrong in ("server/api/nothing.py", "tests/test_asvs.py::nobody_wrote"):
        with pytest.raises(AssertionError):
            check(wrong)


def test_the_totals_that_are_printed_are_those_of_the_table() -> None:
    printed = "\n".join(asvs.totals())
    for level, size in ((1, 70), (2, 183)):
        met, unmet, other = (
            sum(line.state == state for (line,) in ROWS.values() if line.level == level)
            for state in ("met", "not met", "does not apply")
        )
        assert met + unmet + other == size
        assert f"level {level}: {size} requirements, {met} met, {unmet} not met, {other}" in printed
