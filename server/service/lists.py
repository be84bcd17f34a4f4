"""The lists of a shop that has not edited its own: checks of every move, and the night's walk.

What is asked is common practice, no source, except where 49 CFR 392.9 asks a driver the same of
load, doors and what holds them. A check belongs to a moment, so that a crew meets a few at a time.
"""

from __future__ import annotations

from typing import Any, Final, Literal

Moment = Literal["before", "during", "end"]
Line = tuple[str, str, str]  # gate, English, Spanish

# Asked with a photo beside the answer: what somebody else will want to see tomorrow.
PHOTOS: Final = frozenset({"last_row", "seal", "damaged"})
# Asked with a few words or a number beside the answer.
NOTES: Final = frozenset({"seal", "hired"})
# Asked once for the show: they are about the shop, not about a vehicle.
OF_THE_SHOW: Final = frozenset({"damaged", "hired", "charge", "homes"})

RAMP: Final[Line] = (
    "ramp",
    "Ramp: hooked, pinned, flat on the ground?",
    "Rampa: ¿enganchada, con pasador, plana en el suelo?",
)
SLOPE: Final[Line] = (
    "slope",
    "Slope: measured, no steeper than planned? People were counted for that.",
    "Pendiente: ¿medida, no más que la del plan? La gente se contó para esa.",
)
DRY: Final[Line] = (
    "dry",
    "Ramp and floor: dry and swept, nothing loose?",
    "Rampa y suelo: ¿secos y barridos, nada suelto?",
)
CHOCKS: Final[Line] = (
    "chocks",
    "Chocks in, brake on, engine off?",
    "¿Calzos puestos, freno echado, motor apagado?",
)
PATH: Final[Line] = (
    "path",
    "Path walked from end to end: lit, clear, wide enough?",
    "Camino andado entero: ¿con luz, libre, ancho?",
)
CREW: Final[Line] = (
    "crew",
    "All told: people on each case, team lifts on one count? Gloves, closed shoes?",
    "Todos avisados: ¿gente por caja, levantar juntos a la cuenta? ¿Guantes, calzado cerrado?",
)
ONE_CASE: Final[Line] = (
    "one_case",
    "Spotter at the ramp, one case on it at a time, nobody below?",
    "¿Alguien vigila la rampa, una caja a la vez, nadie debajo?",
)

_BEFORE: Final = (CHOCKS, RAMP, SLOPE, DRY, PATH, CREW)
_LOAD: Final[dict[Moment, tuple[Line, ...]]] = {
    "before": _BEFORE,
    "during": (
        ONE_CASE,
        (
            "straps",
            "Straps of each row tight before the next row hides them?",
            "¿Correas de cada fila apretadas antes de taparlas con la siguiente?",
        ),
    ),
    "end": (
        (
            "bars",
            "Bars tight behind the last row and wherever a row is short?",
            "¿Barras apretadas tras la última fila y donde una fila es corta?",
        ),
        (
            "last_row",
            "Last row held off the door: a gap, nothing leans on it?",
            "Última fila lejos de la puerta: ¿hueco, nada se apoya en ella?",
        ),
        (
            "doors",
            "Ramp and chocks on board, doors shut, latched, locked?",
            "¿Rampa y calzos a bordo, puertas cerradas, con pestillo y llave?",
        ),
        (
            "lights",
            "Lights and markers: seen working from behind?",
            "Luces: ¿vistas encendidas desde atrás?",
        ),
        (
            "seal",
            "Seal on, number noted? Or agreed: none.",
            "¿Precinto puesto, número anotado? O acordado: sin precinto.",
        ),
    ),
}
_LOAD_IN: Final[dict[Moment, tuple[Line, ...]]] = {
    "before": (
        (
            "doors",
            "Doors opened one at a time, standing aside? The load may have moved.",
            "¿Puertas abiertas de una en una, a un lado? La carga puede haberse movido.",
        ),
        *_BEFORE,
    ),
    "during": (
        ONE_CASE,
        (
            "unstrap",
            "Straps off one row at a time, nothing left leaning?",
            "¿Correas fuera fila por fila, nada queda inclinado?",
        ),
    ),
    "end": (
        (
            "empty",
            "Vehicle empty: corners looked at, straps and bars counted?",
            "Vehículo vacío: ¿rincones mirados, correas y barras contadas?",
        ),
    ),
}
# Back at the shop there is no show to wait for: a short list, most of it once for all vehicles.
_PUT_AWAY: Final[dict[Moment, tuple[Line, ...]]] = {
    "before": (
        (
            "ramp",
            "Chocks in, ramp hooked and pinned, floor dry?",
            "¿Calzos puestos, rampa enganchada y con pasador, suelo seco?",
        ),
    ),
    "during": (
        (
            "damaged",
            "Damaged cases set aside and tagged? Wet ones opened to dry?",
            "¿Cajas dañadas aparte y marcadas? ¿Las mojadas abiertas para secar?",
        ),
        (
            "hired",
            "Hired-in cases stand apart, to give back? Who fetches them?",
            "¿Cajas alquiladas aparte, para devolver? ¿Quién las recoge?",
        ),
    ),
    "end": (
        (
            "empty",
            "Vehicle empty and swept, straps and bars back in their place?",
            "¿Vehículo vacío y barrido, correas y barras en su sitio?",
        ),
        (
            "charge",
            "Batteries charging with room around them, the rest switched off?",
            "¿Baterías cargando con espacio alrededor, lo demás apagado?",
        ),
        (
            "homes",
            "Everything in its home, wheels locked, aisles free?",
            "¿Todo en su lugar, ruedas frenadas, pasillos libres?",
        ),
    ),
}


def _checks(move: str, moments: dict[Moment, tuple[Line, ...]]) -> tuple[dict[str, Any], ...]:
    return tuple(
        {
            "id": f"{move}_{gate}",
            "move": move,
            "scope": "show" if move == "put_away" and gate in OF_THE_SHOW else "vehicle",
            "text": {"en": english, "es": spanish},
            "gate": gate,
            "moment": moment,
            "photo": gate in PHOTOS,
            "note": gate in NOTES,
        }
        for moment, lines in moments.items()
        for gate, english, spanish in lines
    )


CHECKS: Final[tuple[dict[str, Any], ...]] = (
    *_checks("shop_load", _LOAD),
    *_checks("load_in", _LOAD_IN),
    *_checks("load_out", _LOAD),
    *_checks("put_away", _PUT_AWAY),
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
