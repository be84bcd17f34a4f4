"""What a person types or a wedge scanner sends: small slips are forgiven where only one code fits.

Forgiven are lower case, blanks, missing or other signs for the hyphens, missing leading zeros, and
O for 0, I or L for 1 and the reverse. Every reading the text allows is tried; it counts only if
exactly one of them holds its check and is known, so forgiving never guesses.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from typing import Final

from server.core.shop.case_code import (
    CHECKED,
    Accepted,
    BadCode,
    CaseCode,
    Numbering,
    Refused,
    accept,
)

LONGEST: Final = 24
_TO_DIGIT: Final = str.maketrans("OIL", "011")
_TO_LETTERS: Final = {"0": "O", "1": "IL"}
_SEPARATORS: Final = re.compile(r"[^0-9A-Z*]+")


def readings(text: str) -> frozenset[CaseCode]:
    """Return every code whose check holds that the text may mean."""
    parts = [part for part in _SEPARATORS.split(text.upper()) if part]
    whole = "".join(parts)
    if not 3 <= len(whole) <= LONGEST:
        return frozenset()
    found: set[CaseCode] = set()
    # both hyphens (or blanks for them) typed: the parts are what they say
    splits = [len(parts[0])] if len(parts) == 3 else range(1, min(4, len(whole) - 2) + 1)
    for letters in splits:
        for department in _departments(whole[:letters]):
            found.update(_held(department, whole[letters:-1], whole[-1]))
    return frozenset(found)


def _departments(text: str) -> list[str]:
    """Return the department letters that a text may stand for: 1 may be I or L, 0 is O."""
    spelled = [""]
    for sign in text:
        spelled = [start + letter for start in spelled for letter in _TO_LETTERS.get(sign, sign)]
    return spelled


def _held(department: str, number: str, check: str) -> list[CaseCode]:
    """Return the code of these parts if its check is the one typed, or a look-alike of it."""
    digits = number.translate(_TO_DIGIT)
    if not digits.isdigit():
        return []
    try:
        code = CaseCode(department, int(digits))
    except BadCode:
        return []
    alike = {check, check.translate(_TO_DIGIT), *_TO_LETTERS.get(check, "")}
    return [code] if code.check in alike else []


def accept_typed(
    text: str, known_codes: Collection[str], numbering: Numbering = CHECKED
) -> Accepted | Refused:
    """Decide whether a typed or wedge-scanned code counts; refuse where two cases would fit."""
    if not numbering.protected:
        return accept(text, known_codes, numbering)
    text = text.strip()
    if not text:
        return Refused("empty", text, "Nothing was typed.")
    if len(text) > LONGEST:
        return Refused("shape", text[:LONGEST], "This is too long for a case code.")
    held = readings(text)
    known = sorted(str(code) for code in held if str(code) in known_codes)
    if len(known) == 1:
        return Accepted(known[0])
    if known:
        return Refused("ambiguous", text, f"This may mean {' or '.join(known)}: type it in full.")
    if held:
        names = ", ".join(sorted(str(code) for code in held))
        return Refused("unknown", text, f"{names} is not in the fleet and not on this show.")
    return Refused("check", text, "The check character does not hold: look at the label again.")
