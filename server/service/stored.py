"""Stored facts as events, with their order of arrival."""

from __future__ import annotations

import json
from collections.abc import Iterable

from server.core.night.events import Arrival, Event, read_event
from server.service.records import StoredEvent


def read_stored(stored: Iterable[StoredEvent]) -> list[Event]:
    """Return the events of a log."""
    return [
        read_event(json.loads(one.document), arrived=Arrival(one.seq, one.at)) for one in stored
    ]
