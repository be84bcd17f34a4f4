"""Core dataclasses as JSON columns: one pair of functions for all of them."""

from __future__ import annotations

from dataclasses import asdict
from functools import lru_cache
from typing import TYPE_CHECKING, Any, TypeVar

from pydantic import TypeAdapter

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

T = TypeVar("T")


@lru_cache(maxsize=32)
def _adapter(kind: type[T]) -> TypeAdapter[T]:
    return TypeAdapter(kind)


def read(kind: type[T], document: object) -> T:
    """Return the core value that was written; its own constructor checks it again."""
    return _adapter(kind).validate_python(document)


def write(value: DataclassInstance) -> dict[str, Any]:
    """Return a core value as plain JSON."""
    return asdict(value)
