"""An owner's older numbering, given as a pattern; it has no check character and says so.

The pattern is kept so small that matching can never take long: `#` a digit, `@` a letter, `*` a
letter or digit, `[...]` a part that may be absent, backslash before a sign that stands for itself;
everything else stands for itself. `CASE ###[#]` fits CASE 123 and CASE 1234.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Final

from server.core.shop.case_code import BadCode, Numbering, Refused

LONGEST_PATTERN: Final = 40
MOST_OPTIONAL_PARTS: Final = 4
WARNING: Final = (
    "These codes have no check character: a misread label can look like another case. "
    "Only codes that are already known are accepted."
)
_CLASSES: Final = {"#": "[0-9]", "@": "[A-Z]", "*": "[0-9A-Z]"}


def _expression(pattern: str) -> re.Pattern[str]:
    """Turn a pattern into an expression of single characters and flat optional parts only."""
    parts: list[str] = []
    optional, inside, signs = 0, False, iter(pattern)
    for sign in signs:
        if sign == "[" and not inside:
            optional, inside = optional + 1, True
            parts.append("(?:")
        elif sign == "]" and inside:
            inside = False
            parts.append(")?")
        elif sign in "[]":
            raise BadCode("optional parts [...] that are closed and not nested", pattern)
        elif sign == "\\":
            parts.append(re.escape(next(signs, "\\").upper()))
        else:
            parts.append(_CLASSES.get(sign, re.escape(sign.upper())))
    if inside or optional > MOST_OPTIONAL_PARTS:
        raise BadCode(f"at most {MOST_OPTIONAL_PARTS} optional parts, each closed by ]", pattern)
    return re.compile("".join(parts))


@dataclass(frozen=True, slots=True)
class SeveralNumberings:
    """Numberings side by side, as after a change of system: a code fits where one of them fits."""

    each: tuple[Numbering, ...]

    @property
    def protected(self) -> bool:
        return all(one.protected for one in self.each)

    def canonical(self, text: str) -> str | Refused:
        first = self.each[0].canonical(text)
        for one in self.each[1:]:
            code = one.canonical(text)
            if isinstance(first, Refused) and not isinstance(code, Refused):
                return code
        return first


@dataclass(frozen=True, slots=True)
class OwnNumbering:
    """Codes of the owner's own pattern: `protected` is False and screens show WARNING."""

    pattern: str
    protected: bool = False
    _fits: re.Pattern[str] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        if not 1 <= len(self.pattern) <= LONGEST_PATTERN or not self.pattern.isprintable():
            raise BadCode(f"a pattern of 1 to {LONGEST_PATTERN} printable signs", self.pattern)
        if not set(self.pattern) & set(_CLASSES):
            raise BadCode("a pattern with at least one of # @ *", self.pattern)
        object.__setattr__(self, "_fits", _expression(self.pattern))

    def canonical(self, text: str) -> str | Refused:
        code = text.strip().upper()
        if len(code) <= 2 * LONGEST_PATTERN and self._fits.fullmatch(code):
            return code
        return Refused("shape", text, f"This does not fit the numbering {self.pattern}.")
