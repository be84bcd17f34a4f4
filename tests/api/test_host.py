"""The page /host, and answers in gzip."""

from __future__ import annotations

import gzip
import json

import pytest

from server.api.host import way
from tests.support.app import Bench


@pytest.mark.parametrize(
    ("address", "own_authority", "expected"),
    [
        ("http://localhost:8080", False, "alone"),
        ("http://127.0.0.1:8080", False, "alone"),
        ("http://[::1]:8080", False, "alone"),
        ("https://192.168.4.7:8080", True, "lan"),
        ("https://10.0.0.2", False, "lan"),
        ("https://stage.local:8080", True, "lan"),
        ("https://rowcall.example", False, "name"),
    ],
)
def test_the_way_in_use_is_told_from_the_address(
    address: str, own_authority: bool, expected: str
) -> None:
    assert way(address, own_authority=own_authority) == expected


def test_the_page_names_the_three_ways_in_the_browsers_language(quick: Bench) -> None:
    client = quick.app.test_client()
    english = client.get("/host").get_data(as_text=True)
    assert "This machine alone" in english
    assert "--lan" in english
    spanish = client.get("/host", headers={"Accept-Language": "es-MX,es;q=0.9"})
    assert "Solo este ordenador" in spanish.get_data(as_text=True)
    odd = client.get("/host", headers={"Host": '"><script>'})
    assert "<script>" not in odd.get_data(as_text=True)


def test_large_answers_are_packed_for_who_takes_it_and_small_ones_never(quick: Bench) -> None:
    client = quick.app.test_client()
    plain = client.get("/api/openapi.json")
    packed = client.get("/api/openapi.json", headers={"Accept-Encoding": "br;q=1, gzip;q=0.5"})
    assert "Content-Encoding" not in plain.headers
    assert packed.headers["Content-Encoding"] == "gzip"
    assert "Accept-Encoding" in packed.headers["Vary"]
    assert len(packed.data) < len(plain.data) / 4
    assert int(packed.headers["Content-Length"]) == len(packed.data)
    assert json.loads(gzip.decompress(packed.data)) == plain.json
    refused = client.get("/api/openapi.json", headers={"Accept-Encoding": "gzip;q=0"})
    assert "Content-Encoding" not in refused.headers
    small = client.get("/healthz", headers={"Accept-Encoding": "gzip"})
    assert "Content-Encoding" not in small.headers
