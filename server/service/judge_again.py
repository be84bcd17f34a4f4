"""A release taken offline is judged again when it arrives; differences become notes for the chief.

Nothing is dropped for it: the release stands as the chief signed it, and the note stands beside it.
"""

from __future__ import annotations

from typing import Any, Final

from server.core.crew.bundle import Bundle, read_bundle
from server.core.night.events import Event
from server.core.night.fold import fold
from server.core.night.house_state import State
from server.core.night.release import release_reasons
from server.core.night.state import Held
from server.service import hand_out
from server.service.ports import Ports
from server.service.stored import read_stored
from server.service.troubles import Trouble

MOST_REASONS: Final = 50
HELD_WORDS: Final = {
    "cases": "case {code} is not on and not excused",
    "straps": "row {row} has {value} of {limit} straps",
    "slack": "row {row} has slack that is not filled",
    "payload": "the load is over the payload",
    "axles": "the axles are outside their limits ({what})",
    "mass": "the mass of case {code} is not known",
    "unsent": "phone {device} holds scans that have not come",
    "already_released": "vehicle {vehicle} was released before",
    "vehicle": "vehicle {vehicle} is not on the plan",
    "vehicles": "vehicle {vehicle} is not released",
    "walk": "the walk is not done",
}


class Judge:
    """Folds the log for one batch, and only when a signature in it asks for that."""

    def __init__(self, ports: Ports, show: str) -> None:
        self._ports = ports
        self._show = show
        self._seen: list[Event] = []
        self._stored: list[Event] | None = None
        self._bundle: Bundle | None = None

    def saw(self, event: Event) -> None:
        """Count a fact of this batch among those before the next one."""
        self._seen.append(event)

    def released_before(self, event: Event) -> str | None:
        """Return why a release is one too many: the vehicle was released and not recalled."""
        known = [*self._before(), *self._seen]
        if any(one.id == event.id for one in known):
            return None  # the same release again: twice is once
        state = self._fold(known)
        leg = (
            None
            if state is None or event.vehicle is None
            else (state.legs[event.move].get(event.vehicle))
        )
        if leg is None or leg.released is None:
            return None
        return (
            f"{event.vehicle} was released already by {leg.released.by}: "
            "the chief recalls that first."
        )

    def note(self, event: Event) -> dict[str, Any] | None:
        """Return what stands against a signature by all that is stored here; None: nothing."""
        known = {one.id: one for one in [*self._before(), *self._seen]}
        known.pop(event.id, None)
        state = self._fold(list(known.values()))
        if state is None:
            return None
        if event.body.kind == "signed_off":
            held: tuple[Held, ...] = tuple(state.signoff_held)
            what = "The night was signed off"
        else:
            held = release_reasons(state, event.move, event.vehicle or "", self._unsent(event))
            what = f"{event.vehicle} was released ({event.move.replace('_', ' ')})"
        if not held:
            return None
        reasons = [said(one) for one in held[:MOST_REASONS]]
        return {"text": told(f"{what} by {event.by.name}", reasons, len(held)), "reasons": reasons}

    def _unsent(self, event: Event) -> list[str]:
        return [
            phone.id
            for phone in self._ports.people.devices(self._show)
            if phone.unsent and phone.out_at is None and phone.id != event.device
        ]

    def _before(self) -> list[Event]:
        if self._stored is None:
            self._stored = read_stored(self._ports.log.all(self._show))
        return self._stored

    def _fold(self, events: list[Event]) -> State | None:
        try:
            self._bundle = self._bundle or read_bundle(hand_out.bundle(self._ports, self._show))
        except Trouble:
            return None  # nothing is issued: there is nothing to judge by
        return fold(self._bundle, events)


def told(what: str, reasons: list[str], count: int) -> str:
    """Return what stands against a signature, the first reasons by name."""
    return (
        f"{what}, but with all that has arrived "
        f"{count} {'thing stands' if count == 1 else 'things stand'} against it: "
        f"{'; '.join(reasons[:3])}{'; ...' if count > 3 else ''}."
    )


def said(held: Held) -> str:
    """Return a reason in plain words."""
    gate = held.gate.split(":", 1)[0]
    if gate == "checks":
        return f"check {held.check} is {'not ok' if held.what == 'not_ok' else 'not answered'}"
    words = HELD_WORDS.get(gate, gate.replace("_", " "))
    return words.format(
        code=held.code, row=held.row, value=held.value or 0, limit=held.limit,
        what=held.what, device=held.device, vehicle=held.vehicle,
    )  # fmt: skip
