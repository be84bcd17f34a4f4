"""What can be wrong with a request; the API turns each kind into one status."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass
class Trouble(Exception):
    """A request that is not done; `detail` is what a person reads."""

    detail: str

    def __str__(self) -> str:
        return self.detail


class Unknown(Trouble):
    """There is no such thing, or not for this person."""


class NotIn(Trouble):
    """Nobody is in: join or sign in first."""


class NotAllowed(Trouble):
    """This person may not do that."""


class Conflict(Trouble):
    """It does not fit what is there already."""


class Stale(Trouble):
    """Somebody else changed it between the look and the change: look again."""


@dataclass
class WrongGuess(Trouble):
    """A code, PIN or password that is not right."""

    field: str = ""


@dataclass
class Locked(Trouble):
    """Too many wrong guesses, or too much at once: not before so many seconds."""

    retry_after: int = 1


class Busy(Locked):
    """The server has no room for more of this just now."""


class TooLarge(Trouble):
    """More bytes or more pixels than are taken."""


class WrongMedia(Trouble):
    """Content of a kind that is not taken."""


@dataclass
class Wrong(Trouble):
    """Input of the right shape that makes no sense; `faults` are (field, message)."""

    faults: tuple[tuple[str, str], ...] = ()
