"""Signed web hooks: what happens in the shop, for other programs."""

from __future__ import annotations

from typing import Any, Final, Literal

from apiflask import APIBlueprint
from pydantic import BaseModel, Field, RootModel

from server.api.context import address, ports, someone
from server.api.models import Nothing, Strict
from server.service import account, hooks

bp: Final = APIBlueprint("hooks", __name__, url_prefix="/api", tag="office")


class NewHook(Strict):
    """A receiver of what happens; the owner's password is asked again.

    `kinds`: facts of the crew, plans issued, shows closed. `private`: it may stand in a network of
    the shop's own; else such addresses are refused.
    """

    password: str = Field(max_length=256)
    url: str = Field(min_length=8, max_length=500)
    kinds: list[Literal["facts", "issued", "closed"]] = Field(
        default=["facts", "issued", "closed"], min_length=1, max_length=3
    )
    private: bool = False


class HookLine(BaseModel):
    """A hook and how its deliveries go: `tries` in vain, the next at `next_at`, and why."""

    id: str
    url: str
    kinds: list[str]
    private: bool
    made_by: str
    created_at: int
    tries: int
    next_at: int
    sent_at: int | None
    trouble: str


class HooksAnswer(RootModel[list[HookLine]]):
    """Every hook, the oldest first."""


class HookAnswer(BaseModel):
    """A new hook; its secret (base64 behind `whsec_`) is shown this once."""

    id: str
    secret: str


class RemoveHook(Strict):
    """A hook to remove; the owner's password is asked again."""

    password: str = Field(max_length=256)


@bp.get("/hooks")
@bp.output(HooksAnswer)
@bp.doc(summary="Web hooks", responses=[401, 403])
def all_hooks() -> HooksAnswer:
    """Return every hook: its address, what it is told, and how deliveries go."""
    return HooksAnswer([HookLine(**one) for one in hooks.all_hooks(ports())])


@bp.post("/hooks")
@bp.input(NewHook, arg_name="body")
@bp.output(HookAnswer, status_code=201)
@bp.doc(summary="Add a web hook", responses=[401, 403, 409])
def add_hook(body: NewHook) -> dict[str, Any]:
    """Add a hook: messages are signed by the Standard Webhooks scheme and sent until taken."""
    account.confirm(ports(), someone(), body.password, address())
    made, secret = hooks.create(ports(), body.url.strip(), body.kinds, private=body.private)
    account.note(ports(), someone(), address(), "made hook", body.url[:120])
    return {"id": made, "secret": secret}


@bp.post("/hooks/<hook>/test")
@bp.output(Nothing)
@bp.doc(summary="Send a test message", responses=[401, 403, 404])
def test_hook(hook: str) -> dict[str, Any]:
    """Have a test message sent within seconds, and what waits for a later try as well."""
    hooks.ask_test(ports(), hook)
    return {}


@bp.post("/hooks/<hook>/remove")
@bp.input(RemoveHook, arg_name="body")
@bp.output(Nothing)
@bp.doc(summary="Remove a web hook", responses=[401, 403, 404])
def remove_hook(hook: str, body: RemoveHook) -> dict[str, Any]:
    """Remove a hook: nothing more is sent to it."""
    account.confirm(ports(), someone(), body.password, address())
    hooks.remove(ports(), hook)
    account.note(ports(), someone(), address(), "removed hook", hook)
    return {}
