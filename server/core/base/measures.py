"""Lengths and masses as people write them: `22 1/2`, `22½"`, `3' 6"`, `572mm`, `310 lbs`, `57,1`.

`pwa/src/core/measures.ts` reads the same; `fixtures/measures/vectors.json` holds both together.
Nothing is guessed: a letter O for a zero, `1,143` without a unit that decides whether the comma
separates thousands, a range, stones and tons are refused, each with its reason.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Final, Literal

from server.core.base.measure_words import (
    ALIKE,
    LENGTH_UNITS,
    MASS_UNITS,
    NOT_KNOWN,
    VULGAR,
)

Decimal = Literal["either", ".", ","]
Reason = Literal["blank", "unknown", "typo", "ambiguous", "about", "unreadable"]

# International yard and pound agreement, 1959: 1 in = 25.4 mm, 1 lb = 0.45359237 kg exactly.
MM_PER: Final = {
    "in": Fraction(127, 5), "ft": Fraction(1524, 5), "mm": Fraction(1), "cm": Fraction(10),
    "m": Fraction(1000),
}  # fmt: skip
G_PER: Final = {
    "lb": Fraction(45_359_237, 100_000), "kg": Fraction(1000), "g": Fraction(1),
    "t": Fraction(1_000_000), "oz": Fraction(45_359_237, 1_600_000),
}  # fmt: skip
_DENOMINATORS: Final = frozenset({2, 3, 4, 5, 6, 8, 10, 12, 16, 32, 64})
_NUMBER: Final = r"(?:\d{1,3}(?:[ ']\d{3})+(?:[.,]\d+)?(?!\d)|\d+(?:[.,]\d+)*|[.,]\d+)"
_FRACTION: Final = r"(?:\d{1,2} ?/ ?\d{1,2})"
_MIXED: Final = (
    rf"(?:(?P<whole>{_NUMBER})(?: ?- ?| +)(?P<part>{_FRACTION})"
    rf"|(?P<alone>{_FRACTION})|(?P<number>{_NUMBER}))"
)
_LENGTH_WORD: Final = "|".join(
    sorted((re.escape(word) for words in LENGTH_UNITS.values() for word in words), key=len)[::-1]
)
_MASS_WORD: Final = "|".join(
    sorted((re.escape(word) for words in MASS_UNITS.values() for word in words), key=len)[::-1]
)
_FOOT: Final = "|".join(re.escape(word) for word in LENGTH_UNITS["ft"])
_INCH: Final = "|".join(re.escape(word) for word in LENGTH_UNITS["in"])
_PLAIN_LENGTH: Final = re.compile(rf"{_MIXED} ?(?P<unit>{_LENGTH_WORD})?\.?")
_FEET: Final = re.compile(
    rf"(?P<feet>\d{{1,2}}) ?(?:{_FOOT})\.?(?: ?[-,+&] ?| ?)(?:{_MIXED} ?(?:{_INCH})?\.?)"
)
_METRES: Final = re.compile(r"(?P<m>\d{1,2}) ?m ?(?P<cm>\d{2})(?: ?cm)?")
_PLAIN_MASS: Final = re.compile(
    rf"(?:(?P<before>{_MASS_WORD})\.? ?)?{_MIXED} ?(?P<unit>{_MASS_WORD}|t|to)?\.?"
)
_POUNDS: Final = re.compile(
    rf"(?P<lb>\d{{1,5}}) ?(?:lbs?|#|pounds?)\.? ?{_MIXED} ?(?:oz|ounces?)\.?"
)
_ABOUT: Final = re.compile(
    r"^(?:~|≈|<|>|\+/-|ca\b\.?|circa|about|approx\w*\.?|around|est\b\.?|etwa|rund|aprox\w*\.?|env\b\.?"
    r"|environ|unos) ?|(?: ?(?:\?|approx\w*\.?|est\b\.?|ca\b\.?|\+))+$"
)
_TYPO: Final = str.maketrans({"o": "0", "l": "1", "i": "1", "|": "1", "s": "5", "b": "8", "z": "2"})


@dataclass(frozen=True, slots=True)
class Amount:
    """A number and the unit that was written with it; None where none was.

    `fraction`: written with a fraction or as feet and inches, which only inches are.
    """

    value: Fraction
    unit: str | None
    fraction: bool = False


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a text is no amount; `hint` is what was probably meant, for a person to confirm."""

    reason: Reason
    hint: str = ""


@lru_cache(maxsize=65_536)
def plain_text(text: str) -> str:
    """Return a text in one form: no capitals, accents, rare signs or runs of blanks."""
    if text.isascii():
        return " ".join(text.lower().replace("`", "'").replace("''", '"').split())
    for sign, written in VULGAR.items():
        if sign in text:
            text = text.replace(sign, f" {written} ")
    text = text.translate(ALIKE).casefold().replace("''", '"')
    text = "".join(
        sign for sign in unicodedata.normalize("NFKD", text) if not unicodedata.combining(sign)
    )
    return " ".join(text.split())


@lru_cache(maxsize=16_384)
def read_length(
    text: str, unit: str | None = None, decimal: Decimal = "either"
) -> Amount | Refusal:
    """Return a length; `unit` is the one meant where none is written."""
    plain = plain_text(text)
    early = _early(plain)
    if early is not None:
        return early
    metres = _METRES.fullmatch(plain)
    if metres is not None:
        return Amount(int(metres["m"]) + Fraction(int(metres["cm"]), 100), "m")
    feet = _FEET.fullmatch(plain)
    if feet is not None:
        inches = _number_of(feet, "in", decimal)
        if not isinstance(inches, Refusal) and inches < 12:
            return Amount(int(feet["feet"]) * 12 + inches, "in", fraction=True)
    found = _PLAIN_LENGTH.fullmatch(plain)
    if found is None:
        return _refusal(plain, lambda again: read_length(again, unit, decimal))
    written = _unit(found["unit"], LENGTH_UNITS)
    value = _number_of(found, written or unit, decimal)
    if isinstance(value, Refusal):
        return value
    return Amount(value, written, fraction=found["number"] is None)


