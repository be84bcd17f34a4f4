"""The texts of fixtures/codes are judged here as the phone's tests judge them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from server.core.shop.case_code import Accepted, Refused, accept
from tests.phone_model.typed_code import accept_typed

FILE = Path(__file__).resolve().parents[2] / "fixtures" / "codes" / "vectors.json"


def _said(read: Accepted | Refused) -> dict[str, Any]:
    return {"code": read.code} if isinstance(read, Accepted) else {"refused": read.kind}


def test_server_and_phone_judge_every_text_alike() -> None:
    vectors = json.loads(FILE.read_text(encoding="utf-8"))
    known = vectors["known"]
    assert len(vectors["rows"]) > 100
    for row in vectors["rows"]:
        text = row["text"]
        assert _said(accept(text, known)) == row["read"], text
        assert _said(accept_typed(text, known)) == row["typed"], text
