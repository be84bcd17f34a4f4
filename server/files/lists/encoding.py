"""The text of a file whose encoding nobody states."""

from __future__ import annotations

import codecs
import html
import re
from typing import Final

BYTE_ORDER_MARKS: Final = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
# What spreadsheets of the last thirty years save as: Windows, DOS, Macintosh, Central European.
CODE_PAGES: Final = ("cp1252", "cp850", "mac_roman", "cp437", "cp1250", "iso8859_2", "cp852")
# The letters beside a to z of one language at a time, and words that show it: a text is in one
# language, and a code page that mixes them is the wrong one.
LANGUAGES: Final = (
    ("äöüß", re.compile(r"sch|ung\b|icht|kiste|gewicht|\bnr\b|platz|koffer")),
    ("áéíóúñü", re.compile(r"ancho|largo|peso|caja|luces|sonido|llo|nave|estante")),
    ("éèêëàâçîïôùûœæ", re.compile(r"eau|eur\b|poids|caisse|\bson\b|malle|rayon")),
    ("ãõáéíóúâêôçà", re.compile(r"largura|caixa")),
    ("àèéìòù", re.compile(r"larghezza|cassa")),
    ("æøå", re.compile(r"bredde|kasse")),
    ("åäö", re.compile(r"bredd|vikt")),
    ("ąćęłńóśźż", re.compile(r"waga|skrzyni|nazwa|numer|miejsce")),
    ("áčďéěíňóřšťúůýž", re.compile(r"bedna|hmotnost|popis|kufr|poloha")),
    ("áéíóöőúüű", re.compile(r"doboz|hossz|raktar|suly|nev\b")),
    ("čćđšž", re.compile(r"kutija|naziv|masa|visina")),
    ("ăâîșşțţ", re.compile(r"greutate|denumire|lungime")),
    ("çğıöşü", re.compile(r"boy|kasa|adet|sandik")),
)
_ENTITY: Final = re.compile(
    r"&(?:amp|times|quot|frac1[24]|frac34|nbsp|[aouAOU]uml|szlig|#\d{2,5});"
)
SIGNS: Final = frozenset("×½¼¾″’“”–—°ºª€£…·¿¡\u2032\u2018")


def text_of(content: bytes) -> str:
    """Return the text of a file, with signs in place of what web pages write for them."""
    text = _decoded(content)
    return html.unescape(text) if _ENTITY.search(text) else text


def _decoded(content: bytes) -> str:
    """Return the text of a file: by its byte order mark, as UTF-8, or by what reads best."""
    for mark, name in BYTE_ORDER_MARKS:
        if content.startswith(mark):
            return _mended(content.decode(name, "replace"))
    wide = _wide(content)
    if wide is not None:
        return content.decode(wide, "replace")
    try:
        return _mended(content.decode("utf-8"))
    except UnicodeDecodeError:
        pass
    texts = [content.decode(page, "replace") for page in CODE_PAGES]
    return max(texts, key=_reads_well)  # the first of equals


def _wide(content: bytes) -> str | None:
    """Return the UTF-16 of a file without a mark: plain letters leave every other byte zero."""
    start = content[:4_000]
    if len(start) < 4 or start.count(0) < len(start) // 4:
        return None
    odd, even = start[1::2].count(0), start[::2].count(0)
    return "utf-16-le" if odd >= even else "utf-16-be"


def _reads_well(text: str) -> int:
    """Return how well a reading of the file fits the language that it fits best."""
    rare = [
        (sign, text[place - 1 : place], text[place + 1 : place + 2])
        for place, sign in enumerate(text)
        if ord(sign) > 127
    ][:2_000]
    signs = sum(_sign_fits(*one) for one in rare if not one[0].isalpha())
    letters = [one for one in rare if one[0].isalpha() and one[0] not in "ºª"]
    inside = sum(2 for sign, before, _ in letters if sign.isupper() and before.islower())
    alone = sum(4 for sign, before, after in letters if _alone(sign, before, after))
    plain = text[:20_000].lower()
    fits = max(
        sum(2 if sign.lower() in known else -3 for sign, _, _ in letters)
        + min(3, len(hints.findall(plain)))
        for known, hints in LANGUAGES
    )
    return signs + fits - inside - alone


def _alone(sign: str, before: str, after: str) -> bool:
    """Return whether a letter stands alone or between digits, as a × read wrongly does."""
    return sign not in "àÀ" and not before.isalpha() and not after.isalpha()


def _sign_fits(sign: str, before: str, after: str) -> int:
    """Return whether a sign may stand here: none stands between two letters but an apostrophe."""
    if sign not in SIGNS or (sign not in "’×" and before.isalpha() and after.isalpha()):
        return -3
    return 1


def _mended(text: str) -> str:
    """Return a text whose UTF-8 had been read as Windows-1252 and saved again, put right."""
    if "Ã" not in text and "Â" not in text:
        return text
    try:
        return text.encode("cp1252").decode("utf-8")
    except UnicodeError:
        return text
