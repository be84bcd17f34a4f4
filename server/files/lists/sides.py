"""Three sides in one cell: `45 x 22½ x 24`, `1143mm × 572mm × 610mm`, `L114 B57 H61`."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal

from server.core.base.measure_words import LENGTH_UNITS
from server.core.base.measures import Amount, Decimal, Refusal, plain_text, read_length
from server.files.lists.twice import halves_of, say_the_same
from server.files.lists.words import SIDES, placed_depth

_TIMES: Final = re.compile(r" ?(?:[x×\u2715\u2716\u2a2f\u2573*]|\bby\b|\bpar\b|\bpor\b|\bmal\b) ?")
_OTHERS: Final = (" / ", "/", " ?; ?", r" ?\| ?", ", +", " ?- ?", " +")
_LABEL: Final = (
    r"(?:length|width|height|depth|lange|breite|hohe|tiefe|largo|ancho|alto|fondo|long|wide|high"
    r"|tall|deep|[lwhdbtp])"
)
_FIRST: Final = re.compile(rf"({_LABEL})\.? ?[:=]? ?(?=[\d.,])")
_LAST: Final = re.compile(rf"(?<=[\d\"'a-z. ]) ?\(?({_LABEL})\)?$")
_ROLES: Final = {
    "l": "length", "w": "width", "b": "width", "h": "height", "d": "depth", "t": "depth",
    "p": "depth", "a": "height", "f": "depth",
}  # fmt: skip
_REMARK: Final = re.compile(rf"\((?!{_LABEL}\))[^)\d]*\)")
_UNITS: Final = {word: unit for unit, words in LENGTH_UNITS.items() for word in words}
_UNIT_LAST: Final = re.compile(r"(?<=[\d. ])([a-z]+|[\"'])\.?$")
_ROUND: Final = re.compile(r"(?:ø|diam(?:eter|etre|etro)?\.?|dia\.?|d\.?=)\s*(?=\d)")
_BARE: Final = re.compile(r"[\d.,/ -]+")
_LABELLED: Final = re.compile(
    r"\b([lwhdbtp])\.? ?[:=]? ?(\d[^a-z]*(?:mm|cm|in|m)?)(?=[ ,;/x]|$|[lwhdbtp])"
)


@dataclass(frozen=True, slots=True)
class Parts:
    """The sides of a cell, and which they are where the cell says so."""

    texts: tuple[str, ...]
    order: tuple[str, ...] = ()


@lru_cache(maxsize=16_384)
def parts_of(text: str) -> Parts | None:
    """Return the two or three sides of a cell, None where it holds none."""
    plain = " ".join(_REMARK.sub(" ", plain_text(text)).split())
    if not any(sign.isdigit() for sign in plain):
        return None
    halves = halves_of(plain)
    if halves is not None and (both := _twice(*halves)) is not None:
        return both or None
    pieces = [one.strip() for one in _TIMES.split(plain)]
    if _ROUND.match(pieces[0]) and len(pieces) == 2:  # a drum takes the square of its diameter
        across = _ROUND.sub("", pieces[0])
        return Parts(_shared_unit((across, across, pieces[1])), SIDES)
    if len(pieces) == 1:
        pieces = _labelled(plain) or _otherwise(plain)
    if len(pieces) not in {2, 3} or not all(re.search(r"\d", one) for one in pieces):
        return None
    labels, texts = [], []
    for piece in pieces:
        label, rest = _label(piece)
        labels.append(label)
        texts.append(rest)
    order = placed_depth(
        tuple(_ROLES[one[0]] if one not in {"long", "largo"} else "length" for one in labels if one)
    )
    if len(order) != len(pieces) or len(set(order)) != len(order):
        inplace = tuple(side for side, one in zip(SIDES, labels, strict=False) if one)
        if any(labels) and order != inplace:
            return None  # `1200x600x700H` states what its place says
        order = ()
    return Parts(_shared_unit(tuple(texts)), order)


def _twice(first: str, second: str) -> Parts | Literal[False] | None:
    """Return sides that a cell says in two units, False where the two differ, None where in one."""
    if len(_TIMES.split(first)) != 3 or len(_TIMES.split(second)) != 3:
        return None
    one, other = parts_of(first), parts_of(second)
    if one is None or other is None:
        return False
    pairs = [(read_length(a), read_length(b)) for a, b in zip(one.texts, other.texts, strict=True)]
    same = all(
        isinstance(a, Amount) and isinstance(b, Amount) and say_the_same(a, b, None)
        for a, b in pairs
    )
    return one if same else False


def _labelled(plain: str) -> list[str]:
    """Return pieces of `l114 b57 h61`, where letters alone set the sides apart."""
    found = [f"{letter}{rest.strip(' ,;/')}" for letter, rest in _LABELLED.findall(plain)]
    return found if len(found) == 3 and len({one[0] for one in found}) == 3 else []


def _otherwise(plain: str) -> list[str]:
    """Return pieces set apart by another sign than a cross, if each then reads as a length."""
    for sign in _OTHERS:
        pieces = re.split(sign, plain)
        if len(pieces) == 3 and all(isinstance(read_length(one, "cm"), Amount) for one in pieces):
            return [one.strip() for one in pieces]
    return [plain]


def _label(piece: str) -> tuple[str, str]:
    """Return the letter or word that says which side a piece is, and the rest."""
    first = _FIRST.match(piece)
    if first:
        return first[1], piece[first.end() :].strip()
    last = _LAST.search(piece)
    if last and not isinstance(read_length(piece, "cm"), Amount):
        return last[1], piece[: last.start()].strip()
    return "", piece


def _shared_unit(texts: tuple[str, ...]) -> tuple[str, ...]:
    """Return the pieces with the unit that only the last one states: `45 x 22 x 24 in`."""
    written = _UNIT_LAST.search(texts[-1])
    unit = _UNITS.get(written[1]) if written else None
    if unit in {None, "ft"} or not all(_BARE.fullmatch(one) for one in texts[:-1]):
        return texts
    return (*(f"{one} {unit}" for one in texts[:-1]), texts[-1])


def read_parts(
    text: str, unit: str | None, decimal: Decimal
) -> tuple[tuple[Amount | Refusal, ...], tuple[str, ...]] | None:
    """Return the sides of a cell as amounts, and their order where the cell states it."""
    parts = parts_of(text)
    if parts is None:
        return None
    return tuple(read_length(one, unit, decimal) for one in parts.texts), parts.order
