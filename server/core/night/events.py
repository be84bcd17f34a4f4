"""Events: facts of the night with who, where and when; never edited, only answered by another.

Their order is that of `order.py`: causes first, then clocks.
`read_event` takes one from JSON and refuses a broken one by place and expectation. A kind that this
version does not know is kept (`Unknown`) and counts for nothing, so that newer phones lose nothing.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import MISSING, dataclass, fields
from typing import Any, Final, get_args

from server.core.crew.bundle import MOVES, Move
from server.core.night import event_kinds as kinds
from server.core.night import event_kinds_way as way
from server.core.night.event_kinds import CHIEF_KINDS, Body, Known, Person, Signer, Undone, Unknown
from server.trouble import BadInput

KINDS: Final[dict[str, type[Any]]] = {kind.kind: kind for kind in get_args(Known)}
HLC: Final = re.compile(r"[0-9]{13}-[0-9]{5}-[!-~]{1,64}")
MOST: Final = 2**53 - 1  # whole numbers that a phone holds exactly
TEXT_MOST: Final = 4_000
DRAWING_MOST: Final = 60_000
LIST_MOST: Final = 1_000


class BadEvent(BadInput):
    """An event that can never be taken."""


@dataclass(frozen=True, slots=True)
class Arrival:
    """Running number and server's time (ms) at which a fact was stored."""

    seq: int
    at: int


@dataclass(frozen=True, slots=True)
class Event:
    """One fact; `n` is the device's own running number, `at` its clock, `hlc` its hybrid clock.

    `after`: the last fact that the phone had read from the server. `arrived`: when the server
    stored it; None where that is not known.
    """

    id: str
    show: str
    move: Move
    vehicle: str | None
    device: str
    n: int
    by: Person
    at: int
    hlc: str
    revision: int
    body: Body
    after: str | None = None
    arrived: Arrival | None = None

    @property
    def order(self) -> tuple[str, str]:
        """Return the order by clocks."""
        return self.hlc, self.id


def unique(events: Iterable[Event]) -> list[Event]:
    """Return each event once, by its clock.

    Of two with one id (a broken phone) the lower one stays, so that all replicas keep the same.
    """
    once: dict[str, Event] = {}
    for event in events:
        held = once.get(event.id)
        if held is None or f"{event.hlc}{event.n}" < f"{held.hlc}{held.n}":
            once[event.id] = event
    return sorted(once.values(), key=lambda event: event.order)


def standing(events: list[Event]) -> list[Event]:
    """Return what counts: without voided events and those that the speaker may not say."""
    devices = {event.id: event.device for event in events}
    voided = {
        event.body.event
        for event in events
        if isinstance(event.body, Undone) and devices.get(event.body.event) == event.device
    }
    return [
        event
        for event in events
        if isinstance(event.body, Undone)
        or not (event.id in voided or (event.by.role == "loader" and _for_chief(event)))
    ]


def _for_chief(event: Event) -> bool:
    return event.body.kind in CHIEF_KINDS


def overridable(gate: str) -> bool:
    """Return whether the chief may override a gate by name; row gates also as `straps:3`."""
    return gate in {"slack", "straps", "mass"} or gate.startswith(("checks:", "plate:"))


def read_event(document: object, place: str = "event", arrived: Arrival | None = None) -> Event:
    """Return an event from JSON; BadEvent names what is wrong and where."""
    if not isinstance(document, dict):
        raise BadEvent(place, "an object", document)
    take = _Taker(document, place)
    if document.get("v") != 1:
        raise BadEvent(f"{place}.v", "1", document.get("v"))
    by = _Taker(take.inner("by"), f"{place}.by")
    hlc = take.text("hlc")
    if not HLC.fullmatch(hlc):
        raise BadEvent(f"{place}.hlc", "13 digits, 5 digits and a device, by hyphens", hlc)
    n = take.whole("n")
    if n < 1:
        raise BadEvent(f"{place}.n", "a running number from 1", n)
    return Event(
        id=take.text("id"),
        show=take.text("show"),
        move=take.one_of("move", MOVES),
        vehicle=take.maybe("vehicle", take.text),
        device=take.text("device"),
        n=n,
        by=Person(by.text("id"), by.text("name"), by.one_of("role", get_args(kinds.Role))),
        at=take.whole("at"),
        hlc=hlc,
        revision=take.whole("revision"),
        body=_body(take.inner("body"), f"{place}.body"),
        after=take.maybe("after", take.text),
        arrived=arrived,
    )


