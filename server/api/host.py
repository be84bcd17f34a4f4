"""The page /host: which of the three ways phones reach this server by, and how to change it."""

from __future__ import annotations

import ipaddress
from html import escape
from typing import Final
from urllib.parse import urlsplit

from flask import Blueprint, Response, request

from server.api.context import ports

bp: Final = Blueprint("host", __name__)

PAGE: Final = """<!doctype html>
<html lang="{lang}"><head><meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{title}</title></head>
<body>
<h1>{title}</h1>
<p><strong>{now}</strong></p>
<p><code>{address}</code></p>
<h2>{alone_title}</h2><p>{alone}</p>
<h2>{lan_title}</h2><p>{lan}</p>
<h2>{name_title}</h2><p>{name}</p>
</body></html>
"""
WORDS: Final = {
    "en": {
        "title": "Let the crew’s phones in",
        "now_alone": "Now: this machine alone. No phone can open this address.",
        "now_lan": "Now: phones on this network, each after it has trusted this server: /trust",
        "now_name": "Now: a public name. Any phone with a connection can open this address.",
        "alone_title": "This machine alone",
        "alone": "What a start without options gives. Good for planning in the office.",
        "lan_title": "Phones on this network",
        "lan": "Start it with --lan. Each phone joins the same Wi-Fi, opens /trust once and"
        " installs the certificate; the fingerprint must be the one that the owner reads out.",
        "name_title": "A public name",
        "name": "One rented machine with a name, and a proxy that fetches certificates by itself:"
        " see README, “Let the crew’s phones in”. Phones need no preparation.",
    },
    "es": {
        "title": "Dar acceso a los teléfonos del equipo",
        "now_alone": "Ahora: solo este ordenador. Ningún teléfono puede abrir esta dirección.",
        "now_lan": "Ahora: teléfonos de esta red, cada uno tras confiar en este servidor: /trust",
        "now_name": "Ahora: un nombre público. Cualquier teléfono con conexión puede abrirla.",
        "alone_title": "Solo este ordenador",
        "alone": "Así arranca sin opciones. Basta para planificar en la oficina.",
        "lan_title": "Teléfonos de esta red",
        "lan": "Arránquelo con --lan. Cada teléfono se conecta a la misma Wi-Fi, abre /trust una"
        " vez e instala el certificado; la huella debe ser la que lee el dueño del servidor.",
        "name_title": "Un nombre público",
        "name": "Una máquina alquilada con nombre y un proxy que obtiene los certificados: vea"
        " README, “Let the crew’s phones in”. Los teléfonos no necesitan preparación.",
    },
}


@bp.get("/host")
def page() -> Response:
    """Return the three ways, the one in use first, in the language of the browser."""
    lang = request.accept_languages.best_match(list(WORDS)) or "en"
    words = WORDS[lang]
    address = ports().limits.address or request.host_url.rstrip("/")
    now = words[f"now_{way(address, own_authority=bool(ports().limits.trust_page))}"]
    text = PAGE.format(lang=lang, now=now, address=escape(address), **words)
    return Response(text, mimetype="text/html")


def way(address: str, *, own_authority: bool) -> str:
    """Return alone, lan or name for an address as phones would open it."""
    host = urlsplit(address).hostname or ""
    try:
        number = ipaddress.ip_address(host)
    except ValueError:
        if host == "localhost" or host.endswith(".localhost"):
            return "alone"
        return "lan" if own_authority else "name"
    if number.is_loopback:
        return "alone"
    return "lan" if own_authority or number.is_private else "name"
