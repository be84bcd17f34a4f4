"""Record: a chain of digests over events in the order of facts; says where one was changed.

Each digest is SHA-256 (FIPS 180-4) over the digest before it, a line feed and the event as
canonical JSON (RFC 8785 for what events hold: text, whole numbers, true, false, null). The head is
what a chief signs; `covers` says which events the phone knew when it was signed: device → its
highest running number, then the ranges [first, last] below it that were not known (single numbers
in records of earlier versions).
"""

from __future__ import annotations

import json
from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from typing import Any, Final

from server.core.night.running_numbers import gaps
from server.trouble import BadInput

MOST: Final = 2**53
FORMAT: Final = "rowcall-record-1"
Document = Mapping[str, Any]
Covers = Mapping[str, Sequence[Any]]


class BadRecord(BadInput):
    """A record that is no record, or a value in it that has no canonical form."""


def canonical(value: object) -> str:
    """Return the one JSON text of a value."""
    if isinstance(value, str):
        return _text(value)
    if value is None or isinstance(value, bool):
        return {None: "null", True: "true", False: "false"}[value]
    if isinstance(value, float) and value.is_integer():
        value = int(value)  # a phone writes 3.0 as 3
    if isinstance(value, int) and abs(value) < MOST:
        return str(value)
    if isinstance(value, list | tuple):
        return f"[{','.join(map(canonical, value))}]"
    if isinstance(value, dict):
        return f"{{{','.join(f'{_text(key)}:{canonical(value[key])}' for key in _keys(value))}}}"
    raise BadRecord("record", "text, whole numbers, true, false or null", value)


def _keys(value: dict[str, Any]) -> list[str]:
    """RFC 8785, 3.2.3: keys in the order of their UTF-16 code units."""
    if all(map(str.isascii, value)):
        return sorted(value)
    return sorted(value, key=lambda key: key.encode("utf-16-be", "surrogatepass"))


def _text(value: str) -> str:
    if not value.isascii():
        try:
            value.encode("utf-8")
        except UnicodeEncodeError:
            raise BadRecord("record", "well-formed text", "half a character") from None
    return json.dumps(value, ensure_ascii=False)


def start(show: str) -> str:
    """Return the digest before the first event."""
    return _digest(f"{FORMAT}\n{show}")


def link(digest: str, event: Document) -> str:
    """Return the digest after one more event."""
    return _digest(f"{digest}\n{canonical(event)}")


def _digest(text: str) -> str:
    return sha256(text.encode()).hexdigest()


def in_order(events: Iterable[Document]) -> list[Document]:
    """Return events in the order of facts."""
    return sorted(events, key=lambda event: (event["hlc"], event["id"]))


def chain(show: str, events: Iterable[Document]) -> list[str]:
    """Return the digest after each event, in the order of facts."""
    digest, digests = start(show), []
    for event in in_order(events):
        digest = link(digest, event)
        digests.append(digest)
    return digests


def head(show: str, events: Iterable[Document]) -> str:
    """Return the last digest of the chain."""
    return [start(show), *chain(show, events)][-1]


def covers(events: Iterable[Document]) -> dict[str, list[Any]]:
    """Return which events are in a set, in few numbers."""
    numbers: dict[str, set[int]] = {}
    for event in events:
        numbers.setdefault(event["device"], set()).add(event["n"])
    return {
        device: [max(held), *(list(one) for one in gaps(held, max(held)))]
        for device, held in sorted(numbers.items())
    }


def covered(events: Iterable[Document], known: Covers) -> list[Document]:
    """Return the events that a phone knew."""
    held = {device: _known(numbers) for device, numbers in known.items()}
    return [event for event in events if _holds(held.get(event["device"]), event["n"])]


def _known(numbers: object) -> tuple[int, list[tuple[int, int]]]:
    """Return the highest number and the ranges below it that are missing, in order."""
    if not isinstance(numbers, list | tuple) or not numbers or type(numbers[0]) is not int:
        return 0, []
    ranges = []
    for one in numbers[1:]:
        first, last = one if isinstance(one, list | tuple) and len(one) == 2 else (one, one)
        if type(first) is int and type(last) is int:
            ranges.append((first, last))
    return numbers[0], sorted(ranges)


def _holds(known: tuple[int, list[tuple[int, int]]] | None, n: int) -> bool:
    if known is None or n > known[0]:
        return False
    at = bisect_right(known[1], (n, MOST)) - 1
    return at < 0 or known[1][at][1] < n


def make_record(
    show: str, events: Iterable[Document], arrivals: Mapping[str, tuple[int, int]] | None = None
) -> dict[str, Any]:
    """Return a record that can be checked later, as JSON.

    `arrivals`: of each id its running number on the show and the server's time (ms).
    """
    ordered = in_order(events)
    record: dict[str, Any] = {
        "format": FORMAT,
        "show": show,
        "events": ordered,
        "digests": chain(show, ordered),
    }
    if arrivals is not None:
        record["arrivals"] = [[*arrivals[event["id"]]] for event in ordered]
    return record


@dataclass(frozen=True, slots=True)
class Finding:
    """What is wrong in a record: at which event (from 1), its id, and what."""

    number: int
    event: str
    what: str


def verify(record: object) -> tuple[Finding, ...]:
    """Return where a record was changed; nothing: it is as it was signed.

    Every event is held to its digest, every order to (hlc, id), and every release and sign-off that
    says what it covers to the digest that was signed. BadRecord: this is no record.
    """
    if not isinstance(record, Mapping) or record.get("format") != FORMAT:
        raise BadRecord("record", f"an object of format {FORMAT}", type(record).__name__)
    show, events, digests = (record.get(key) for key in ("show", "events", "digests"))
    if not isinstance(show, str) or not isinstance(events, list) or not isinstance(digests, list):
        raise BadRecord("record", "show, events and digests", sorted(map(str, record)))
    for number, event in enumerate(events, 1):
        if not isinstance(event, Mapping) or not _readable(event):
            raise BadRecord(f"record.events.{number}", "an event", type(event).__name__)
    return (*_broken_links(show, events, digests), *_broken_seals(show, events))


def _readable(event: Document) -> bool:
    texts = (event.get("id"), event.get("hlc"), event.get("device"))
    return all(isinstance(one, str) for one in texts) and isinstance(event.get("n"), int)


def _broken_links(
    show: str, events: Sequence[Document], digests: Sequence[Any]
) -> Iterable[Finding]:
    digest, before = start(show), ("", "")
    for number, event in enumerate(events, 1):
        if (event["hlc"], event["id"]) < before:
            yield Finding(number, event["id"], "out of order")
        before = (event["hlc"], event["id"])
        if number > len(digests):
            yield Finding(number, event["id"], "added: it has no digest")
            return
        if link(digest, event) != digests[number - 1]:
            yield Finding(number, event["id"], "changed, or something before it was taken out")
        digest = str(digests[number - 1])
    if len(digests) > len(events):
        yield Finding(len(events) + 1, "", f"{len(digests) - len(events)} events taken off the end")


def _broken_seals(show: str, events: Sequence[Document]) -> Iterable[Finding]:
    for number, event in enumerate(events, 1):
        body = event.get("body")
        if not isinstance(body, Mapping) or not isinstance(body.get("covers"), Mapping):
            continue
        known = covered((one for one in events if one["id"] != event["id"]), body["covers"])
        if head(show, known) != body.get("digest"):
            yield Finding(number, event["id"], "what it signed is not what stands here")
