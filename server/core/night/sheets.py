"""The bundle's sheets, looked up: which vehicle and row each case is planned for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from server.core.crew.bundle import MOVES, Bundle, PlaceSheet, RowSheet, VehicleSheet
from server.core.night.event_kinds import Excused, Unexcused
from server.core.night.events import Event


@dataclass(frozen=True, slots=True)
class Planned:
    """Where a case is planned."""

    vehicle: VehicleSheet
    row: RowSheet
    place: PlaceSheet


class Sheets:
    """Places and rows by code, spares standing in for the cases they replace."""

    def __init__(self, bundle: Bundle, events: Iterable[Event]) -> None:
        self.vehicles = {vehicle.id: vehicle for vehicle in bundle.vehicles}
        self.places: dict[str, Planned] = {}
        self._rows = {one.id: {row.number for row in one.rows} for one in bundle.vehicles}
        for vehicle in bundle.vehicles:
            for row in vehicle.rows:
                for place in row.places:
                    self.places.setdefault(place.code, Planned(vehicle, row, place))
        self._instead: dict[str, str] = {}
        events = list(events)
        for move in MOVES:
            self._read_swaps(event for event in events if event.move == move)

    def _read_swaps(self, events: Iterable[Event]) -> None:
        """Note which case each spare goes for, by the latest excuse of each case."""
        swaps: dict[str, str] = {}
        for event in events:
            body = event.body
            if isinstance(body, Excused):
                swaps.pop(body.code, None)
                if body.why == "swapped" and body.for_code and body.for_code != body.code:
                    swaps[body.code] = body.for_code
            elif isinstance(body, Unexcused):
                swaps.pop(body.code, None)
        for code, spare in swaps.items():
            self._instead[spare] = code

    def planned(self, vehicle: str, code: str) -> Planned | None:
        """Return the place planned for a case, or for the case in whose stead it goes."""
        seen: set[str] = set()
        name: str | None = code
        while name is not None and name not in seen:
            found = self.places.get(name)
            if found is not None and found.vehicle.id == vehicle:
                return found
            seen.add(name)
            name = self._instead.get(name)
        return None

    def planned_row(self, vehicle: str, code: str) -> int | None:
        """Return the row planned for a case."""
        found = self.planned(vehicle, code)
        return None if found is None else found.row.number

    def standing_row(self, vehicle: str, code: str, said: int | None) -> int | None:
        """Return the row in which a case stands: as the crew says, else as planned."""
        if said is not None and said in self._rows.get(vehicle, ()):
            return said
        return self.planned_row(vehicle, code)
