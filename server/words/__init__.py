"""The words of papers, one JSON file a language with the keys of `en.json`.

Blanks stand in braces. A key with `.one` beside it is the plural of a count in the blank `n`.
"""

from __future__ import annotations

import json
from functools import lru_cache
from pathlib import Path
from typing import Final

HERE: Final = Path(__file__).parent
ENGLISH: Final = "en"


class Words:
    """What papers say in one language; where a language lacks a key, it is said in English."""

    def __init__(self, phrases: dict[str, str]) -> None:
        self._phrases = phrases

    def __call__(self, key: str, **blanks: object) -> str:
        """Return a phrase with its blanks filled."""
        if blanks.get("n") == 1 and f"{key}.one" in self._phrases:
            key = f"{key}.one"
        return self._phrases[key].format(**blanks)


def languages() -> tuple[str, ...]:
    """Return the languages that there are files for."""
    return tuple(sorted(file.stem for file in HERE.glob("*.json")))


@lru_cache(maxsize=8)
def words_of(language: str) -> Words:
    """Return the words of a language; English where there is no file of it."""
    phrases = _read(ENGLISH)
    return Words(phrases | _read(language) if language in languages() else phrases)


def _read(language: str) -> dict[str, str]:
    found: dict[str, str] = json.loads((HERE / f"{language}.json").read_text("utf-8"))
    return found
