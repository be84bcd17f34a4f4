"""The record of a night: every fact in order under a chain of digests, as JSON or as CSV."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any, Final

from server.core.night.record_chain import in_order, make_record
from server.service.csv_table import harmless
from server.service.ports import Ports
from server.service.records import StoredEvent
from server.service.seal import seal
from server.service.troubles import Unknown

HEADING: Final = (
    "order", "time_utc", "move", "vehicle", "what", "case", "row", "details", "by", "role",
    "device", "number", "id",
)  # fmt: skip


def of_show(ports: Ports, show: str) -> dict[str, Any]:
    """Return the record of a show; `python3 server verify` checks it."""
    stored = _stored(ports, show)
    arrivals = {one.id: (one.seq, one.at) for one in stored}
    return seal(ports, make_record(show, (json.loads(one.document) for one in stored), arrivals))


def as_csv(ports: Ports, show: str) -> str:
    """Return the facts of a show in order, one a line, for people and spreadsheets."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(HEADING)
    events = (json.loads(one.document) for one in _stored(ports, show))
    for order, event in enumerate(in_order(events), start=1):
        writer.writerow(_line(order, event))
    return out.getvalue()


def _stored(ports: Ports, show: str) -> list[StoredEvent]:
    if ports.shows.show(show) is None:
        raise Unknown("There is no such show.")
    return ports.log.all(show)


def _line(order: int, event: Mapping[str, Any]) -> list[object]:
    body = event["body"]
    rest = {
        key: value
        for key, value in body.items()
        if key not in {"kind", "code", "row", "signature", "signers"} and value is not None
    }
    said = "; ".join(f"{key}: {json.dumps(value, ensure_ascii=False).strip(chr(34))}"
                     for key, value in rest.items())  # fmt: skip
    try:
        when = datetime.fromtimestamp(event["at"] / 1000, UTC).isoformat(timespec="seconds")
    except (OverflowError, ValueError, OSError):
        when = str(event["at"])  # a phone's clock may say anything
    row = body.get("row")
    words = (event["move"], event["vehicle"] or "", body["kind"], body.get("code") or "")
    return [
        order,
        when,
        *map(harmless, words),
        row if isinstance(row, int) else "",
        harmless(said),
        harmless(event["by"]["name"]),
        event["by"]["role"],
        event["device"],
        event["n"],
        event["id"],
    ]
