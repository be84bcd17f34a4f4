"""Before and after every request: cross-site requests refused, headers that browsers obey added."""

from __future__ import annotations

import re
from typing import Final
from urllib.parse import urlsplit

from flask import Response, abort, current_app, g, request

from server.api.context import bearer, ports
from server.api.roles import ACCESS
from server.service.troubles import NotAllowed, TooLarge, Unknown, WrongMedia

SAFE: Final = frozenset({"GET", "HEAD", "OPTIONS"})
HEADER: Final = "X-Rowcall"
MOST_NUMBER: Final = 2**31 - 1
CONTROL: Final = re.compile("[\x00-\x1f\x7f]")
# 'wasm-unsafe-eval' lets the label scanner's own module run, and nothing else.
POLICY: Final = "; ".join(  # noqa: FLY002  (one rule a line)
    [
        "default-src 'self'",
        "script-src 'self' 'wasm-unsafe-eval'",
        "style-src 'self'",
        "img-src 'self' data: blob:",
        "media-src 'self' blob: mediastream:",
        "worker-src 'self'",
        "connect-src 'self'",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    ]
)
HEADERS: Final = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(self), microphone=(), geolocation=(), payment=(), usb=()",
}
YEAR_S: Final = 31_536_000
# What others made and sent here: shown inside our pages only, and opened alone it does nothing.
SENT_IN: Final = frozenset({"pictures.photo", "case_photos.photo", "case_photos.on_show"})
SENT_IN_POLICY: Final = "default-src 'none'; base-uri 'none'; frame-ancestors 'none'; sandbox"
CSV_BYTES: Final = 40_000_000  # 100,000 lines of 400 bytes
ZIP_BYTES: Final = 500_000_000  # everything of a shop; more goes by the command
LISTS: Final = (
    "text/csv", "text/tab-separated-values", "text/plain", "application/octet-stream",
    "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
)  # fmt: skip
# A phone may give a photo no type, or a wrong one: what it is, its first bytes say.
PHOTOS: Final = (
    "image/jpeg", "image/png", "image/webp", "image/heic", "image/heif", "image/avif",
    "application/octet-stream",
)  # fmt: skip
NO_PHOTO: Final = "Expected a photo: JPEG, PNG, WebP, HEIC or AVIF."
# What says little, and all that is asked before anyone is known: nothing large is read.
LITTLE_BYTES: Final = 100_000
LITTLE: Final = frozenset({"crew.heartbeat", "crew.sign_out_device", "enter.sign_out"}) | {
    endpoint for endpoint, least in ACCESS.items() if least == "anyone"
}
# What a body may be, by the last part of the endpoint; everything else is JSON.
OTHER_BODIES: Final = {
    "pictures.add_photo": PHOTOS,
    "pictures.read_labels": PHOTOS,
    "case_photos.add": PHOTOS,
    "upkeep.read_test_page": PHOTOS,
    "fleet.import_cases": ("text/csv",),
    "case_lists.propose_list": LISTS,
    "fleet.import_vehicles": ("text/csv",),
    "everything.bring": ("application/zip",),
}


def possible_address() -> None:
    """Refuse a request without a host, and an address that can name nothing here.

    Names with control characters and numbers beyond any of ours are not even looked for: not every
    database can be asked for them.
    """
    if "HTTP_HOST" not in request.environ and request.environ.get("SERVER_PROTOCOL") == "HTTP/1.1":
        abort(400)  # RFC 9112, 3.2
    for value in (request.view_args or {}).values():
        if isinstance(value, int) and value > MOST_NUMBER:
            raise Unknown("There is no such thing here.")
        if isinstance(value, str) and CONTROL.search(value):
            raise Unknown("There is no such thing here.")


def same_site_only() -> None:
    """Refuse a change that a page of another site could have caused.

    A form or a link of another site can set neither our header nor a JSON content type; browsers
    also say themselves where a request comes from.
    """
    if request.method in SAFE or request.endpoint is None:
        return
    if bearer():
        return  # no browser sends a token by itself, and with one no cookie counts
    if request.headers.get(HEADER) != "1":
        raise NotAllowed(f"Expected the header {HEADER}: 1.")
    if request.headers.get("Sec-Fetch-Site", "same-origin") not in {"same-origin", "none"}:
        raise NotAllowed("This came from another site.")
    origin = request.headers.get("Origin")
    if origin and origin != "null" and urlsplit(origin).netloc != request.host:
        raise NotAllowed("This came from another site.")
    if origin == "null":
        raise NotAllowed("This came from a page without an address.")


def right_body() -> None:
    """Refuse a body of a wrong kind, or over the limit of its kind, before anything reads it."""
    if request.method in SAFE or request.endpoint is None:
        return
    wanted = OTHER_BODIES.get(request.endpoint, ("application/json",))
    if request.method == "PATCH":
        wanted = ("application/merge-patch+json", *wanted)
    if request.content_length and request.mimetype not in wanted:
        if wanted == PHOTOS:
            raise WrongMedia(NO_PHOTO)
        raise WrongMedia(f"Expected a body of type {' or '.join(wanted)}.")
    picture = wanted == PHOTOS
    limits = ports().limits
    limit = limits.photo_bytes if picture else current_app.config["BODY_LIMIT"]
    if "text/csv" in wanted:
        limit = CSV_BYTES
    if "application/zip" in wanted:
        limit = ZIP_BYTES
    if request.endpoint in LITTLE:
        limit = LITTLE_BYTES
    if (request.content_length or 0) > limit:
        most = f"{limit / 1e6:g} MB" if limit >= 10**6 else f"{limit // 1000} kB"
        raise TooLarge(f"At most {most} are taken here.")
    request.max_content_length = limit


def add_headers(response: Response) -> Response:
    """Add what browsers are to obey; API answers are never kept by caches."""
    if request.endpoint in SENT_IN:
        response.headers["Content-Security-Policy"] = f"{SENT_IN_POLICY}; object-src 'none'"
    version = g.get("version")
    if version is not None and response.status_code < 300:
        response.set_etag(version)
        response.make_conditional(request)
    if "total" in g and response.status_code == 200:
        response.headers["X-Total-Count"] = str(g.total)
        if "next_page" in g:
            response.headers["Link"] = g.next_page
    for name, value in HEADERS.items():
        response.headers.setdefault(name, value)
    if request.is_secure:
        response.headers["Strict-Transport-Security"] = f"max-age={YEAR_S}; includeSubDomains"
    if request.path.startswith("/api/"):
        response.headers.setdefault("Cache-Control", "no-store")
    return response
