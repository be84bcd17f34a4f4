"""Coming in: the crew by join code, the chief also by PIN, the owner by password."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from server.service import keys, names, passwords, secrets
from server.service.guessing import FREE, guarded, network, paced, slowed
from server.service.join_life import join_ends_at
from server.service.ports import Ports
from server.service.records import Device, Owner, Role, Session, ShowRecord
from server.service.troubles import Conflict, NotAllowed, Wrong, WrongGuess

HOUR_MS: Final = 3_600_000
# A crew is in until its show is closed: a server's clock that is days ahead puts nobody out.
CREW_MS: Final = 14 * 24 * HOUR_MS
# Then a phone may still send what it holds, and nothing else.
CLOSED_GRACE_MS: Final = 24 * HOUR_MS
OWNER_MS: Final = 12 * HOUR_MS
INVITATION_MS: Final = 24 * HOUR_MS
# A show of 500 phones is none of ours; a code that leaked lets nobody fill the disk with phones.
MOST_PHONES: Final = 500
PHONES_OF_ADDRESS: Final = 200  # of one show, within a quarter of an hour: a crew behind one Wi-Fi
JOINS_OF_PHONE: Final = 30
OFFICE_IDLE_MS: Final = 2 * HOUR_MS  # the office opens everything: a laptop left alone shuts it


@dataclass(frozen=True, slots=True)
class JoinRequest:
    """What a phone says when it joins; `key` proves that it is the phone it says it is."""

    code: str
    name: str
    device: str
    pin: str = ""
    key: str = ""


@dataclass(frozen=True, slots=True)
class Joined:
    """Who is in now, the cookie's secret and the key that signs the phone's facts."""

    session: Session
    token: str
    device_key: str


def join(ports: Ports, asked: JoinRequest, before: Session | None, address: str) -> Joined:
    """Let a phone into the show of its code; with the right PIN as chief.

    Raises WrongGuess for a wrong code or PIN, Locked after too many, Conflict where the phone's id
    belongs to another phone of the show.
    """
    now = ports.now()
    name = names.clean(asked.name)
    with slowed(ports, f"join {network(address)}"):
        show = ports.shows.by_join_code(secrets.plain_join_code(asked.code))
        if show is None or show.closed_at is not None or join_ends_at(show) <= now:
            raise WrongGuess("This join code is not known, or its show is over.", "code")
    known = ports.people.device(show.id, asked.device)
    if known is not None and not _same_phone(ports, known, asked, before):
        raise Conflict("This phone's name is taken by another phone of the show: take a new one.")
    role = _role(ports, show, asked, before, (address, known))
    if role == "loader":
        phones = ports.people.devices(show.id)
        _not_the_chiefs(phones, asked.device, name)
        _room_for_one_more(ports, known, phones, (show.id, asked.device, address))
    same = known is not None and known.role == role
    key = known.key if known and same else keys.of_device(ports, show.id, asked.device, role)
    device = Device(show.id, asked.device, name, role, key, now, heard_at=now)
    ports.people.put_device(device)
    if before is not None:
        ports.people.end_session(before.id, now)  # a new role never keeps an old cookie
    account = before.owner if before is not None and role == "owner" else ""
    opened, token = _open(ports, role, name, (show.id, asked.device), account)
    ports.audit.add(at=now, who=opened, address=address, action="joined", show=show.id)
    return Joined(opened, token, key)


def _role(
    ports: Ports,
    show: ShowRecord,
    asked: JoinRequest,
    before: Session | None,
    place: tuple[str, Device | None],
) -> Role:
    """Return what this person is on the show; `place`: address, and the phone if it is known.

    A phone that was the chief's on this show before is counted alone: others' guesses at the PIN
    never keep its chief out.
    """
    address, known = place
    if before is not None and before.role == "owner":
        return "owner"
    if not asked.pin:
        # A server restored from an older backup knows neither the phone nor its session.
        if known is None and keys.role_of(ports, show.id, asked.device, asked.key) == "chief":
            return "chief"
        stays = before is not None and before.role == "chief" and before.show == show.id
        return "chief" if stays and before and before.device == asked.device else "loader"
    counted = [f"pin {network(address)}", f"pin {show.id}"]
    if known is not None and known.role != "loader":
        counted = [f"pin {show.id} {known.id}"]
    with guarded(ports, counted):
        if show.pin is None or not secrets.password_holds(show.pin, asked.pin):
            ports.audit.add(
                at=ports.now(), who=before, address=address, action="wrong PIN", show=show.id
            )
            raise WrongGuess("This is not the chief's PIN.", "pin")
    return "chief"


def _room_for_one_more(
    ports: Ports, known: Device | None, phones: Sequence[Device], place: tuple[str, str, str]
) -> None:
    """Refuse loaders' phones beyond what a show or an address can have; a chief always comes in.

    `place`: show, phone and address.
    """
    show, device, address = place
    if known is not None:
        words = "This phone has joined again and again"
        paced(ports, f"joins {show} {device}"[:100], JOINS_OF_PHONE, words)
        return
    if sum(one.out_at is None for one in phones) >= MOST_PHONES:
        raise Conflict(
            f"This show has {MOST_PHONES} phones: the chief signs out those that are not needed, "
            "or the owner makes a new join code."
        )
    words = (
        f"More than {PHONES_OF_ADDRESS} phones have joined through this network: use another "
        "connection, or let the chief join with the PIN"
    )
    key = f"new phones {show} {network(address)}"[:100]
    paced(ports, key, PHONES_OF_ADDRESS, words)


def _not_the_chiefs(phones: Sequence[Device], device: str, name: str) -> None:
    """Refuse a loader's name that people would read as that of a chief of the show."""
    for one in phones:
        if one.role != "loader" and one.id != device and names.alike(one.name, name):
            fault = f"{one.name} is here already as {one.role}: add a surname or an initial"
            raise Wrong("This name is taken on this show.", (("name", fault),))


