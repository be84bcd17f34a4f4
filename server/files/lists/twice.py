"""An amount said in two units in one cell: `45 in (114 cm)`, `310 lb / 140.6 kg`."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Final

from server.core.base.measures import G_PER, MM_PER, Amount, Decimal, Refusal, plain_text

_TWICE: Final = re.compile(
    r"(.*?\d.*?) ?(?:[(\[] ?([^()\[\]]*\d[^()\[\]]*) ?[)\]]|[/=|] ?(.*\d.*))"
)
_PER: Final = {**MM_PER, **G_PER}


def halves_of(text: str) -> tuple[str, str] | None:
    """Return what a cell says first, and what it says again."""
    found = _TWICE.fullmatch(plain_text(text))
    return (found[1], found[2] or found[3]) if found else None


def read_twice(
    text: str, unit: str | None, decimal: Decimal, read: Callable[..., Amount | Refusal]
) -> Amount | Refusal:
    """Return an amount; of two that say the same in different units, the first."""
    found = read(text, unit, decimal)
    if isinstance(found, Amount) or found.reason != "unreadable":
        return found
    halves = halves_of(text)
    if halves is None:
        return found
    first, second = read(halves[0], unit, decimal), read(halves[1], None, decimal)
    if isinstance(first, Refusal) or isinstance(second, Refusal):
        return found
    return first if say_the_same(first, second, unit) else found


def say_the_same(first: Amount, second: Amount, unit: str | None) -> bool:
    """Return whether two amounts in different units agree, as near as they are rounded."""
    one, other = first.unit or unit, second.unit
    if one is None or other is None or one == other or (one in MM_PER) != (other in MM_PER):
        return False
    a, b = first.value * _PER[one], second.value * _PER[other]
    return abs(a - b) <= max(a / 60, _PER[other], _PER[one] / 2)
