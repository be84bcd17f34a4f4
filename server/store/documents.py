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
def _adapter(kind: Any) -> TypeAdapter[Any]:
    return TypeAdapter(kind)


def read(kind: type[T], document: object) -> T:
    """Return the core value that was written; its own constructor checks it again."""
    adapter = _adapter(kind)  # type: ignore[arg-type]  # a class is hashable
    value: T = adapter.validate_python(document)
    return value


def write(value: DataclassInstance) -> dict[str, Any]:
    """Return a core value as plain JSON."""
    return asdict(value)
