"""Lists page by page: `limit` and `after`, the next page in Link (RFC 8288), the number of all.

Without `limit` a list is whole, as before there were pages.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Final, TypeVar
from urllib.parse import urlencode

from flask import g, request
from pydantic import BaseModel, ConfigDict, Field

T = TypeVar("T")
MOST: Final = 1000


class PageQuery(BaseModel):
    """How many to return, and after which one."""

    model_config = ConfigDict(extra="ignore")
    limit: int | None = Field(None, ge=1, le=MOST, description="At most so many; absent: all")
    after: str = Field("", max_length=60, description="Code or id that the last page ended with")
    q: str = Field("", max_length=60, description="Only what has these words in its code or name")

    def matches(self, *texts: str) -> bool:
        """Return whether every word stands somewhere in the texts."""
        all_of_it = " ".join(texts).casefold()
        return all(word in all_of_it for word in self.q.casefold().split())


def page(items: Sequence[T], query: PageQuery, name: Callable[[T], str]) -> Sequence[T]:
    """Return the page that is asked for; whatever was added or deleted since, none comes twice.

    An item that `after` names and that is deleted by now begins nothing anew: the list is read on
    at the place where it stood, for lists that are ordered by their names.
    """
    g.total = len(items)
    start = 0
    if query.after:
        names = [name(one) for one in items]
        if query.after in names:
            start = names.index(query.after) + 1
        else:
            start = next((at for at, one in enumerate(names) if one > query.after), len(names))
    if query.limit is None:
        return items[start:]
    found = items[start : start + query.limit]
    if start + query.limit < len(items):
        given: dict[str, Any] = {**request.args, "limit": query.limit, "after": name(found[-1])}
        g.next_page = f'<{request.path}?{urlencode(given)}>; rel="next"'
    return found
