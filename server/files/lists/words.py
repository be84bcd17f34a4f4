"""What the headings and cells of case lists say; `vocabulary.toml` holds the words."""

from __future__ import annotations

import re
import tomllib
from itertools import pairwise
from pathlib import Path
from typing import Final, Literal

from server.core.base.measure_words import LENGTH_UNITS, MASS_UNITS
from server.core.base.measures import plain_text

Role = Literal[
    "code", "name", "department", "home", "length", "width", "height", "depth", "sides", "mass",
    "quantity", "note", "other",
]  # fmt: skip
SIDES: Final = ("length", "width", "height")

_VOCABULARY: Final = tomllib.loads(Path(__file__).with_name("vocabulary.toml").read_text("utf-8"))
INNER, EMPTY, _OVER, _WITH, _WITHOUT = (
    frozenset(_VOCABULARY["beside"][name].split())
    for name in ("inner", "empty", "over", "with", "without")
)
DEPARTMENTS: Final = frozenset(_VOCABULARY["cells"]["departments"].split())
WORDS: Final[dict[str, list[tuple[Role, int]]]] = {}
for _role, _rows in _VOCABULARY["headings"].items():
    for _sure, _words in _rows.items():
        for _word in _words.split():
            WORDS.setdefault(_word.strip("_").casefold(), []).append((_role, int(_sure)))
# Letters that no accent is taken off of: how their languages are written without them.
_LATIN: Final = str.maketrans({"ł": "l", "ø": "o", "đ": "d", "\u0131": "i", "æ": "ae", "œ": "oe"})

TOTALS: Final = re.compile(
    r"(?:[a-z]+ )?(?:sub|sous|grand|zwischen|seiten|gesamt|over-?all)?[- ]?"
    r"(?:total|totals|totale|totaux|summe|summa|suma"
    r"|sum|somme|gesamt|insgesamt|ubertrag|carried forward|totaal|razem|celkem"
    r"|łacznie|spolu|osszesen|yhteensa|i alt|totalt|ukupno|skupaj|toplam|итого|всего|συνολο)\b"
    r"|\d+ (?:cases|flightcases|kisten|koffer|cajas|caisses|casse|skrzyn|kasser|items|pcs)$"
)
PLACE: Final = re.compile(
    r"(?:bay|rack|wall|shelf|aisle|row|bin|slot|zone|hall|regal|fach|platz|reihe|gang|halle|lager"
    r"|wand|estante|pasillo|nave|pared|fila|hueco|rayon|allee|etagere|travee|mur|place|spot|cage"
    r"|level|floor|dock|loft|corner|cupboard|container|store|[rsbwhgeac])"
    r"[ ./-]*[a-z]?\d{1,3}(?:[ ./-]*[a-z0-9]{1,3}){0,3}"
    r"|[a-z]\d{1,2}[-./]\d{1,2}(?:[-./][a-z0-9]{1,2})?"
)
_TOKEN: Final = re.compile(r"[^\W\d_]+\d?|#|\"|'|\?+|\d+")
_UNIT_WORDS: Final = {
    word: unit
    for units in (LENGTH_UNITS, MASS_UNITS)
    for unit, words in units.items()
    for word in words
}
# Words that are units only in brackets or behind a side: each has another meaning too.
_WEAK_UNITS: Final = frozenset(
    {"in", "m", "po", "g", "gr", "#", "'", '"', "pie", "pies", "metro", "t"}
)


def tokens_of(heading: str) -> list[str]:
    """Return the words of a heading in one form; a degree sign after an n is a number sign."""
    plain = plain_text(heading.replace("№", "no").replace("°", "o").replace("º", "o"))
    plain = plain.translate(_LATIN)
    plain = re.sub(r"\b([nN])o\b\.?", "no", plain)
    plain = re.sub(r"(?<=[a-z])\.(?=[a-z])", " ", plain)
    return _TOKEN.findall(plain.replace("_", " "))


def unit_of(heading: str) -> str | None:
    """Return the unit that a heading names: `Long (cm)`, `W cm`, `Weight [lb]`, `Tiefe/mm`."""
    plain = plain_text(heading)
    for inside in re.findall(r"[(\[{<]([^)\]}>]*)[)\]}>]", plain):
        units = [word for word in re.findall(r"[a-z]+|#|\"|'", inside) if word in _UNIT_WORDS]
        if units:  # `(B x T x H in cm)`: the `in` is no unit
            return _UNIT_WORDS[min(units, key=lambda word: word in _WEAK_UNITS)]
    tokens = tokens_of(heading)
    for place, word in enumerate(tokens):
        unit = _UNIT_WORDS.get(word)
        last = place == len(tokens) - 1
        if unit and (
            word not in _WEAK_UNITS
            or (last and place > 0 and tokens[0] not in {"case", "item", "number"})
        ):
            return unit
    return None