def _same_phone(ports: Ports, known: Device, asked: JoinRequest, before: Session | None) -> bool:
    """Return whether the phone that asks is the known one: by its key or by its cookie."""
    if asked.key:
        derived = keys.role_of(ports, known.show, known.id, asked.key)
        return asked.key == known.key or derived is not None
    return before is not None and before.device == known.id and before.show in {known.show, None}


def _open(
    ports: Ports, role: Role, name: str, place: tuple[str | None, str], owner: str = ""
) -> tuple[Session, str]:
    """Open a session at a place, (show, phone); return it and the cookie's secret."""
    now, token = ports.now(), secrets.token()
    lasts = OWNER_MS if role == "owner" else CREW_MS
    session = Session(secrets.short_id(), role, name, *place, now, now, now + lasts, owner)
    ports.people.open_session(session, secrets.digest(token))
    return session, token


def open_office(ports: Ports, owner: Owner, before: Session | None) -> tuple[Session, str]:
    """Open the office for an owner who has shown who they are; the session before ends."""
    if before is not None:
        ports.people.end_session(before.id, ports.now())
    return _open(ports, "owner", owner.name, (None, ""), owner.id)


def invite_owner(ports: Ports) -> str:
    """Return the secret of a new set-up link; the links before it are dead."""
    token = secrets.token()
    ports.people.invite(secrets.digest(token), ports.now() + INVITATION_MS)
    return token