@lru_cache(maxsize=16_384)
def read_mass(text: str, unit: str | None = None, decimal: Decimal = "either") -> Amount | Refusal:
    """Return a mass; `unit` is the one meant where none is written."""
    plain = plain_text(text)
    early = _early(plain)
    if early is not None:
        return early
    pounds = _POUNDS.fullmatch(plain)
    if pounds is not None:
        ounces = _number_of(pounds, "oz", decimal)
        if isinstance(ounces, Refusal) or ounces >= 16:
            return Refusal("unreadable")
        return Amount(int(pounds["lb"]) + ounces / 16, "lb")
    found = _PLAIN_MASS.fullmatch(plain)
    if found is None or (found["before"] and (found["unit"] or found["before"] == "#")):
        return _refusal(plain, lambda again: read_mass(again, unit, decimal))
    word = found["before"] or found["unit"]
    written = "t" if word in {"t", "to"} else _unit(word, MASS_UNITS)
    value = _number_of(found, written or unit, decimal)
    return value if isinstance(value, Refusal) else Amount(value, written)


def millimetres(amount: Amount, unit: str) -> Fraction:
    """Return a length in millimetres; `unit` is the one meant where none was written."""
    return amount.value * MM_PER[amount.unit or unit]


def grams(amount: Amount, unit: str) -> Fraction:
    """Return a mass in grams; `unit` is the one meant where none was written."""
    return amount.value * G_PER[amount.unit or unit]


def number_in(text: str, unit: str | None, decimal: Decimal) -> Fraction | Refusal:
    """Return the number that digits with points, commas or blanks mean."""
    digits = text.replace(" ", "").replace("'", "")
    points, commas = digits.count("."), digits.count(",")
    if points and commas:
        mark = max(".,", key=digits.rfind)
        other = "," if mark == "." else "."
        if digits.count(mark) > 1 or not _grouped(digits.split(mark)[0], other):
            return Refusal("unreadable")
        if decimal not in {"either", mark}:
            return Refusal("ambiguous")
        return Fraction(digits.replace(other, "").replace(mark, "."))
    if not points and not commas:
        return Fraction(digits)
    mark = "." if points else ","
    if points + commas > 1:
        return (
            Fraction(digits.replace(mark, "")) if _grouped(digits, mark) else Refusal("unreadable")
        )
    thousands = _means_thousands(digits, mark, unit, decimal)
    if thousands is None:
        return Refusal("ambiguous")
    if thousands:
        return Fraction(digits.replace(mark, ""))
    if digits.endswith(mark):
        return Refusal("unreadable")
    return Fraction(digits.replace(",", "."))


def _means_thousands(digits: str, mark: str, unit: str | None, decimal: Decimal) -> bool | None:
    """Return whether a single mark separates thousands; None where nothing decides."""
    whole, _, rest = digits.partition(mark)
    could = len(rest) == 3 and 1 <= len(whole) <= 3 and not whole.startswith("0")
    if not could:
        return False
    if decimal != "either":
        return decimal != mark
    if mark == ".":  # a point is decimal; only in millimetres would it be strange
        return None if unit == "mm" else False
    return {"mm": True, "lb": True, "m": False, "t": False}.get(unit or "")


def _grouped(digits: str, mark: str) -> bool:
    """Return whether a mark separates groups of three digits."""
    first, *others = digits.split(mark)
    return 1 <= len(first) <= 3 and all(len(one) == 3 for one in others)


def _number_of(found: re.Match[str], unit: str | None, decimal: Decimal) -> Fraction | Refusal:
    """Return the number of a match: plain, mixed or a fraction alone."""
    fraction = found["part"] or found["alone"]
    if fraction is None:
        return number_in(found["number"], unit, decimal)
    top, bottom = (int(one) for one in fraction.split("/"))
    if bottom not in _DENOMINATORS or top >= bottom:
        return Refusal("unreadable")
    if found["whole"] is None:
        return Fraction(top, bottom)
    if not found["whole"].isdigit():
        return Refusal("unreadable")
    return int(found["whole"]) + Fraction(top, bottom)


def _early(plain: str) -> Refusal | None:
    if not plain:
        return Refusal("blank")
    if plain in NOT_KNOWN or plain.rstrip(".") in NOT_KNOWN:
        return Refusal("unknown")
    return None


def _refusal(plain: str, again: Callable[[str], Amount | Refusal]) -> Refusal:
    """Return why a text is no amount: about so much, a letter for a digit, or not to be read."""
    rest = _ABOUT.sub("", plain)
    if rest != plain and isinstance(again(rest), Amount):
        return Refusal("about", rest)
    digits = re.match(r"[\doilsbz|.,]+", plain)
    if digits is not None and any(sign.isdigit() for sign in digits[0]):
        hint = digits[0].translate(_TYPO) + plain[digits.end() :]
        if hint != plain and isinstance(again(hint), Amount):
            return Refusal("typo", hint)
    return Refusal("unreadable")


def _unit(word: str | None, units: dict[str, tuple[str, ...]]) -> str | None:
    return next((unit for unit, words in units.items() if word in words), None) if word else None