def meanings(heading: str) -> dict[Role, int]:
    """Return what a heading may mean, and how sure it is of each."""
    tokens = tokens_of(re.sub(r"[(\[{<][^)\]}>]*[)\]}>]", " ", heading)) or tokens_of(heading)
    tokens, _ = _over_all(tokens)
    over = _over_all(tokens_of(heading))[1]
    found: dict[Role, int] = {}
    joined = [
        "_".join(tokens[a:b])
        for a in range(len(tokens))
        for b in range(a + 1, min(len(tokens), a + 6) + 1)
    ]
    for phrase in [*joined, "".join(tokens)]:
        longer = phrase.count("_")
        for role, sure in WORDS.get(phrase, ()) or _nearly(phrase):
            if len(phrase) == 1 and phrase.isalpha() and len(tokens) > 2:
                continue  # a letter among words is no side
            found[role] = max(found.get(role, 0), sure + longer)
    if order_of(heading):
        found["sides"] = 12
    said = set(tokens) | set(tokens_of(heading))
    if said & EMPTY and "mass" in found:
        found["other"], found["mass"] = found["mass"] + 1, 3
    if found.get("other", 0) >= 10:  # a serial number is no number of a case
        found = {role: sure if role == "other" else min(sure, 4) for role, sure in found.items()}
    if over:  # the words of a lid or wheels say how a side is measured
        found.pop("other", None)
    if measured_inside(heading):
        for side in ("length", "width", "height", "depth", "sides"):
            if side in found:
                found[side] = 4
    return found


def measured_inside(heading: str) -> bool:
    """Return whether a heading says that a side is an inner one, or leaves lid or wheels out."""
    tokens = tokens_of(heading)
    return bool(set(tokens) & INNER) or _over_all(tokens)[1] == "without"


def _over_all(tokens: list[str]) -> tuple[list[str], str]:
    """Return a heading without `with lid`, and whether it says with or without."""
    for n, (first, second) in enumerate(pairwise(tokens)):
        if n and second in _OVER and first in _WITH | _WITHOUT:
            return [*tokens[:n], *tokens[n + 2 :]], "with" if first in _WITH else "without"
    return tokens, ""


def _nearly(phrase: str) -> tuple[tuple[Role, int], ...]:
    """Return what a cut or longer form of a long word means: `Abmess.`, `Breitenmaß`."""
    if len(phrase) < 4 or "_" in phrase or not phrase.isalpha():
        return ()
    best: tuple[tuple[Role, int], ...] = ()
    for word, said in WORDS.items():
        if len(word) >= 5 and (
            word.startswith(phrase) or (phrase.startswith(word) and len(phrase) <= len(word) + 4)
        ):
            best = (*best, *((role, min(sure, 7) - 1) for role, sure in said))
    return best


_ORDER: Final = re.compile(
    r"(?<![a-z])([lwhdbtpa]|length|width|height|depth|long|wide|high|tall|deep|lange|laenge"
    r"|breite|hohe|hoehe|tiefe|largo|ancho|alto|fondo|longueur|largeur|hauteur|profondeur|an|al|la|lg|ht|prof|larg|haut)"
    r"(?![a-z])"
)
_GLUED: Final = re.compile(r"(?<![a-z])([lwhdbtpa])x([lwhdbtpa])(?:x([lwhdbtpa]))?(?![a-z])")
_LETTERS: Final[dict[str, str]] = {
    "l": "length", "w": "width", "h": "height", "d": "depth", "b": "width", "t": "depth",
    "p": "depth", "an": "width", "al": "height", "la": "length", "lg": "length", "ht": "height",
    "prof": "depth", "larg": "width", "haut": "height",
}  # fmt: skip


def order_of(heading: str) -> tuple[str, ...]:
    """Return the sides in the order in which a heading names them (`B x H x T`), else nothing."""
    plain = plain_heading = plain_text(heading.replace("×", "x"))
    glued = _GLUED.search(plain)
    if glued:
        words = [one for one in glued.groups() if one]
    else:
        plain = re.sub(r"(?<=[a-z ])[x*/,&+-](?=[ a-z])", " ", f" {plain} ".replace(" x ", " "))
        words = _ORDER.findall(plain)
    if len(words) not in {2, 3}:
        return ()
    if len(words) == 2 and not glued and not re.search(r"[a-z] ?[x*] ?[a-z]", plain_heading):
        return ()
    order: list[str] = []
    for word in words:
        order.append(_side_of(word, order))
    return placed_depth(tuple(order)) if len(set(order)) == len(order) else ()


def _side_of(word: str, before: list[str]) -> str:
    """Return the side of one word; a second L is largeur, an A is one of ancho and alto."""
    if word == "a":
        return "height" if "width" in before else "width"
    if word == "l" and "length" in before:
        return "width"
    if word in _LETTERS:
        return _LETTERS[word]
    return next(role for role, _ in WORDS[word] if role in {*SIDES, "depth"})


def placed_depth(order: tuple[str, ...]) -> tuple[str, ...]:
    """Return sides with the depth as the one that is not named: W x D x H has its length in D."""
    free = next((side for side in ("length", "height", "width") if side not in order), "length")
    return tuple(free if side == "depth" else side for side in order)
