"""The text of a file whose encoding nobody states."""

from __future__ import annotations

import codecs
from typing import Final

BYTE_ORDER_MARKS: Final = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
# What spreadsheets of the last thirty years save as: Windows, DOS, Macintosh, Central European.
CODE_PAGES: Final = ("cp1252", "cp850", "mac_roman", "cp437", "cp1250")
# What stands in case lists of these languages beside plain letters.
LIKELY: Final = frozenset("äöüßÄÖÜéèêëàâçîïôùûœÉÈÀÇñÑáíóúÁÍÓÚ¿¡×½¼¾″’“”–—°ºª€£…·\u2032\u2018")


def text_of(content: bytes) -> str:
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
    """Return how well a reading of the file fits: likely signs less unlikely ones."""
    rare = [(place, sign) for place, sign in enumerate(text) if ord(sign) > 127]
    score = 0
    for place, sign in rare[:2_000]:
        score += 2 if sign in LIKELY else -3
        before = text[place - 1] if place else " "
        if sign.isupper() and before.islower():  # an é read in another code page
            score -= 2
    return score


def _mended(text: str) -> str:
    """Return a text whose UTF-8 had been read as Windows-1252 and saved again, put right."""
    if "Ã" not in text and "Â" not in text:
        return text
    try:
        return text.encode("cp1252").decode("utf-8")
    except UnicodeError:
        return text
