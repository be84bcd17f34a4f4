"""Passed, failed, skipped: read from what pytest and Node's test runner report."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from xml.etree import ElementTree as ET


@dataclass(frozen=True, slots=True)
class Counts:
    """How many tests ended in which way."""

    passed: int = 0
    failed: int = 0
    skipped: int = 0

    def __add__(self, other: Counts) -> Counts:
        return Counts(
            self.passed + other.passed, self.failed + other.failed, self.skipped + other.skipped
        )

    def __str__(self) -> str:
        return f"{self.passed} passed, {self.failed} failed, {self.skipped} skipped"


def pytest_counts(report: Path) -> Counts:
    """Read a JUnit file of pytest; an error while setting up a test is a failed test."""
    if not report.is_file():
        return Counts()
    total = Counts()
    for suite in ET.parse(report).getroot().iter("testsuite"):
        tests, failures, errors, skipped = (
            int(suite.get(name, "0")) for name in ("tests", "failures", "errors", "skipped")
        )
        total += Counts(tests - failures - errors - skipped, failures + errors, skipped)
    return total


def node_counts(output: str) -> Counts:
    """Read the summary lines of Node's test runner, in its spec or its TAP form."""
    found = dict.fromkeys(("pass", "fail", "cancelled", "skipped", "todo"), 0)
    for word, number in re.findall(r"(?m)^(?:ℹ|#) (\w+) (\d+)\s*$", output):  # noqa: RUF001
        if word in found:
            found[word] += int(number)
    return Counts(
        found["pass"], found["fail"] + found["cancelled"], found["skipped"] + found["todo"]
    )


def said_counts(output: str) -> Counts:
    """Read the last line of `python3 tests`, as `Counts` prints itself; none: nothing counted."""
    found = re.findall(r"(?m)^(\d+) passed, (\d+) failed, (\d+) skipped$", output)
    return Counts(*map(int, found[-1])) if found else Counts()
