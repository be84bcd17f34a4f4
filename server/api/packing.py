"""Answers in gzip for whoever takes it: a bundle of 94 kB becomes 9 kB.

Files of the client are packed when they are built (client.py). The entity tag names the version of
a document, for If-Match too, so it stays the same whatever the coding.
"""

from __future__ import annotations

import gzip
from typing import Final

from flask import Flask, Response, request

LEAST: Final = 1_000  # bytes: below that one packet carries it anyway
LEVEL: Final = 5  # a megabyte in about 20 ms; higher levels save a few per cent more
KINDS: Final = frozenset({
    "application/json", "application/problem+json", "application/merge-patch+json",
    "application/schema+json", "image/svg+xml", "text/calendar", "text/csv", "text/html",
})  # fmt: skip


def register(app: Flask) -> None:
    """Pack what answers send as one piece; streams and files are passed on as they are."""
    app.after_request(pack)


def pack(response: Response) -> Response:
    """Return the answer packed where that helps and the client takes it."""
    if response.mimetype not in KINDS or response.is_streamed or response.direct_passthrough:
        return response
    response.vary.add("Accept-Encoding")
    if (
        response.status_code != 200
        or request.method == "HEAD"
        or "Content-Encoding" in response.headers
        or not request.accept_encodings["gzip"]
    ):
        return response
    body = response.get_data()
    if len(body) >= LEAST:
        response.set_data(gzip.compress(body, LEVEL, mtime=0))
        response.headers["Content-Encoding"] = "gzip"
    return response
