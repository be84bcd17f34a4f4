"""One document changed by several people: changes of different fields meet, none is lost.

A change names the version that it saw and the fields that it changes. Where somebody changed the
same field since, nothing is kept and both values are told (Clash); everything else is merged.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Final, TypeVar

from server.core.base.merge_patch import (
    NOTHING,
    Document,
    Path,
    apply_patch,
    changes,
    merge,
    value_at,
)
from server.service.document_records import DocumentKind, Expected, Stamp, Version
from server.service.ports import Ports
from server.service.troubles import Conflict, Stale, Trouble, Unknown

T = TypeVar("T")
TRIES: Final = 8  # two people who keep at the same moment meet once or twice
PRESENT_MS: Final = 45_000  # a page that is open says so every 15 s


@dataclass(frozen=True, slots=True)
class Shape:
    """One document as clients see it: plain JSON in, plain JSON out.

    `past` turns a stored version into it, `whole` checks it and fills in what may be left out,
    `keep` stores it in the place of a version (Stale where that is no longer the last).
    """

    kind: DocumentKind
    id: str
    now: Callable[[], Document]
    past: Callable[[Any], Document]
    whole: Callable[[Document], Document]
    keep: Callable[[Document, int], None]


@dataclass(frozen=True, slots=True)
class Clash:
    """A field that two people changed: what it was, what each made of it, who and when."""

    field: str
    before: Any
    yours: Any
    theirs: Any
    stamp: Stamp | None


@dataclass
class ChangedMeanwhile(Trouble):
    """Somebody changed the same fields since; `version` is the one that is kept now."""

    version: int = 0
    clashes: tuple[Clash, ...] = ()


@dataclass
class NoVersion(Trouble):
    """A change that does not say which version it saw."""


def change(ports: Ports, shape: Shape, patch: Document, seen: int | None) -> int:
    """Keep the fields that a patch changes (RFC 7396); return the version that holds them.

    `seen`: the version that the patch was made from; None: whichever is there.
    """
    return _merged(ports, shape, seen, lambda base: apply_patch(base, patch))


def replace(ports: Ports, shape: Shape, document: Document, seen: int | None) -> int:
    """Keep a whole document in the place of the version that was seen, and of no later one."""
    number = ports.versions.number(shape.kind, shape.id)
    if seen is not None and seen != number:
        base = _base(ports, shape, seen, number)
        found = () if base is None else merge(base, document, shape.now()).conflicts
        raise _clash(ports, shape, (base, document, shape.now()), found, seen)
    return _merged(ports, shape, number, lambda _: document)


def remove(ports: Ports, shape: Shape, seen: int | None, do: Callable[[int | None], None]) -> None:
    """Delete a document as it was seen: what somebody changed since is not deleted unread."""
    shape.now()  # Unknown where there is none
    number = ports.versions.number(shape.kind, shape.id)
    if seen not in {None, number}:
        base = _base(ports, shape, seen or 0, number)
        now = shape.now()
        paths = () if base is None else tuple(changes(base, now))
        raise _clash(ports, shape, (base, base or {}, now), paths, seen or 1)
    try:
        do(seen)
    except Stale as stale:
        raise ChangedMeanwhile(
            "Somebody changed this just now. Nothing was deleted: look again.",
            ports.versions.number(shape.kind, shape.id),
        ) from stale


def together(ports: Ports, kind: DocumentKind, do: Callable[[Expected], T]) -> T:
    """Change many documents of a kind in one; again where somebody changed one meanwhile.

    `do` reads them, and keeps them in the place of the versions that it is given: else what another
    kept between would be lost with a word to nobody.
    """
    for _ in range(TRIES):
        numbers = ports.versions.numbers(kind)  # first: what is read later is not older
        fleet = ports.fleet
        there = (
            [one.case.code for one in fleet.cases()]
            if kind == "case"
            else [one.vehicle.id for one in fleet.vehicles()]
        )
        try:
            return do({**dict.fromkeys(there, 1), **numbers})
        except Stale:
            continue
    raise Conflict("Too many people change these at once. Nothing was kept: try again.")


def undo(ports: Ports, shape: Shape, version: int) -> int:
    """Take back what one version changed, and nothing that came after it."""
    before = ports.versions.get(shape.kind, shape.id, version - 1)
    if before is None or ports.versions.get(shape.kind, shape.id, version) is None:
        raise Unknown(f"There is no change {version} to take back.")
    return _merged(ports, shape, version, lambda _: shape.past(before.document))


def _merged(
    ports: Ports, shape: Shape, seen: int | None, mine_of: Callable[[Document], Document]
) -> int:
    for _ in range(TRIES):
        number = ports.versions.number(shape.kind, shape.id)
        theirs = shape.now()
        base = theirs if seen in {None, number} else _base(ports, shape, seen or 0, number)
        if base is None:
            raise ChangedMeanwhile(
                "The version that this change names is not known here: look again.", number
            )
        mine = shape.whole(mine_of(base))
        merged = merge(base, mine, theirs)
        if merged.conflicts:
            raise _clash(ports, shape, (base, mine, theirs), merged.conflicts, seen or number)
        if not changes(theirs, merged.document):
            return number
        try:
            shape.keep(shape.whole(merged.document), number)
        except Stale:
            continue
        return ports.versions.number(shape.kind, shape.id)
    raise Conflict("Too many people change this at once. Nothing was kept: try again.")


def _base(ports: Ports, shape: Shape, seen: int, number: int) -> Document | None:
    found = ports.versions.get(shape.kind, shape.id, seen) if 0 < seen <= number else None
    return None if found is None else shape.past(found.document)


def _clash(
    ports: Ports,
    shape: Shape,
    documents: tuple[Document | None, Document, Document],
    paths: tuple[Path, ...],
    seen: int,
) -> ChangedMeanwhile:
    base, mine, theirs = documents
    later = ports.versions.since(shape.kind, shape.id, seen)
    clashes = tuple(
        Clash(
            ".".join(path),
            _plain(value_at(base or {}, path)),
            _plain(value_at(mine, path)),
            _plain(value_at(theirs, path)),
            _who(shape, later, path),
        )
        for path in paths
    )
    named = ", ".join(one.field for one in clashes[:5])
    detail = (
        f"Somebody changed the same since you looked: {named}. Nothing was kept."
        if named
        else "Somebody changed this since you looked. Nothing was kept: look again."
    )
    number = later[-1].number if later else ports.versions.number(shape.kind, shape.id)
    return ChangedMeanwhile(detail, number, clashes)


def _plain(value: object) -> Any:
    return None if value is NOTHING else value


def _who(shape: Shape, later: list[Version], path: Path) -> Stamp | None:
    """Return who changed a field last among these versions."""
    told = [(one.stamp, value_at(shape.past(one.document), path)) for one in later]
    found = [now[0] for was, now in pairwise(told) if was[1] != now[1]]
    return found[-1] if found else None


@dataclass(frozen=True, slots=True)
class Step:
    """One version in the history: who kept it, when, and which fields differ from the last."""

    number: int
    stamp: Stamp
    fields: tuple[tuple[str, Any, Any], ...]
    undoable: bool


def history(ports: Ports, shape: Shape, most: int) -> list[Step]:
    """Return the latest changes of a document, the newest first."""
    kept = ports.versions.since(shape.kind, shape.id, 1)[-most - 1 :]
    steps = []
    last: Document | None = None
    for one in kept:
        now = shape.past(one.document)
        found = () if last is None else _fields(last, now)
        if last is not None and not found and shape.kind == "shop":
            continue  # kits and settings are one record with two addresses
        steps.append(Step(one.number, one.stamp, found, last is not None and bool(found)))
        last = now
    return steps[::-1][:most]


def _fields(before: Document, after: Document) -> tuple[tuple[str, Any, Any], ...]:
    return tuple(
        (".".join(path), _plain(value_at(before, path)), _plain(now))
        for path, now in changes(before, after).items()
    )


def present(ports: Ports, shape: Shape, session: str, *, leaves: bool) -> list[Stamp]:
    """Note that a session has a document open, or leaves it; return who else has it open."""
    now = ports.now()
    if leaves:
        ports.versions.gone(session, shape.kind, shape.id)
        return []
    ports.versions.here(shape.kind, shape.id, session, Stamp(now, ports.by))
    return ports.versions.others(shape.kind, shape.id, session, now - PRESENT_MS)
