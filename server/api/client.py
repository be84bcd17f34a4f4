"""The built client: pages for people, files by their name, packed where the browser takes it."""

from __future__ import annotations

import mimetypes
import re
from pathlib import Path
from typing import Final

from flask import Blueprint, Response, abort, current_app, request, send_file
from werkzeug.security import safe_join

bp: Final = Blueprint("client", __name__)
EXTENSION: Final = "rowcall_client"

# Types that must not depend on what a machine's own table happens to hold.
TYPES: Final = {
    ".js": "text/javascript",
    ".css": "text/css",
    ".html": "text/html",
    ".wasm": "application/wasm",
    ".svg": "image/svg+xml",
    ".webmanifest": "application/manifest+json",
    ".json": "application/json",
    ".png": "image/png",
    ".woff2": "font/woff2",
}
PACKED: Final = (("br", ".br"), ("gzip", ".gz"))
# A name that holds a digest of its content never changes: `main-DVca1Q69.js`.
HASHED: Final = re.compile(r"-[A-Za-z0-9_-]{8,}\.[a-z0-9]+$")
VERIFY: Final = "verify.html"
YEAR: Final = "public, max-age=31536000, immutable"
NOT_BUILT: Final = "The phone client is not built: start the server with python3 server.\n"


def folder() -> Path:
    """Return where the built client lies."""
    found: Path = current_app.extensions[EXTENSION]
    return found


@bp.get("/")
def page() -> Response:
    """Return the crew's page."""
    return send("index.html")


@bp.get("/<path:name>")
def file(name: str) -> Response:
    """Return a file of the client, or the page whose path this is.

    A missing file is missing: a page in its place would arrive as a broken script.
    """
    if name.startswith("api/"):
        abort(404)
    if "." in name.rsplit("/", 1)[-1]:
        return send(name)
    return send("office.html" if name.split("/", 1)[0] == "office" else "index.html")


def _policy(path: str) -> str:
    """Return the policy that a page carries itself: digests of its own script and style."""
    found = re.search(r'Content-Security-Policy" content="([^"]+)"', Path(path).read_text("utf-8"))
    return found[1] if found else "default-src 'none'"


def send(name: str) -> Response:
    """Return one file, packed as the browser likes it best."""
    path = safe_join(str(folder()), name)
    if path is None or not Path(path).is_file():
        if name.endswith(".html") and not (folder() / "index.html").is_file():
            return Response(NOT_BUILT, 503, mimetype="text/plain")
        abort(404)
    ending = Path(name).suffix
    chosen, coding = path, ""
    for token, suffix in PACKED:
        if request.accept_encodings[token] and Path(path + suffix).is_file():
            chosen, coding = path + suffix, token
            break
    kind = TYPES.get(ending) or mimetypes.guess_type(name)[0] or "application/octet-stream"
    response = send_file(chosen, mimetype=kind, conditional=True, etag=True)
    if coding:
        response.headers["Content-Encoding"] = coding
    response.headers["Vary"] = "Accept-Encoding"
    if name == VERIFY:  # one file that is also kept and opened alone: its script is in it
        response.headers["Content-Security-Policy"] = f"{_policy(path)}; frame-ancestors 'none'"
    fixed = name.startswith("assets/") and HASHED.search(name)
    response.headers["Cache-Control"] = YEAR if fixed else "no-cache"
    return response
