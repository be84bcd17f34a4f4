"""Passkeys of owners (W3C Web Authentication, Level 2): added with the password, then without.

Checked by py_webauthn: signature, challenge, origin, name of the site, that a person was there and
was verified (finger, face or PIN), and that the count of uses grows where it is counted at all.
"""

from __future__ import annotations

import ipaddress
import json
from dataclasses import dataclass
from typing import Any, Final
from urllib.parse import urlsplit

import webauthn
from webauthn.helpers import base64url_to_bytes, bytes_to_base64url
from webauthn.helpers.exceptions import WebAuthnException
from webauthn.helpers.structs import (
    AuthenticatorSelectionCriteria,
    PublicKeyCredentialDescriptor,
    ResidentKeyRequirement,
    UserVerificationRequirement,
)

from server.service import account, enter
from server.service.guessing import network, slowed
from server.service.ports import Ports
from server.service.records import Owner, Passkey, Session
from server.service.troubles import Busy, Conflict, Unknown, Wrong, WrongGuess

ASKED_MS: Final = 5 * 60_000
MOST: Final = 20  # passkeys of one owner
# What the library and the parsers below it raise for input that no browser sends.
BROKEN: Final = (
    WebAuthnException, ValueError, KeyError, TypeError, AttributeError, RecursionError,
)  # fmt: skip
REFUSED: Final = "This passkey opens nothing here."


@dataclass(frozen=True, slots=True)
class Site:
    """Where passkeys are good for: the name they are bound to, and the page they are asked on."""

    name: str
    origin: str


def site(address: str, asked: str) -> Site:
    """Return the site of a request to `asked`, the root of its URL.

    Where the settings say how this server is reached (`address`), nothing else counts. Conflict
    where it is reached by a number: passkeys are bound to names (WebAuthn, 5.1.2).
    """
    parts = urlsplit(asked)
    name = parts.hostname or ""
    if _is_number(name):
        raise Conflict("Passkeys need a server with a name; here the password is the way in.")
    told = urlsplit(address)
    fixed = told.hostname and not _is_number(told.hostname)
    if fixed and f"{told.scheme}://{told.netloc}" != f"{parts.scheme}://{parts.netloc}":
        raise Conflict(f"Passkeys work at {told.scheme}://{told.netloc} only.")
    return Site(name, f"{parts.scheme}://{parts.netloc}")


def _is_number(name: str) -> bool:
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return False
    return True


def _ask(ports: Ports, challenge: bytes, owner: str | None) -> None:
    now = ports.now()
    if not ports.accounts.ask(bytes_to_base64url(challenge), owner, now + ASKED_MS, now):
        raise Busy("Too many are signing in just now.", 60)


def begin_adding(
    ports: Ports, session: Session, password: str, where: Site, address: str
) -> dict[str, Any]:
    """Return what the browser needs to make a passkey; asks for the password first."""
    owner = account.confirm(ports, session, password, address)
    there = ports.accounts.passkeys(owner.id)
    if len(there) >= MOST:
        raise Conflict(f"An account holds {MOST} passkeys at most: remove one first.")
    options = webauthn.generate_registration_options(
        rp_id=where.name,
        rp_name="Rowcall",
        user_id=owner.id.encode(),
        user_name=owner.name,
        timeout=ASKED_MS,
        authenticator_selection=AuthenticatorSelectionCriteria(
            resident_key=ResidentKeyRequirement.REQUIRED,
            user_verification=UserVerificationRequirement.REQUIRED,
        ),
        exclude_credentials=[
            PublicKeyCredentialDescriptor(base64url_to_bytes(one.id)) for one in there
        ],
    )
    _ask(ports, options.challenge, owner.id)
    told: dict[str, Any] = json.loads(webauthn.options_to_json(options))
    return told


def add(
    ports: Ports, session: Session, sent: tuple[str, dict[str, Any]], where: Site, address: str
) -> str:
    """Keep a passkey under its name, `sent`: (name, credential). Returns the new cookie."""
    owner = account.owner_of(ports, session)
    name, credential = sent
    challenge = _challenge_of(credential)
    if not ports.accounts.answered(challenge, owner.id, ports.now()):
        raise Conflict("This took too long, or was done already: begin anew.")
    try:
        made = webauthn.verify_registration_response(
            credential=credential,
            expected_challenge=base64url_to_bytes(challenge),
            expected_rp_id=where.name,
            expected_origin=where.origin,
            require_user_verification=True,
        )
    except BROKEN as error:
        raise Wrong(
            "This passkey cannot be taken.", (("credential", "expected one made for this site"),)
        ) from error
    kept = Passkey(
        id=bytes_to_base64url(made.credential_id),
        owner=owner.id,
        name=name,
        public_key=made.credential_public_key,
        uses=made.sign_count,
        created_at=ports.now(),
    )
    if not ports.accounts.add_passkey(kept):
        raise Conflict("This passkey belongs to an account already.")
    account.note(ports, session, address, "added passkey", name)
    return account.renewed(ports, session)


