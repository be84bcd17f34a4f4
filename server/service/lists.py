"""The lists of a shop that has not edited its own: checks of a vehicle, and the night's walk."""

from __future__ import annotations

from typing import Any, Final


def _check(move: str, gate: str, english: str, spanish: str) -> dict[str, Any]:
    return {
        "id": f"{move}_{gate}",
        "move": move,
        "scope": "vehicle",
        "text": {"en": english, "es": spanish},
        "gate": gate,
        "photo": False,
    }


# Asked before a loaded vehicle leaves; 49 CFR 392.9 asks the driver the same of load and doors.
_LOADED: Final = (
    (
        "ramp",
        "Ramp: hooked, flat on the ground, dry or gritted, someone beside it at every heavy case?",
        "Rampa: enganchada, plana, seca o con arena, alguien al lado de cada caja pesada?",
    ),
    (
        "lift",
        "Team lifts: every lift done with the people that its card says?",
        "Levantar en equipo: cada caja con la gente que dice su ficha?",
    ),
    (
        "bars",
        "Load bars: set tight behind the last row and wherever a row is short?",
        "Barras de carga: apretadas tras la última fila y donde una fila es corta?",
    ),
    (
        "doors",
        "Doors: shut, latched, locked; nothing leans on them?",
        "Puertas: cerradas, con pestillo y llave; nada se apoya en ellas?",
    ),
    (
        "lights",
        "Lights and markers: looked at with someone behind the vehicle?",
        "Luces: revisadas con alguien detrás del vehículo?",
    ),
    (
        "chocks",
        "Chocks: out and on board, ramp stowed?",
        "Calzos: fuera y a bordo, rampa guardada?",
    ),
)
_UNLOADING: Final = (
    (
        "chocks",
        "Chocks in, brake on, engine off?",
        "Calzos puestos, freno echado, motor apagado?",
    ),
    (
        "doors",
        "Doors opened one at a time, standing aside: the load may have moved?",
        "Puertas abiertas de una en una, a un lado: la carga puede haberse movido?",
    ),
    (
        "ramp",
        "Ramp: hooked, flat on the ground, dry or gritted?",
        "Rampa: enganchada, plana en el suelo, seca o con arena?",
    ),
)

CHECKS: Final[tuple[dict[str, Any], ...]] = (
    *(_check("shop_load", *one) for one in _LOADED),
    *(_check("load_in", *one) for one in _UNLOADING),
    *(_check("load_out", *one) for one in _LOADED),
)

WALK: Final[tuple[dict[str, Any], ...]] = tuple(
    {"id": name, "text": {"en": english, "es": spanish}}
    for name, english, spanish in (
        ("stage", "Stage and under it", "Escenario y debajo"),
        ("wings", "Wings, both sides", "Laterales, ambos lados"),
        ("front_of_house", "Front of house", "Control de sala"),
        ("dressing_rooms", "Dressing rooms and production office", "Camerinos y producción"),
        ("deads", "Where the deads were parked", "Donde estaban las cajas vacías"),
        ("dock", "Dock and corridors", "Muelle y pasillos"),
        ("street", "Street round the vehicles", "Calle alrededor de los vehículos"),
        ("under_ramp", "Under the ramp", "Debajo de la rampa"),
    )
)
