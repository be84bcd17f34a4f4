"""Reads JSON of any shape that a body can have, without failing where only one value is absurd.

Text that is no JSON, or has more parts than any of ours, is answered with 400. JSON whose values
are absurd is read, and refused with 422 by the place of the value (RFC 9110, 15.5.21): nesting
deeper than DEEPEST is cut off where Python's reader would give up; whole numbers with more digits
than any field takes, and NaN, which JSON does not have but programs write, become numbers that no
field takes.
"""

from __future__ import annotations

import json
import re
from typing import Any, Final

from flask.json.provider import DefaultJSONProvider

DEEPEST: Final = 40
DIGITS: Final = 25
# What a reader spends on 2 MB grows with the values in it: 1,000 facts are some 30,000.
MOST_BRACKETS: Final = 60_000
CUT_MOST: Final = 5 * MOST_BRACKETS
MOST_VALUES: Final = 200_000
MOST_KEYS: Final = 2_000  # of the outermost object
TOKEN: Final = re.compile(r'"(?:[^"\\]|\\.)*+"|[\[\]{}]', re.DOTALL)


class JsonProvider(DefaultJSONProvider):
    """The app's reader and writer of JSON."""

    def loads(self, s: str | bytes, **kwargs: Any) -> Any:
        """Return the value of a text."""
        more: dict[str, Any] = {"parse_int": _whole, **kwargs}
        data = s.encode(errors="replace") if isinstance(s, str) else s
        if data.count(b",") > MOST_VALUES:
            raise ValueError(f"expected at most {MOST_VALUES} values")
        if _brackets(data) > MOST_BRACKETS:
            if _brackets(data) < CUT_MOST:
                data = _cut(data.decode(errors="replace")).encode(errors="replace")
            if _brackets(data) > MOST_BRACKETS:
                raise ValueError(f"expected at most {MOST_BRACKETS} lists and objects")
        value = _read(data, more)
        if isinstance(value, dict) and len(value) > MOST_KEYS:
            raise ValueError(f"expected at most {MOST_KEYS} names")
        return value


def _brackets(data: bytes) -> int:
    return data.count(b"[") + data.count(b"{")


def _read(data: bytes, more: dict[str, Any]) -> Any:
    try:
        return json.loads(data, **more)
    except RecursionError:
        return json.loads(_cut(data.decode(errors="replace")), **more)


def _whole(digits: str) -> int | float:
    return int(digits) if len(digits) <= DIGITS else float("inf")


def _cut(text: str) -> str:
    """Return JSON with what is nested deeper than DEEPEST left out, as empty lists."""
    kept, depth, start = [], 0, 0
    for token in TOKEN.finditer(text):
        sign = token.group()
        if sign in "[{":
            depth += 1
            if depth == DEEPEST:
                kept.append(text[start : token.start()] + "[")
        elif sign in "]}":
            if depth == DEEPEST:
                kept.append("]")
                start = token.end()
            depth -= 1
    return "".join(kept) + ("" if depth >= DEEPEST else text[start:])
