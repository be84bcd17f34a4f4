"""All that the papers of an issued plan are made of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from server.core.shop.plan import Plan
from server.core.shop.show import Show


@dataclass(frozen=True, slots=True)
class ShowPapers:
    """An issued plan for paper: `sheets` as phones get them, `homes` in the order of walking.

    `language`: the shop's, for what papers say. `join_url`: what the QR code opens, None where the
    crew cannot join.
    """

    show: Show
    plan: Plan
    sheets: tuple[Mapping[str, Any], ...]
    revision: int
    homes: tuple[str, ...] = ()
    of_case: Mapping[str, str] | None = None
    join_url: str | None = None
    language: str = "en"

    def home(self, code: str) -> str:
        """Return where a case is kept, "" where nobody said."""
        return (self.of_case or {}).get(code, "")
