"""The pattern that a shop's own numbers of cases follow, found from the numbers themselves."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Final

from server.core.shop.case_code import CHECKED, Refused
from server.core.shop.numbering import LONGEST_PATTERN, MOST_OPTIONAL_PARTS, OwnNumbering

CLASSES: Final = {"digits": "#", "letters": "@"}
_RUNS: Final = re.compile(r"[A-Z]+|[0-9]+|.", re.DOTALL)


def canonical_code(text: str) -> str:
    """Return a number of a case as it is kept: capitals, single blanks."""
    return " ".join(text.upper().split())


def is_checked(code: str) -> bool:
    """Return whether a number has this project's check character."""
    return not isinstance(CHECKED.canonical(code), Refused)


def pattern_of(codes: Iterable[str]) -> str:
    """Return the pattern that most of these numbers fit; empty where there is none to find."""
    kinds: dict[tuple[str, ...], list[list[str]]] = {}
    for code in codes:
        runs = _RUNS.findall(canonical_code(code))
        kinds.setdefault(tuple(_sign(run) for run in runs), []).append(runs)
    for _, kind in sorted(kinds.items(), key=lambda one: -len(one[1])):
        pattern = _pattern(kind)
        if pattern:
            return pattern
    return ""


def _sign(run: str) -> str:
    if run.isascii() and run.isdigit():
        return "digits"
    return "letters" if run.isascii() and run.isalpha() else run


def _pattern(kind: Sequence[list[str]]) -> str:
    """Return the pattern of numbers that are built alike; empty where it cannot be written."""
    spare = MOST_OPTIONAL_PARTS
    parts: list[str] = []
    for run in zip(*kind, strict=True):
        sign = _sign(run[0])
        if sign == "letters" and len(set(run)) == 1 and len(kind) > 1:
            parts.append(run[0])  # the same letters everywhere stand for themselves
        elif sign in CLASSES:
            least, most = min(map(len, run)), max(map(len, run))
            more = min(most - least, spare)
            spare -= more
            one = CLASSES[sign]
            parts.append(one * (most - more) + f"[{one}]" * more)
        else:
            parts.append(f"\\{sign}" if sign in "#@*[]\\" else sign)
    pattern = "".join(parts)
    if (
        "digits" not in map(_sign, kind[0])
        or len(pattern) > LONGEST_PATTERN
        or not pattern.isprintable()
    ):
        return ""
    return pattern


def fits(pattern: str, code: str) -> bool:
    """Return whether a number fits an owner's pattern."""
    return not isinstance(OwnNumbering(pattern).canonical(code), Refused)
