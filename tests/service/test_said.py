"""What the phone is said in Spanish is all that the server says to it (issue 7)."""

from __future__ import annotations

import json

from tests.support.said import FILE, clauses, sentences


def test_one_of_every_kind_of_sentence_is_kept_for_the_phones_own_tests() -> None:
    kept = clauses(json.loads(FILE.read_text()))
    assert len(kept) > 60
    fresh = clauses(sentences()) - kept
    assert not fresh, "expected none: python -m tests.support.said writes them anew"
