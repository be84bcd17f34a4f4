"""Reads JSON of any shape that a body can have, without failing where only one value is absurd.

Nesting deeper than DEEPEST is cut off where Python's reader would give up; whole numbers with more
digits than any field takes become infinite. Whatever checks the value then refuses it by its place.
"""

from __future__ import annotations

import json
import re
from typing import Any, Final

from flask.json.provider import DefaultJSONProvider

DEEPEST: Final = 40
DIGITS: Final = 25
TOKEN: Final = re.compile(r'"(?:[^"\\]|\\.)*+"|[\[\]{}]', re.DOTALL)


class JsonProvider(DefaultJSONProvider):
    """The app's reader and writer of JSON."""

    def loads(self, s: str | bytes, **kwargs: Any) -> Any:
        """Return the value of a text."""
        more: dict[str, Any] = {"parse_int": _whole, **kwargs}
        try:
            return json.loads(s, **more)
        except RecursionError:
            text = s if isinstance(s, str) else s.decode(errors="replace")
            return json.loads(_cut(text), **more)


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