def _body(document: Mapping[str, Any], place: str) -> Body:
    take = _Taker(document, place)
    name = take.text("kind")
    kind = KINDS.get(name)
    if kind is None:
        return Unknown(name)
    values: dict[str, Any] = {}
    for field in fields(kind):
        absent = document.get(field.name) is None
        if absent and field.default is not MISSING:
            continue
        values[field.name] = take.typed(field.name, str(field.type))
    body: Body = kind(**values)
    return body


class _Taker:
    """Takes typed values out of one JSON object and names the place of what is wrong."""

    def __init__(self, document: Mapping[str, Any], place: str) -> None:
        self.document = document
        self.place = place

    def typed(self, key: str, annotation: str) -> Any:
        """Return a value by the annotation of its field, as `int | None` or `Read`."""
        name = annotation.removesuffix(" | None")
        simple: dict[str, Callable[[str], Any]] = {
            "str": self.text,
            "int": self.whole,
            "bool": self.truth,
            "tuple[str, ...]": self.texts,
            "tuple[int, ...]": self.wholes,
            "tuple[Signer, ...]": self.signers,
        }
        if name in simple:
            return simple[name](key)
        return self.one_of(key, get_args(getattr(kinds, name, None) or getattr(way, name)))

    def text(self, key: str) -> str:
        value = self.document.get(key)
        most = DRAWING_MOST if key == "signature" else TEXT_MOST
        if not isinstance(value, str) or len(value) > most:
            raise self.bad(key, f"text of at most {most} characters", value)
        return value

    def whole(self, key: str) -> int:
        value = self.document.get(key)
        if type(value) is not int or not 0 <= value <= MOST:
            raise self.bad(key, "a whole number of zero or more", value)
        return value

    def truth(self, key: str) -> bool:
        value = self.document.get(key)
        if type(value) is not bool:
            raise self.bad(key, "true or false", value)
        return value

    def texts(self, key: str) -> tuple[str, ...]:
        value = self.document.get(key)
        if not isinstance(value, list) or len(value) > LIST_MOST:
            raise self.bad(key, f"a list of at most {LIST_MOST} texts", value)
        for index, one in enumerate(value):
            if not isinstance(one, str) or len(one) > TEXT_MOST:
                raise self.bad(f"{key}.{index}", f"text of at most {TEXT_MOST} characters", one)
        return tuple(value)

    def wholes(self, key: str) -> tuple[int, ...]:
        value = self.document.get(key)
        if not isinstance(value, list) or len(value) > LIST_MOST:
            raise self.bad(key, f"a list of at most {LIST_MOST} whole numbers", value)
        items = _Taker({str(index): one for index, one in enumerate(value)}, f"{self.place}.{key}")
        return tuple(items.whole(str(index)) for index in range(len(value)))

    def signers(self, key: str) -> tuple[Signer, ...]:
        value = self.document.get(key)
        if not isinstance(value, list) or len(value) > 10:
            raise self.bad(key, "a list of at most 10 signers", value)
        taken = []
        for index, one in enumerate(value):
            place = f"{self.place}.{key}.{index}"
            if not isinstance(one, dict):
                raise BadEvent(place, "an object", one)
            take = _Taker(one, place)
            role = take.one_of("role", get_args(kinds.SignerRole))
            taken.append(Signer(role, take.text("name"), take.text("signature")))
        return tuple(taken)

    def inner(self, key: str) -> Mapping[str, Any]:
        value = self.document.get(key)
        if not isinstance(value, dict):
            raise self.bad(key, "an object", value)
        return value

    def maybe(self, key: str, take: Callable[[str], str]) -> str | None:
        return None if self.document.get(key) is None else take(key)

    def one_of(self, key: str, words: tuple[Any, ...]) -> Any:
        value = self.document.get(key)
        if value not in words or not isinstance(value, str):
            raise self.bad(key, f"one of {', '.join(words)}", value)
        return value

    def bad(self, key: str, expected: str, got: object) -> BadEvent:
        said = got if got is None or isinstance(got, bool | int | float) else repr(got)[:60]
        return BadEvent(f"{self.place}.{key}", expected, said)
