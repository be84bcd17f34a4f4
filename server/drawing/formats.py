"""Sizes of paper and how large letters must be."""

from __future__ import annotations

from typing import Final

from server.core.base.units import Units
from server.drawing.pdf import A4, LETTER

# Height of capitals read at 1.5 m: 16 minutes of arc at least (ISO 9241-303:2011, from memory),
# 1 500 mm x tan(16') = 7 mm. Capitals of our face are 0.698 of its size (server/typeface).
READ_AT_1500: Final = 7.0 / 0.698


def paper_of(units: Units) -> tuple[float, float]:
    """Return Letter for a shop that counts in inches, else A4; common practice, no source."""
    return LETTER if units.length == "in" else A4
