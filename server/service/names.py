"""Names of people: one form of each, nothing invisible in it, none that passes for the chief's."""

from __future__ import annotations

import unicodedata
from typing import Final

from server.service.troubles import Wrong

MOST: Final = 60
# Signs that show nothing though their category says letter or symbol (Unicode 15, from memory).
BLANK: Final = frozenset("\u115f\u1160\u17b4\u17b5\u2800\u3164\uffa0")
# Letters of Cyrillic and Greek that print as Latin ones, as code point and letter: a part of
# Unicode's confusables (UTS 39), from memory and not complete.
LOOK_ALIKE: Final = """
    0430a 0435e 043Eo 0440p 0441c 0443y 0445x 0456i 0458j 0455s 0501d 051Bq 051Dw 04BBh
    04CFl 03BDv 03BFo 03B1a 03B9i 03C1p 03C5u 03F2c 0391A 0392B 0395E 0396Z 0397H 0399I
    039AK 039CM 039DN 039FO 03A1P 03A4T 03A5Y 03A7X 0410A 0412B 0415E 041AK 041CM 041DH
    041EO 0420P 0421C 0422T 0423Y 0425X 0406I 0408J 0405S 051AQ 051CW
"""
LOOK: Final = {int(one[:4], 16): one[4:] for one in LOOK_ALIKE.split()}
SAME: Final = str.maketrans("0135i|", "olesll")


def clean(name: str) -> str:
    """Return a name in one form (NFC, single blanks); Wrong where it is none."""
    text = " ".join(unicodedata.normalize("NFC", name).split())
    hidden = [sign for sign in text if sign != " " and _is_hidden(sign)]
    if hidden:
        code = f"U+{ord(hidden[0]):04X}"
        raise Wrong("This name holds a sign that is not seen.", (("name", f"without {code}"),))
    if not any(unicodedata.category(sign)[0] in "LN" for sign in text) or len(text) > MOST:
        fault = f"expected 1 to {MOST} signs, a letter or digit among them"
        raise Wrong("This is no name.", (("name", fault),))
    return text


def _is_hidden(sign: str) -> bool:
    """Control, format (bidirectional overrides, joiners), private, unassigned, or blank."""
    return unicodedata.category(sign)[0] in "CZ" or sign in BLANK


def alike(one: str, other: str) -> bool:
    """Return whether people would read two names as the same."""
    return _look(one) == _look(other)


def _look(name: str) -> str:
    plain = unicodedata.normalize("NFKD", name.translate(LOOK)).translate(LOOK)
    letters = "".join(sign for sign in plain if not unicodedata.combining(sign))
    folded = letters.casefold().translate(LOOK).translate(SAME)
    folded = folded.replace("rn", "m").replace("vv", "w")
    return "".join(sign for sign in folded if sign.isalnum())
