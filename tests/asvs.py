"""Prints the table of OWASP ASVS 5.0.0 (levels 1 and 2) with what shows each requirement.

    python3 tests asvs [not met|met|does not apply]

The table is `tests/asvs.csv`, beside the test that checks it. Exit status 0.
"""

from __future__ import annotations

import csv
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

TABLE: Final = Path(__file__).with_suffix(".csv")


@dataclass(frozen=True, slots=True)
class Requirement:
    """One line of the table; `evidence` names tests, files or paragraphs, or gives the reason."""

    number: str
    level: int
    asks: str
    state: str
    evidence: str


def table() -> list[Requirement]:
    """Return every line in the order of the file."""
    with TABLE.open(encoding="utf-8", newline="") as file:
        return [
            Requirement(
                line["requirement"],
                int(line["level"]),
                line["asks"],
                line["state"],
                line["evidence"],
            )
            for line in csv.DictReader(file)
        ]


def totals() -> Iterator[str]:
    """Yield one sentence a level: how many are met, are not met and do not apply."""
    for level in (1, 2):
        states = [line.state for line in table() if line.level == level]
        met, unmet, other = (states.count(one) for one in ("met", "not met", "does not apply"))
        yield (
            f"level {level}: {len(states)} requirements, {met} met, {unmet} not met, "
            f"{other} do not apply"
        )


def main(words: Sequence[str]) -> int:
    """Print the lines in one state, or all of them, and the totals."""
    state = " ".join(words)
    for line in table():
        if not state or line.state == state:
            print(f"{line.number:8} L{line.level} {line.state:15} {line.asks}: {line.evidence}")
    print("\n".join(totals()))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
