"""An owner's own account: password, who is in by it, and other owners."""

from __future__ import annotations

from server.service import enter, secrets
from server.service.guessing import guarded
from server.service.ports import Ports
from server.service.records import Owner, Session
from server.service.troubles import Conflict, NotIn, Unknown, WrongGuess


def owner_of(ports: Ports, session: Session) -> Owner:
    """Return the account of an owner's session; NotIn where it is gone."""
    owner = ports.accounts.owner(session.owner) if session.owner else None
    if owner is None:
        raise NotIn("Sign in again.")
    return owner


def confirm(ports: Ports, session: Session, password: str, address: str) -> Owner:
    """Make sure that it is still the owner who sits there; wrong ones count as guesses."""
    owner = owner_of(ports, session)
    # Whoever is in is counted alone: nobody's guesses elsewhere keep the owner from this.
    with guarded(ports, [f"confirm {session.id}"]):
        if not secrets.password_holds(owner.password, password):
            note(ports, session, address, "wrong password")
            raise WrongGuess("This is not your password.", "password")
    return owner


def renewed(ports: Ports, session: Session) -> str:
    """Return a new cookie's secret for a session; the one before is dead."""
    token = secrets.token()
    ports.accounts.renew_session(session.id, secrets.digest(token))
    return token


def change_password(ports: Ports, session: Session, password: str, fresh: str, address: str) -> str:
    """Change the password; every other session of the account ends. Returns the new cookie."""
    owner = confirm(ports, session, password, address)
    enter.good_password(ports, owner.name, fresh)
    ports.accounts.set_password(owner.id, secrets.hash_password(fresh))
    ports.accounts.end_sessions(owner.id, ports.now(), keep=session.id)
    note(ports, session, address, "changed password")
    return renewed(ports, session)


def end_sessions(
    ports: Ports, session: Session, password: str, only: str | None, address: str
) -> str:
    """End one session of the account, or all but this one. Returns the new cookie."""
    owner = confirm(ports, session, password, address)
    ended = ports.accounts.end_sessions(owner.id, ports.now(), only=only, keep=session.id)
    if only is not None and not ended:
        raise Unknown("There is no such other session of yours.")
    note(ports, session, address, "ended own sessions", str(ended))
    return renewed(ports, session)


def remove_owner(ports: Ports, session: Session, password: str, other: str, address: str) -> str:
    """Remove another owner's account: whoever is in by it is out. Returns the new cookie."""
    owner = confirm(ports, session, password, address)
    gone = ports.accounts.owner(other)
    if gone is None:
        raise Unknown("There is no such owner.")
    if gone.id == owner.id:
        raise Conflict("Nobody removes their own account: another owner does.")
    ports.accounts.remove_owner(gone.id)
    note(ports, session, address, "removed owner", gone.name)
    return renewed(ports, session)


def note(ports: Ports, session: Session, address: str, action: str, detail: str = "") -> None:
    """Write down what was done to an account."""
    ports.audit.add(at=ports.now(), who=session, address=address, action=action, detail=detail)
