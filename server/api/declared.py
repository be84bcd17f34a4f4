"""Models of the API made from declared columns (`core/shop/columns.py`): one field a column."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any, Final, Literal

from pydantic import Field, create_model

from server.api.models import Strict
from server.core.shop.case import Stance
from server.core.shop.columns import Declared, columns
from server.core.shop.tags import MOST_TAGS

NO_CONTROLS: Final = r"^[^\x00-\x1f\x7f]*$"
Um = Annotated[int, Field(gt=0, le=10**9)]
Grams = Annotated[int, Field(ge=0, le=10**9)]
Code = Annotated[str, Field(min_length=1, max_length=60, pattern=r"^[^\x00-\x1f\x7f]+$")]
Day = Annotated[str, Field(max_length=10, pattern=r"^(\d{4}-\d{2}-\d{2})?$")]


class ContentModel(Strict):
    """What lies in a case, and how many of it."""

    what: Annotated[str, Field(min_length=1, max_length=80, pattern=r"^[^;\x00-\x1f\x7f]+$")]
    count: int = Field(1, ge=1, le=999_999)


TYPES: Final[dict[str, Callable[[Declared], Any]]] = {
    "code": lambda _: Code,
    "text": lambda one: Annotated[str, Field(max_length=one.column.longest, pattern=NO_CONTROLS)],
    "length": lambda _: Um,
    "mass": lambda _: Grams,
    "flag": lambda _: bool,
    "stances": lambda _: Annotated[list[Stance], Field(min_length=1)],
    "codes": lambda _: Annotated[list[Code], Field(max_length=100)],
    "choice": lambda one: Literal[one.column.choices],
    "day": lambda _: Day,
    "tags": lambda _: Annotated[list[Code], Field(max_length=MOST_TAGS)],
    "contents": lambda _: Annotated[list[ContentModel], Field(max_length=100)],
}


def model_fields(kind: type[Any]) -> dict[str, Any]:
    """Return the fields of a model that holds what a dataclass declares."""
    found: dict[str, Any] = {}
    for one in columns(kind).values():
        type_ = TYPES[one.column.kind](one)
        if one.required:
            found[one.field] = (type_, ...)
        elif isinstance(one.default, tuple):
            found[one.field] = (type_, Field(default_factory=lambda held=one: list(held.default)))
        else:
            found[one.field] = (type_ | None if one.default is None else type_, one.default)
    return found


def change_fields(*kinds: type[Any]) -> dict[str, Any]:
    """Return the fields of a model that changes many cases at once; absent: unchanged."""
    return {
        one.field: (TYPES[one.column.kind](one) | None, None)
        for kind in kinds
        for one in columns(kind).values()
        if one.column.many
    }


def make(name: str, doc: str, fields: dict[str, Any]) -> Any:
    """Return a strict model with these fields."""
    return create_model(name, __base__=Strict, __doc__=doc, **fields)
