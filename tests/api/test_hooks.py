"""Web hooks: signed, in order, tried again until taken, never to addresses inside unasked."""

from __future__ import annotations

import base64
import hashlib
import hmac
import json
import threading
from http.server import BaseHTTPRequestHandler, HTTPServer
from typing import Any

import pytest

from server.posting import Refused, address_of, post
from server.service import hooks
from tests.support.app import PASSWORD, Bench, on

SECOND_MS = 1_000


class Receiver:
    """Keeps what it is sent; answers as it is told."""

    def __init__(self) -> None:
        self.status = 204
        self.got: list[tuple[dict[str, str], bytes]] = []

    def __call__(self, _url: str, headers: dict[str, str], body: bytes, _private: bool) -> int:
        if self.status == 0:
            raise OSError("no answer")
        self.got.append((headers, body))
        return self.status

    def told(self) -> list[dict[str, Any]]:
        return [json.loads(body) for _, body in self.got]


def made(bench: Bench, **more: Any) -> dict[str, Any]:
    body = {"password": PASSWORD, "url": "https://receiver.example/rowcall", **more}
    answer = bench.owner().post("/api/hooks", body)
    assert answer.status_code == 201, answer.text
    hook: dict[str, Any] = answer.get_json()
    return hook


def deliver(bench: Bench, receiver: Receiver) -> int:
    with bench.app.app_context():
        return hooks.deliver(bench.ports, receiver)


def test_a_message_is_signed_by_the_standard_webhooks_scheme() -> None:
    # The specification's own example (Standard Webhooks 1.0, from memory) could not be looked up
    # here: the scheme is computed once more, by hand, with a key of known bytes.
    key = bytes(range(24))
    secret = "whsec_" + base64.b64encode(key).decode()
    body = b'{"test":1}'
    by_hand = hmac.new(key, b"msg_1.1700000000." + body, hashlib.sha256).digest()
    want = "v1," + base64.b64encode(by_hand).decode()
    assert hooks.signature(secret, "msg_1", 1_700_000_000, body) == want


def test_what_happens_is_told_once_in_order_and_what_was_before_is_not(quick: Bench) -> None:
    early = quick.phone("early")
    early.tell(early.fact(on("RG-001-Q")))
    hook = made(quick)
    receiver = Receiver()
    assert deliver(quick, receiver) == 0
    phone = quick.phone("late")
    phone.tell(phone.fact(on("RG-003-M")))
    assert deliver(quick, receiver) == 1 and deliver(quick, receiver) == 0
    (headers, body), (told,) = receiver.got[0], receiver.told()
    assert told["type"] == "show.facts" and told["data"]["show"]["id"] == "demo"
    assert [one["fact"]["body"]["code"] for one in told["data"]["facts"]] == ["RG-003-M"]
    at = int(headers["webhook-timestamp"])
    want = hooks.signature(hook["secret"], headers["webhook-id"], at, body)
    assert headers["webhook-signature"] == want
    listed = quick.owner("Mia").read("/api/hooks")
    assert listed[0]["tries"] == 0 and listed[0]["sent_at"] and "secret" not in listed[0]


def test_a_dead_receiver_is_tried_again_later_with_the_same_id(quick: Bench) -> None:
    made(quick)
    phone = quick.phone("one")
    phone.tell(phone.fact(on("RG-001-Q")))
    receiver = Receiver()
    receiver.status = 500
    assert deliver(quick, receiver) == 0
    assert deliver(quick, receiver) == 0 and len(receiver.got) == 1  # not before the pause is over
    phone.tell(phone.fact(on("RG-003-M")))
    quick.clock.at += 6 * SECOND_MS
    assert deliver(quick, receiver) == 0 and len(receiver.got) == 2
    listed = quick.owner("Mia").read("/api/hooks")[0]
    assert listed["tries"] == 2 and "500" in listed["trouble"] and listed["next_at"]
    quick.clock.at += 301 * SECOND_MS
    receiver.status = 200
    assert deliver(quick, receiver) == 1  # both facts, in one message
    codes = [one["fact"]["body"]["code"] for one in receiver.told()[-1]["data"]["facts"]]
    assert codes == ["RG-001-Q", "RG-003-M"]
    receiver.status = 410
    phone.tell(phone.fact(on("RG-002-F")))
    deliver(quick, receiver)
    quick.clock.at += 10**9
    count = len(receiver.got)
    deliver(quick, receiver)
    assert len(receiver.got) == count  # gone: nothing more is sent


def test_a_test_message_is_sent_and_a_removed_hook_is_silent(quick: Bench) -> None:
    hook = made(quick, kinds=["closed"])
    owner = quick.owner("Mia")
    quick.clock.at += SECOND_MS
    assert owner.post(f"/api/hooks/{hook['id']}/test").status_code == 200
    receiver = Receiver()
    assert deliver(quick, receiver) == 1 and receiver.told()[0]["type"] == "test"
    assert owner.post("/api/hooks/none/test").status_code == 404
    gone = owner.post(f"/api/hooks/{hook['id']}/remove", {"password": PASSWORD})
    assert gone.status_code == 200 and owner.read("/api/hooks") == []
    wrong = owner.post("/api/hooks", {"password": "wrong", "url": "https://receiver.example/"})
    assert wrong.status_code in {401, 403, 422}
    for url in (
        "ftp://receiver.example/",
        "https://",
        "https://a:b@receiver.example/",
        "https://x:0/",
    ):
        refused = owner.post("/api/hooks", {"password": PASSWORD, "url": url})
        assert refused.status_code == 422, url


@pytest.mark.parametrize(
    "host", ["127.0.0.1", "10.0.0.7", "192.168.1.4", "169.254.169.254", "::1", "::ffff:10.0.0.7"]
)
def test_an_address_inside_is_refused_unless_it_is_allowed(host: str) -> None:
    # IANA special-purpose address registries (RFC 6890), as the standard library has them
    with pytest.raises(Refused, match="inside a network"):
        address_of(host, 443, allow_private=False)
    assert address_of(host, 443, allow_private=True) == host
    with pytest.raises(Refused):
        address_of("0.0.0.0", 443, allow_private=True)


def test_a_receiver_gets_the_body_and_a_redirect_is_not_followed() -> None:
    seen: list[tuple[str, bytes]] = []

    class Answer(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            seen.append((self.path, self.rfile.read(int(self.headers["content-length"]))))
            self.send_response(302 if self.path == "/moved" else 204)
            self.send_header("location", "/elsewhere")
            self.end_headers()

        def log_message(self, *_: Any) -> None:
            """Say nothing."""

    server = HTTPServer(("127.0.0.1", 0), Answer)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    base = f"http://127.0.0.1:{server.server_port}"
    try:
        assert post(f"{base}/hook?x=1", {"webhook-id": "1"}, b"{}", True) == 204
        assert post(f"{base}/moved", {}, b"{}", True) == 302
        with pytest.raises(Refused):
            post(f"{base}/hook", {}, b"{}", False)
    finally:
        server.shutdown()
        server.server_close()
    assert seen == [("/hook?x=1", b"{}"), ("/moved", b"{}")]
