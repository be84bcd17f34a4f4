"""What the office sends and gets about an owner's own account."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, Field

from server.api.models import Name, Strict

MOST_BYTES = 20_000


class Password(Strict):
    """The owner's password, asked again."""

    password: str = Field(max_length=256)


class ChangePassword(Password):
    """The password that is, and the one to be."""

    fresh: str = Field(max_length=256)


class EndSessions(Password):
    """Which session is to end; none named: all but this one."""

    session: str | None = Field(None, max_length=32)


class RemoveOwner(Password):
    """Which owner's account is to go."""

    owner: str = Field(max_length=32)


class RemovePasskey(Password):
    """Which passkey is to go."""

    passkey: str = Field(max_length=1400)


class DemandPasskeys(Password):
    """Whether passkeys alone are to open the office."""

    demand: bool


class CredentialResponse(Strict):
    """What an authenticator answered, every part in base64url (WebAuthn, 5.8.1 and 5.10)."""

    clientDataJSON: str = Field(max_length=4_000)  # noqa: N815  (the standard's names)
    attestationObject: str | None = Field(None, max_length=MOST_BYTES)  # noqa: N815
    authenticatorData: str | None = Field(None, max_length=4_000)  # noqa: N815
    signature: str | None = Field(None, max_length=4_000)
    userHandle: str | None = Field(None, max_length=200)  # noqa: N815


class Credential(Strict):
    """A public key credential as the browser returns it."""

    id: str = Field(min_length=1, max_length=1400, pattern=r"^[A-Za-z0-9_-]+$")
    rawId: str = Field(min_length=1, max_length=1400, pattern=r"^[A-Za-z0-9_-]+$")  # noqa: N815
    type: str = Field(pattern=r"^public-key$")
    response: CredentialResponse


class AddPasskey(Strict):
    """A new passkey and what the owner calls it."""

    name: Name
    credential: Credential


class UsePasskey(Strict):
    """A passkey that signed the challenge."""

    credential: Credential


class OptionsAnswer(BaseModel):
    """What the browser hands to the authenticator (WebAuthn, 5.4 or 5.5, in JSON)."""

    options: dict[str, Any]


class OwnSession(BaseModel):
    """One browser or phone in which this owner is in; `here`: the one that asks."""

    id: str
    show: str | None
    created_at: int
    used_at: int
    ends_at: int
    here: bool


class OwnPasskey(BaseModel):
    """One passkey of this owner."""

    id: str
    name: str
    created_at: int
    used_at: int | None


class OtherOwner(BaseModel):
    """An owner's account."""

    id: str
    name: str
    own: bool


class AccountAnswer(BaseModel):
    """An owner's account; `passkeys_here` empty, or why none can be added at this address."""

    name: str
    sessions: list[OwnSession]
    passkeys: list[OwnPasskey]
    passkeys_here: str
    passkeys_demanded: bool
    owners: list[OtherOwner]
