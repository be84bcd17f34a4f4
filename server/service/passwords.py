"""Which passwords an owner may choose: long, and none that is guessed early."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

LEAST: Final = 12
# What guesses of this very server would begin with, beside the names of owner and shop.
OUR_WORDS: Final = ("rowcall", "owner", "office", "chief", "loader", "crew", "truck", "roadcase")
# The estimate looks at the beginning of a very long one only: the rest can but add to it.
LOOKED_AT: Final = 80
SAFE: Final = 4  # of 0 to 4: more than ten thousand million guesses, by the library's estimate


def fault(password: str, about: Iterable[str] = ()) -> str | None:
    """Return what is wrong with a new password, or None; `about`: names of person and shop.

    No rule about kinds of characters (NIST SP 800-63B, 5.1.1.2). The estimate holds the 30,000
    passwords that leaked most often, words and names, also inside a longer password, and finds
    repeats, rows of keys, dates and counting.
    """
    if len(password) < LEAST:
        return f"expected at least {LEAST} characters"
    from zxcvbn import zxcvbn

    words = [word for name in (*OUR_WORDS, *about) for word in {name, *name.split()} if word]
    found = zxcvbn(password[:LOOKED_AT], user_inputs=words, max_length=LOOKED_AT)
    if found["score"] < SAFE:
        return "expected one that is not guessed early: a few words that do not belong together"
    return None
