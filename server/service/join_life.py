"""How long a join code lives: from made until a day after the show's day."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Final

from server.service.records import ShowRecord

DAY_MS: Final = 86_400_000
LEAST_MS: Final = 7 * DAY_MS  # the show's close ends it earlier
# The day itself and a day after, wherever on Earth that ends: half a day behind UTC at most.
AFTER_SHOW_MS: Final = 2 * DAY_MS + DAY_MS // 2


def join_ends_at(show: ShowRecord) -> int:
    """Return when a show's join code ends, also where the show was moved to another date.

    A code printed weeks ahead is good on the night; a show without a date keeps a week.
    """
    try:
        day = datetime.fromisoformat(show.date[:10]).replace(tzinfo=UTC)
    except ValueError:
        return show.join_ends_at
    return max(show.join_ends_at, int(day.timestamp()) * 1000 + AFTER_SHOW_MS)
