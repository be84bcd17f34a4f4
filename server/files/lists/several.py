"""One line for several cases: `K-001..004`, `4 x K-001`, `D1 & D2`, `K-006 to K-008`."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

MOST_CASES: Final = 200
_BEFORE: Final = re.compile(r"(\d{1,3}) ?[x×*] ?(?=[^\d\s].*\d)(.+)", re.IGNORECASE)
_BEHIND: Final = re.compile(
    r"(.*\d.*?) ?(?:\( ?[x×]? ?(\d{1,3}) ?[x×]? ?\)| [x×] ?(\d{1,3}))", re.IGNORECASE
)
_RANGE: Final = re.compile(
    r"(?P<head>.*?)(?P<first>\d{1,6})"
    r"(?P<sign> ?\.{2,4} ?| ?[…→] ?| ?-> ?|"
    r" (?:to|thru|through|until|bis|a|al|hasta|à|au) | ?[-–—] ?)"
    r"(?P<again>[^\d]*?)(?P<last>\d{1,6})",
    re.IGNORECASE,
)
_AND: Final = re.compile(r" ?[,;&+/] ?| (?:and|und|y|e|et) ", re.IGNORECASE)
_TAIL: Final = re.compile(r"\d{1,6}")
_COUNT: Final = re.compile(
    r"(\d{1,4})(?:\.0)? ?(?:x|×|pcs?|pieces?|st|stk|stck|stuck|stück|uds?|pz|off|ea|each|nos?)?\.?",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Several:
    """The numbers that one cell names; `count` is how many it says there are, 0 where it does not.

    `sure`: nothing else can be meant. `K-001-004` may be one number of an unusual form.
    """

    codes: tuple[str, ...]
    count: int = 0
    sure: bool = True


def count_of(text: str) -> int | None:
    """Return how many cases a quantity says: `4`, `4x`, `4 pcs`; None where it says nothing."""
    found = _COUNT.fullmatch(text.strip())
    return int(found[1]) if found else None


def several_of(text: str) -> Several:
    """Return the numbers of cases that a cell names; mostly one."""
    before, behind = _BEFORE.fullmatch(text), _BEHIND.fullmatch(text)
    count, rest = 0, text
    if before:
        count, rest = int(before[1]), before[2].strip()
    elif behind:
        count, rest = int(behind[2] or behind[3]), behind[1].strip()
    found = _listed(rest) or _range(rest)
    if found is None or len(set(found.codes)) != len(found.codes):
        return Several((rest,), count)
    return Several(found.codes, count, found.sure)


def _range(text: str) -> Several | None:
    """Return the numbers from one to another."""
    found = _RANGE.fullmatch(text)
    if found is None:
        return None
    head, first, last = found["head"], found["first"], found["last"]
    again = found["again"]
    if again and again.strip().casefold() != head.strip().casefold():
        return None
    if len(last) < len(first):  # K-101..04: the digits in front are the same
        last = first[: len(first) - len(last)] + last
    start, stop = int(first), int(last)
    if not start < stop < start + MOST_CASES:
        return None
    width = len(first) if len(first) == len(last) else 0
    sign = found["sign"].strip()
    sure = bool(again) or sign not in {"-", "–", "—"}
    return Several(tuple(f"{head}{n:0{width}}" for n in range(start, stop + 1)), sure=sure)


def _listed(text: str) -> Several | None:
    """Return numbers set beside each other; `D1, 2` continues the letters of the first."""
    pieces = [one.strip() for one in _AND.split(text)]
    if len(pieces) < 2 or not all(pieces) or not re.search(r"[^\W\d_]", pieces[0]):
        return None
    head = re.sub(r"\d+[^\d]*$", "", pieces[0])
    codes: list[str] = []
    sure = True
    for piece in pieces:
        whole = piece
        if _TAIL.fullmatch(piece):
            whole, sure = head + piece, sure and "/" not in text
        within = _range(whole)
        codes += within.codes if within else (whole,)
        if _form(codes[-1]) != _form(codes[0]):
            return None
        sure = sure and (within is None or within.sure)
    return Several(tuple(codes), sure=sure) if len(codes) <= MOST_CASES else None


def _form(code: str) -> str:
    """Return the letters and signs of a number with its digits as one; nothing without digits."""
    form = re.sub(r"\d+", "9", code.casefold())
    return form if "9" in form else code + "?"
