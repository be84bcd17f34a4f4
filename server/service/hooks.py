"""Signed web hooks: what happens in the shop, sent to addresses that an owner names.

Signing follows the Standard Webhooks specification 1.0 (from memory): the headers webhook-id,
webhook-timestamp and webhook-signature, whose value is `v1,` and the base64 of HMAC-SHA256 over
`id.timestamp.body` with the key behind `whsec_`. Nothing is queued beside the log: for every hook
it is noted how far each show was sent, so that a delivery survives a restart, comes again until a
receiver has taken it, and a receiver that is away never holds up a phone. A message that comes
again has the same id.
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import json
import secrets as random
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, Final, Literal
from urllib.parse import urlsplit

from server.service import secrets
from server.service.ports import Ports
from server.service.troubles import Conflict, Unknown, Wrong

HOOKS: Final = "hooks"  # the settings by which hooks and their state are kept
STATE: Final = "hook_state"
MOST: Final = 20
AT_ONCE: Final = 100  # facts in one message
SECOND_MS: Final = 1_000
# Pauses between tries, as the Standard Webhooks specification suggests (from memory): seconds.
PAUSES: Final = (5, 300, 1_800, 7_200, 18_000, 36_000, 50_400, 72_000, 86_400)
GONE: Final = 410  # the receiver wants no more
Kind = Literal["facts", "issued", "closed"]


@dataclass(frozen=True, slots=True)
class Message:
    """One message on its way: the same id and body at every try."""

    id: str
    body: bytes
    state: dict[str, Any]  # of its hook once the message was taken


# Sends a body with headers to an address; returns the status of the answer, or raises OSError.
Send = Callable[[str, dict[str, str], bytes, bool], int]


def all_hooks(ports: Ports) -> list[dict[str, Any]]:
    """Return every hook with how its deliveries go; without its secret."""
    state = ports.settings.get(STATE) or {}
    found = []
    for hook in ports.settings.get(HOOKS) or []:
        now = state.get(hook["id"], {})
        shown = {key: value for key, value in hook.items() if key not in {"secret", "from", "test"}}
        found.append(
            {**shown, "tries": now.get("tries", 0), "next_at": now.get("next_at", 0),
             "sent_at": now.get("sent_at"), "trouble": now.get("trouble", "")}
        )  # fmt: skip
    return found


def create(ports: Ports, url: str, kinds: list[Kind], *, private: bool) -> tuple[str, str]:
    """Add a hook for what happens from now on; return its id and secret."""
    check_url(url)
    hooks = ports.settings.get(HOOKS) or []
    if len(hooks) >= MOST:
        raise Conflict(f"There are {MOST} hooks already: remove one that is not used.")
    secret = "whsec_" + base64.b64encode(random.token_bytes(32)).decode()
    made = secrets.short_id()
    hook = {
        "id": made, "url": url, "kinds": sorted(set(kinds)), "private": private,
        "secret": secret, "made_by": ports.by, "created_at": ports.now(), "from": _here(ports),
    }  # fmt: skip
    ports.settings.put(HOOKS, [*hooks, hook])
    return made, secret


def remove(ports: Ports, hook: str) -> None:
    """Remove a hook; Unknown where there is none."""
    hooks = ports.settings.get(HOOKS) or []
    kept = [one for one in hooks if one["id"] != hook]
    if len(kept) == len(hooks):
        raise Unknown("There is no such hook.")
    ports.settings.put(HOOKS, kept)


def ask_test(ports: Ports, hook: str) -> None:
    """Have a test message sent soon, and what waits for a later try as well."""
    hooks = ports.settings.get(HOOKS) or []
    if not any(one["id"] == hook for one in hooks):
        raise Unknown("There is no such hook.")
    now = ports.now()
    ports.settings.put(HOOKS, [{**one, "test": now} if one["id"] == hook else one for one in hooks])


def check_url(url: str) -> None:
    """Refuse what is no address of a receiver."""
    parts = urlsplit(url)
    try:
        port_ok = parts.port is None or parts.port > 0
    except ValueError:
        port_ok = False
    if parts.scheme not in {"https", "http"} or not parts.hostname or not port_ok:
        raise Wrong("No hook can be sent there.", (("url", "expected https://host/path"),))
    if parts.username or parts.password or parts.fragment:
        raise Wrong("No hook can be sent there.", (("url", "expected no password and no # in it"),))


def signature(secret: str, message: str, timestamp: int, body: bytes) -> str:
    """Return the value of webhook-signature."""
    key = base64.b64decode(secret.removeprefix("whsec_"))
    signed = f"{message}.{timestamp}.".encode() + body
    return "v1," + base64.b64encode(hmac.new(key, signed, hashlib.sha256).digest()).decode()


def _here(ports: Ports) -> dict[str, Any]:
    """Return how far every show is: what was before a hook is not sent to it."""
    return {
        show.id: {"cursor": ports.log.cursor(show.id), "issued": show.issued,
                  "closed": show.closed_at is not None}
        for show in ports.shows.all()
    }  # fmt: skip


def deliver(ports: Ports, send: Send) -> int:
    """Send what is due to every hook; return how many messages were taken."""
    hooks = ports.settings.get(HOOKS) or []
    return sum(_deliver(ports, hook, send) for hook in hooks)


def _deliver(ports: Ports, hook: dict[str, Any], send: Send) -> int:
    taken = 0
    state = _state(ports, hook)
    if hook.get("test", 0) > state.get("tested", 0):
        state = {**state, "next_at": 0, "ended": False}
    while not state.get("ended") and state.get("next_at", 0) <= ports.now():
        message = next(_messages(ports, hook, state), None)
        if message is None:
            break
        status, trouble = _try(hook, message, send, ports.now() // SECOND_MS)
        if 200 <= status < 300:
            taken += 1
            state = {**message.state, "tries": 0, "next_at": 0, "trouble": "",
                     "sent_at": ports.now()}  # fmt: skip
        else:
            tries = state.get("tries", 0) + 1
            pause = PAUSES[min(tries, len(PAUSES)) - 1] * SECOND_MS
            state = {**state, "tries": tries, "next_at": ports.now() + pause, "trouble": trouble,
                     "tested": hook.get("test", 0), "ended": status == GONE}  # fmt: skip
        _put_state(ports, hook["id"], state)
    return taken


def _try(hook: dict[str, Any], message: Message, send: Send, now: int) -> tuple[int, str]:
    """Send one message; return the status, 0 for none, and what was wrong in words."""
    headers = {
        "content-type": "application/json",
        "webhook-id": message.id,
        "webhook-timestamp": str(now),
        "webhook-signature": signature(hook["secret"], message.id, now, message.body),
    }
    try:
        status = send(hook["url"], headers, message.body, hook["private"])
    except (OSError, ValueError) as error:
        return 0, str(error)[:200] or type(error).__name__
    return status, f"the receiver answered {status}"


def _state(ports: Ports, hook: dict[str, Any]) -> dict[str, Any]:
    state: dict[str, Any] = (ports.settings.get(STATE) or {}).get(hook["id"]) or {}
    return {"shows": hook["from"], **state}


def _put_state(ports: Ports, hook: str, state: dict[str, Any]) -> None:
    known = {one["id"] for one in ports.settings.get(HOOKS) or []}
    every = {key: one for key, one in (ports.settings.get(STATE) or {}).items() if key in known}
    if hook in known:
        every[hook] = state
    ports.settings.put(STATE, every)


def _messages(ports: Ports, hook: dict[str, Any], state: dict[str, Any]) -> Iterator[Message]:
    """Yield what is not sent yet, the oldest of each show first."""
    tested = hook.get("test", 0)
    if tested > state.get("tested", 0):
        body = _body("test", tested, {"hook": hook["id"]})
        yield Message(f"msg_{hook['id']}_test_{tested}", body, {**state, "tested": tested})
    kinds = set(hook["kinds"])
    for show in ports.shows.all():
        known = state["shows"].get(show.id) or {"cursor": 0, "issued": 0, "closed": False}

        def after(known: dict[str, Any] = known, show_id: str = show.id, **now: Any) -> Any:
            return {**state, "shows": {**state["shows"], show_id: {**known, **now}}}

        about = {"show": {"id": show.id, "name": show.name, "date": show.date}}
        name = f"msg_{hook['id']}_{show.id}"
        if "issued" in kinds and show.issued > known["issued"]:
            body = _body("show.issued", ports.now(), {**about, "revision": show.issued})
            yield Message(f"{name}_issued_{show.issued}", body, after(issued=show.issued))
        if "facts" in kinds and show.cursor > known["cursor"]:
            stored = ports.log.since(show.id, known["cursor"], AT_ONCE)
            if stored:
                last = stored[-1]
                facts = [{"seq": one.seq, "fact": json.loads(one.document)} for one in stored]
                body = _body("show.facts", last.at, {**about, "facts": facts})
                yield Message(f"{name}_{stored[0].seq}_{last.seq}", body, after(cursor=last.seq))
        if "closed" in kinds and show.closed_at is not None and not known["closed"]:
            body = _body("show.closed", show.closed_at, about)
            yield Message(f"{name}_closed", body, after(closed=True))


def _body(kind: str, at_ms: int, data: dict[str, Any]) -> bytes:
    said = {"type": kind, "timestamp": at_ms, "data": data}
    return json.dumps(said, ensure_ascii=False, separators=(",", ":")).encode()