def demand(ports: Ports, session: Session, password: str, address: str, *, wanted: bool) -> str:
    """Let passkeys alone open the office, or the password too. Returns the new cookie.

    Conflict while an owner has none. Whoever else is in has to come in anew, by passkey.
    """
    account.confirm(ports, session, password, address)
    owners = ports.accounts.owners()
    without = [one.name for one in owners if not ports.accounts.passkeys(one.id)]
    if wanted and without:
        raise Conflict(f"First every owner needs a passkey; without one: {', '.join(without)}.")
    ports.accounts.demand_passkeys(demand=wanted)
    if wanted:
        for one in owners:
            ports.accounts.end_sessions(one.id, ports.now(), keep=session.id)
    said = "passkeys alone open" if wanted else "the password opens again"
    account.note(ports, session, address, "changed the way in", said)
    return account.renewed(ports, session)


def remove(ports: Ports, session: Session, password: str, passkey: str, address: str) -> str:
    """Remove a passkey of this account. Returns the new cookie."""
    owner = account.confirm(ports, session, password, address)
    last = [one.id for one in ports.accounts.passkeys(owner.id)] == [passkey]
    if last and ports.accounts.passkeys_demanded():
        raise Conflict("Your last passkey stays while passkeys alone open the office.")
    if not ports.accounts.remove_passkey(owner.id, passkey):
        raise Unknown("There is no such passkey of yours.")
    account.note(ports, session, address, "removed passkey")
    return account.renewed(ports, session)


def begin_signing_in(ports: Ports, where: Site) -> dict[str, Any]:
    """Return what the browser needs to ask for any passkey of this site; names no account."""
    options = webauthn.generate_authentication_options(
        rp_id=where.name,
        timeout=ASKED_MS,
        user_verification=UserVerificationRequirement.REQUIRED,
    )
    _ask(ports, options.challenge, None)
    told: dict[str, Any] = json.loads(webauthn.options_to_json(options))
    return told


def sign_in(
    ports: Ports, credential: dict[str, Any], where: Site, before: Session | None, address: str
) -> tuple[Session, str]:
    """Let an owner in by a passkey; whatever is wrong has the same answer."""
    with slowed(ports, f"passkey {network(address)}"):
        found = _shown(ports, credential, where)
        if found is None:
            ports.audit.add(at=ports.now(), who=None, address=address, action="wrong passkey")
            raise WrongGuess(REFUSED, "credential")
    owner, passkey = found
    session, cookie = enter.open_office(ports, owner, before)
    account.note(ports, session, address, "signed in by passkey", passkey.name)
    return session, cookie


def _shown(ports: Ports, credential: dict[str, Any], where: Site) -> tuple[Owner, Passkey] | None:
    """Return whose passkey it is, its use counted; None when anything about it is wrong."""
    challenge = _challenge_of(credential)
    if not ports.accounts.answered(challenge, None, ports.now()):
        return None
    known = ports.accounts.passkey(str(credential.get("id", "")))
    owner = None if known is None else ports.accounts.owner(known.owner)
    if known is None or owner is None:
        return None
    try:
        shown = webauthn.verify_authentication_response(
            credential=credential,
            expected_challenge=base64url_to_bytes(challenge),
            expected_rp_id=where.name,
            expected_origin=where.origin,
            credential_public_key=known.public_key,
            credential_current_sign_count=known.uses,
            require_user_verification=True,
        )
    except BROKEN:
        return None
    counted = ports.accounts.use_passkey(known.id, shown.new_sign_count, ports.now())
    return (owner, known) if counted else None


def _challenge_of(credential: dict[str, Any]) -> str:
    """Return the challenge that a credential says it signed; empty where it says none."""
    try:
        raw = base64url_to_bytes(credential["response"]["clientDataJSON"])
        told = json.loads(raw)["challenge"]
    except BROKEN:
        return ""
    return told[:100] if isinstance(told, str) else ""
