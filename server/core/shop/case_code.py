"""A case code is `DEPT-NUMBER-CHECK`, as `PW-031-7`; a read counts only if its check holds.

The check character is ISO/IEC 7064:2003 MOD 37-2 over department and number without hyphens: it
catches every single wrong character and every swap of neighbours. A number is for life; numbers
whose check character could be mistaken (0, 1, I, O) or is no letter (*) are never issued. What
people type is read forgivingly by the phone; an owner's older numbering is `numbering.py`.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass
from typing import Final, Literal, Protocol

ALPHABET: Final = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*"
NEVER_ISSUED: Final = frozenset("01IO*")
LAST_NUMBER: Final = 999_999
_DEPARTMENT: Final = re.compile(r"[A-Z]{1,4}")
_PRINTED: Final = re.compile(r"([A-Z]{1,4})-([0-9]{3,6})-([0-9A-Z*])")


class BadCode(ValueError):
    """Text is no case code, or a department or number lies outside what codes can say."""

    def __init__(self, expected: str, got: object) -> None:
        super().__init__(f"case code: expected {expected}, got {got!r}")
        self.expected = expected
        self.got = got


def check_character(text: str) -> str:
    """Return the ISO/IEC 7064 MOD 37-2 check character of capital letters and digits.

    The standard's recursive method: every character doubles what came before it, and the whole
    string, check character included, must leave 1 when divided by 37.
    """
    total = 0
    for character in text:
        total = (total + ALPHABET.index(character)) * 2 % 37
    return ALPHABET[(1 - total) % 37]


@dataclass(frozen=True, slots=True, order=True)
class CaseCode:
    """One case's name for life: department letters and a number; the check follows from them."""

    department: str
    number: int

    def __post_init__(self) -> None:
        if not _DEPARTMENT.fullmatch(self.department):
            raise BadCode("one to four capital letters as department", self.department)
        if not 1 <= self.number <= LAST_NUMBER:
            raise BadCode(f"a number from 1 to {LAST_NUMBER}", self.number)

    @property
    def check(self) -> str:
        return check_character(f"{self.department}{self.number:03d}")

    @property
    def may_be_issued(self) -> bool:
        return self.check not in NEVER_ISSUED

    def __str__(self) -> str:
        return f"{self.department}-{self.number:03d}-{self.check}"

    @classmethod
    def parse(cls, text: str) -> CaseCode:
        """Read the printed form exactly; raise BadCode for another shape or a wrong check."""
        match = _PRINTED.fullmatch(text)
        if match is None:
            raise BadCode("DEPT-NUMBER-CHECK such as PW-031-7", text)
        code = cls(match[1], int(match[2]))
        if f"{code.number:03d}" != match[2]:
            raise BadCode("a number of three digits without further leading zeros", text)
        if code.check != match[3]:
            raise BadCode("the check character that belongs to the code", text)
        return code


RefusalKind = Literal["empty", "shape", "check", "ambiguous", "unknown"]


@dataclass(frozen=True, slots=True)
class Accepted:
    """A read that counts. `checked` is False where the owner's numbering has no check character."""

    code: str
    checked: bool = True


@dataclass(frozen=True, slots=True)
class Refused:
    """A read that does not count, why, and what the person reads."""

    kind: RefusalKind
    text: str
    reason: str


class Numbering(Protocol):
    """How one shop's codes look."""

    @property
    def protected(self) -> bool: ...

    def canonical(self, text: str) -> str | Refused: ...


@dataclass(frozen=True, slots=True)
class CheckedNumbering:
    """This project's own codes, with check character."""

    protected: bool = True

    def canonical(self, text: str) -> str | Refused:
        code = text.upper()  # a label of another printer may hold it in lower case
        if _PRINTED.fullmatch(code) is None:
            return Refused("shape", text, "This is not a case code (such as PW-031-7).")
        try:
            return str(CaseCode.parse(code))
        except BadCode:
            return Refused("check", text, "The check character is wrong: read or type it again.")


CHECKED: Final = CheckedNumbering()


def accept(
    text: str, known_codes: Collection[str], numbering: Numbering = CHECKED
) -> Accepted | Refused:
    """Decide whether what a decoder read counts: exact form, check holds, and the code is known.

    `known_codes` are the codes of the fleet and of the show. Only blanks round the text are
    forgiven: what a person typed is read by the phone before it is sent.
    """
    text = text.strip()
    if not text:
        return Refused("empty", text, "Nothing was read.")
    code = numbering.canonical(text)
    if isinstance(code, Refused):
        return code
    if code not in known_codes:
        return Refused("unknown", text, f"{code} is not in the fleet and not on this show.")
    return Accepted(code, checked=numbering.protected)
