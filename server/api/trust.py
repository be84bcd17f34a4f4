"""How a phone comes to trust this server's own authority: steps, and the authority to download."""

from __future__ import annotations

import base64
import hashlib
from pathlib import Path
from typing import Final

from flask import Blueprint, Response

from server.api.context import ports
from server.service.troubles import Unknown

bp: Final = Blueprint("trust", __name__)

PAGE: Final = """<!doctype html>
<html lang="en"><head><meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Trust this server</title></head>
<body>
<h1>Trust this server</h1>
<p>This Rowcall server speaks HTTPS with an authority of its own. Until your phone trusts it, the
browser warns, and camera and offline use may not work.</p>
<p><strong>Do this only if the person who runs the server stands next to you and reads out the
same fingerprint:</strong></p>
<p><code>%s</code></p>
<p><a href="/trust/authority.crt">Download the authority</a></p>
<h2>Android</h2>
<ol><li>Download the authority above.</li>
<li>Settings, search for “CA certificate”, install it from Downloads.</li>
<li>Open this server again.</li></ol>
<h2>iPhone and iPad</h2>
<ol><li>Download the authority above in Safari and allow the profile.</li>
<li>Settings, “Profile Downloaded”, Install.</li>
<li>Settings, General, About, Certificate Trust Settings: switch it on.</li>
<li>Open this server again.</li></ol>
<h2>Computer</h2>
<ol><li>Download the authority above.</li>
<li>Import it in the browser's certificate settings under Authorities, for websites.</li></ol>
<p>It can vouch for nothing outside this network. Remove it when the night is over.</p>
</body></html>
"""


def authority() -> bytes:
    """Return the authority's certificate; Unknown where the server has none of its own."""
    file = ports().limits.trust_page
    if not file or not Path(file).is_file():
        raise Unknown("This server has no authority of its own (it was started without --lan).")
    return Path(file).read_bytes()


def fingerprint(certificate: bytes) -> str:
    """Return the SHA-256 fingerprint of a PEM certificate in pairs, as devices show it."""
    body = b"".join(line for line in certificate.splitlines() if not line.startswith(b"-----"))
    digest = hashlib.sha256(base64.b64decode(body)).hexdigest().upper()
    return ":".join(digest[at : at + 2] for at in range(0, len(digest), 2))


@bp.get("/trust")
def page() -> Response:
    """Return the steps for each kind of device."""
    return Response(PAGE % fingerprint(authority()), mimetype="text/html")


@bp.get("/trust/authority.crt")
def download() -> Response:
    """Return the authority as phones install it."""
    response = Response(authority(), mimetype="application/x-x509-ca-cert")
    response.headers["Content-Disposition"] = 'attachment; filename="rowcall-authority.crt"'
    return response