def set_up_owner(
    ports: Ports, token: str, person: tuple[str, str], before: Session | None, address: str
) -> tuple[Session, str]:
    """Make the account, or set its password anew, from a set-up link; the link dies.

    `person`: name and password. Whoever was in by that account before is out.
    """
    name, password = person
    digest, now = secrets.digest(token), ports.now()
    with slowed(ports, f"set-up {network(address)}"):
        if not ports.accounts.invited(digest, now):
            raise WrongGuess("This set-up link was used or is too old: ask for a new one.", "token")
        good_password(ports, name, password)
        owner = Owner(secrets.short_id(), name, secrets.hash_password(password))
        if not ports.people.take_invitation(digest, owner, now):
            raise WrongGuess("This set-up link was used or is too old: ask for a new one.", "token")
    owner = ports.people.owner(name) or owner
    ports.accounts.end_sessions(owner.id, now)
    session, cookie = open_office(ports, owner, before)
    ports.audit.add(at=ports.now(), who=session, address=address, action="set up owner")
    return session, cookie


def good_password(ports: Ports, name: str, password: str) -> None:
    """Refuse a new password that is too short or guessed early."""
    fault = passwords.fault(password, (name, ports.fleet.settings().name))
    if fault is not None:
        raise Wrong("This password is not good enough.", (("password", fault),))


def sign_in(
    ports: Ports, person: tuple[str, str], before: Session | None, address: str, known: str = ""
) -> tuple[Session, str]:
    """Let an owner in; where the shop demands passkeys, no password is even looked at.

    `person`: name and password. `known`: what the browser holds of an earlier sign-in.
    """
    name, password = person
    if ports.accounts.passkeys_demanded():
        words = "Passwords do not open this office, passkeys do"
        paced(ports, f"no passwords {network(address)}", FREE, words)
        ports.audit.add(at=ports.now(), who=None, address=address, action="password not taken")
        raise NotAllowed("This office opens by passkey only.")
    owner = ports.people.owner(name)
    counted = account_keys(name, address)
    if owner is not None and keys.is_known(ports, owner, known):
        counted = [f"sign-in from {secrets.digest(known)[:32]}"]
    with guarded(ports, counted):
        kept = secrets.NO_PASSWORD if owner is None else owner.password
        if not secrets.password_holds(kept, password) or owner is None:
            ports.audit.add(at=ports.now(), who=None, address=address, action="wrong password")
            raise WrongGuess("Name or password is wrong.", "password")
    if secrets.hash_is_old(owner.password):
        ports.accounts.set_password(owner.id, secrets.hash_password(password))
    session, cookie = open_office(ports, owner, before)
    ports.audit.add(at=ports.now(), who=session, address=address, action="signed in")
    return session, cookie


def account_keys(name: str, address: str) -> list[str]:
    """Return under what wrong passwords are counted: the address, and the account."""
    return [f"sign-in {network(address)}", f"sign-in as {name.lower()[:60]}"]


def is_over(session: Session, now: int) -> bool:
    """Return whether a crew's show was closed long enough ago for all to be sent."""
    closed = session.closed_at
    return closed is not None and session.role != "owner" and now > closed + CLOSED_GRACE_MS


def current(ports: Ports, token: str) -> Session | None:
    """Return who holds this cookie; the time of use is kept to five minutes.

    A crew's phone may lie in a pocket from load-in to load-out; the office may not lie open.
    """
    now = ports.now()
    session = ports.people.session(secrets.digest(token), now)
    if session is not None and is_over(session, now):
        ports.people.end_session(session.id, now)
        return None
    office = session is not None and session.role == "owner" and session.show is None
    if office and session is not None and now - session.used_at > OFFICE_IDLE_MS:
        ports.people.end_session(session.id, now)
        return None
    if session is not None and now - session.used_at > 5 * 60_000:
        ports.people.touch_session(session.id, now)
        return replace(session, used_at=now)
    return session


def sign_out_device(ports: Ports, show: str, device: str, by: Session, address: str) -> None:
    """End a phone's session; what it has not sent can still be carried by another phone."""
    known = ports.people.device(show, device)
    if known is not None and known.role == "owner" and by.role != "owner":
        raise NotAllowed("Only the owner signs an owner's phone out.")
    ports.people.end_sessions(show, ports.now(), device)
    ports.audit.add(
        at=ports.now(), who=by, address=address, action="signed out", show=show, detail=device
    )
