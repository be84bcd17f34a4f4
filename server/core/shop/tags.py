"""Further tags of a case: stickers that it carries beside its own label, each naming it alone.

A tag is any text up to 60 characters: an older number, a maker's serial number, a bar code of
another system. It has no check character that is known here, so it counts only as a whole, only if
it was bound to a case before, and not at all where two cases carry it. Inside a web address only a
code of our own counts: its check character proves that it is no other number.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection, Iterable, Mapping
from typing import Final

from server.core.shop.case_code import CHECKED

LONGEST_TAG: Final = 60
MOST_TAGS: Final = 12
_ADDRESS: Final = re.compile(r"[a-z][a-z0-9+.-]{1,15}://", re.IGNORECASE)
_ESCAPED: Final = re.compile(r"(?:%[0-9A-Fa-f]{2})+")  # RFC 3986, section 2.1
_PARTS: Final = re.compile(r"[/?&#=:;,\s]+")


def tag_key(text: str) -> str:
    """Return the form in which tags are compared: NFC, capitals, single blanks.

    The same article number comes as 12 digits (UPC-A) or with a zero before them (EAN-13), as a
    reader likes: GS1 General Specifications, section 1.3, count both as one.
    """
    key = " ".join(unicodedata.normalize("NFC", text).upper().split())
    return key[1:] if len(key) == 13 and key.isascii() and key.isdigit() and key[0] == "0" else key


def tag_owners(tags: Iterable[tuple[str, Iterable[str]]]) -> dict[str, str]:
    """Return key → code of cases with their tags; a tag that two cases carry names neither."""
    owners: dict[str, str] = {}
    shared: set[str] = set()
    for code, texts in tags:
        for key in {tag_key(text) for text in texts}:
            if owners.setdefault(key, code) != code:
                shared.add(key)
    return {key: code for key, code in owners.items() if key not in shared}


def case_of(text: str, known_codes: Collection[str], owners: Mapping[str, str]) -> str | None:
    """Return the code of the case that a label's text names; None where it names none.

    First a code of the fleet, in whichever numbering; then a tag; then a code in a web address.
    """
    for form in (text.strip(), text.strip().upper()):
        if form in known_codes:
            return form
    code = owners.get(tag_key(text))
    if code is not None and code in known_codes:
        return code
    inside = set(_codes_in_address(text)) & set(known_codes)
    return inside.pop() if len(inside) == 1 else None


def _codes_in_address(text: str) -> Iterable[str]:
    """Yield our own codes, check character and all, that stand in a web address as a part."""
    if not _ADDRESS.match(text.strip()):
        return
    for part in _PARTS.split(_ESCAPED.sub(_plain, text.strip())):
        code = CHECKED.canonical(part.upper())
        if isinstance(code, str):
            yield code


def _plain(escaped: re.Match[str]) -> str:
    return bytes.fromhex(escaped[0].replace("%", "")).decode("utf-8", "replace")


def tag_faults(
    code: str, tags: Iterable[str], others: Mapping[str, str], codes: Collection[str]
) -> list[str]:
    """Return what is wrong with a case's tags; `others`: key → code of all other cases' tags."""
    faults: list[str] = []
    for text in tags:
        key = tag_key(text)
        if not key or len(text) > LONGEST_TAG or not text.isprintable():
            faults.append(f"expected 1 to {LONGEST_TAG} printable characters, got {text[:80]!r}")
        elif key != code and key in codes:
            faults.append(f"{text} is the code of another case")
        elif others.get(key, code) != code:
            faults.append(f"{text} is a tag of {others[key]} already")
    return faults
