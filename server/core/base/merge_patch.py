"""JSON Merge Patch (RFC 7396), and changes of two people to one document brought together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

Document = dict[str, Any]
Path = tuple[str, ...]
NOTHING: Final = object()  # the field is not there


def apply_patch(target: object, patch: object) -> Any:
    """Return the target as the patch changes it (RFC 7396, 2); neither argument is changed."""
    if not isinstance(patch, dict):
        return patch
    result: Document = dict(target) if isinstance(target, dict) else {}
    for name, value in patch.items():
        if value is None:
            result.pop(name, None)
        else:
            result[name] = apply_patch(result.get(name), value)
    return result


def changes(before: Document, after: Document) -> dict[Path, Any]:
    """Return every field that differs with its value after; NOTHING where it is gone.

    Objects are compared field by field; a list is one value, as in a merge patch.
    """
    return dict(_changes(before, after, ()))


def _changes(before: Document, after: Document, path: Path) -> Iterator[tuple[Path, Any]]:
    for name in [*before, *(one for one in after if one not in before)]:
        was, now = before.get(name, NOTHING), after.get(name, NOTHING)
        if isinstance(was, dict) and isinstance(now, dict):
            yield from _changes(was, now, (*path, name))
        elif was is NOTHING or now is NOTHING or not _same(was, now):
            yield (*path, name), now


def _same(one: object, other: object) -> bool:
    """Compare as JSON does: true is not 1."""
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(_same, one, other))
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(_same(one[key], other[key]) for key in one)
    return one == other and isinstance(one, bool) == isinstance(other, bool)


def value_at(document: Document, path: Path) -> Any:
    """Return the value of a field; NOTHING where it is not there."""
    value: Any = document
    for name in path:
        if not isinstance(value, dict) or name not in value:
            return NOTHING
        value = value[name]
    return value


@dataclass(frozen=True, slots=True)
class Merged:
    """Two changes brought together; `conflicts` are the fields that both changed differently.

    Where there are conflicts the document holds the other person's value of them.
    """

    document: Document
    conflicts: tuple[Path, ...]


def merge(base: Document, mine: Document, theirs: Document) -> Merged:
    """Bring my changes of `base` into `theirs`, field by field."""
    other = changes(base, theirs)
    conflicts: list[Path] = []
    result = theirs
    for path, value in changes(base, mine).items():
        clash = [one for one in other if one[: len(path)] == path or path[: len(one)] == one]
        if clash and not _same(value_at(theirs, path), value):
            conflicts.append(path)
        else:
            result = _with(result, path, value)
    return Merged(result, tuple(conflicts))


def _with(document: Document, path: Path, value: object) -> Document:
    """Return the document with one field set, or without it."""
    name, *more = path
    result = dict(document)
    if more:
        inner = result.get(name)
        result[name] = _with(inner if isinstance(inner, dict) else {}, tuple(more), value)
    elif value is NOTHING:
        result.pop(name, None)
    else:
        result[name] = value
    return result
