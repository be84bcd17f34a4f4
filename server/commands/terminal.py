"""What a terminal shows beside plain words."""

from __future__ import annotations

import io


def qr(text: str) -> str:
    """Return a QR code in half blocks; a full one, never the micro kind that phones do not read."""
    import segno

    out = io.StringIO()
    segno.make_qr(text, error="l").terminal(out, compact=True, border=2)
    return out.getvalue()
