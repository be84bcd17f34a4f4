"""Questions on lifting: the NIOSH equation with its parts, teams, LM-MMH."""

from __future__ import annotations

from typing import Final, cast

from server.checks.fields import Given, option
from server.checks.method import Method
from server.core.base.figure import Figure, Value
from server.core.handling import niosh
from server.core.handling.niosh_frequency import Duration

COUPLING: Final = option(
    "coupling", "choice", "grip, table 6", default="good", choices=("good", "fair", "poor")
)
DURATION_NAMES: Final[dict[str, Duration]] = {
    "short": "short",
    "moderate": "moderate",
    "long": "long",
    "<=1 h": "short",
    "<=2 h": "moderate",
    "<=8 h": "long",
}
DURATION: Final = option(
    "duration", "choice", "work in a row", default="short", choices=tuple(DURATION_NAMES)
)
FREQUENCY: Final = option(
    "frequency", "number", "lifts a minute", default=0.2, aliases=("F", "F_per_min"), least=0
)
SYSTEM: Final = option(
    "system", "choice", "constants; else by the unit of the lengths", choices=("us", "metric")
)


def system_of(given: Given) -> niosh.System:
    """Return the set of constants: as said, else by the unit of any length."""
    if given.has("system"):
        return cast("niosh.System", given["system"])
    lengths = [name for name in given.values if name in _LENGTHS and given.has(name)]
    metric = any(given.unit(name) in {"cm", "m", "mm"} for name in lengths)
    return "metric" if metric or given.units.get("length") in {"cm", "m", "mm"} else "us"


_LENGTHS: Final = (
    "horizontal",
    "vertical",
    "travel",
    "to_horizontal",
    "to_vertical",
    "origin",
    "width",
)


def _lift(given: Given, system: niosh.System) -> niosh.Lift:
    constants = niosh.CONSTANTS[system]
    unit = constants.length_unit

    def length(name: str, ideal: float) -> float:
        return given.to(name, unit) if given.has(name) else ideal

    vertical = length("vertical", constants.knuckle)
    return niosh.Lift(
        horizontal=length("horizontal", constants.horizontal),
        vertical=vertical,
        travel=length("travel", _travel(given, constants, vertical)),
        asymmetry_deg=given.to("asymmetry", "deg"),
        per_minute=given["frequency"],
        duration=DURATION_NAMES[given["duration"]],
        coupling=given["coupling"],
        system=system,
        origin=length("origin", vertical),
        load_constant=(
            given.to("load_constant", constants.mass_unit) if given.has("load_constant") else None
        ),
    )


# A travel measured apart from both ends may differ from them by this much; practice, no source.
SLIP: Final[dict[niosh.System, float]] = {"us": 1.0, "metric": 2.5}


def _check_travel(given: Given, lift: niosh.Lift) -> None:
    """Refuse a travel shorter than the way between both ends: one of the three is wrong."""
    if not (given.has("travel") and given.has("to_vertical") and given.has("vertical")):
        return
    unit = lift.constants.length_unit
    between = abs(given.to("to_vertical", unit) - lift.vertical)
    if lift.travel < between - SLIP[lift.system]:
        raise given.trouble("travel", f"no less than from V to V_dest ({between:g} {unit})")


def _travel(given: Given, constants: niosh.Constants, vertical: float) -> float:
    """Return the travel where none is given: between both ends, else the ideal."""
    if not given.has("to_vertical"):
        return constants.travel_least
    return abs(given.to("to_vertical", constants.length_unit) - vertical)


def _destination(given: Given, origin: niosh.Lift) -> niosh.Lift | None:
    """Return the lift rated at its other end, where that end is given, and then wholly."""
    ends = ("to_horizontal", "to_vertical")
    if not any(given.has(name) for name in ends) and not given.to("to_asymmetry", "deg"):
        return None
    for name in ends:
        if not given.has(name):
            raise given.trouble(name, "H and V of the destination together (never guessed)")
    unit = origin.constants.length_unit
    return niosh.Lift(
        given.to("to_horizontal", unit),
        given.to("to_vertical", unit),
        origin.travel,
        given.to("to_asymmetry", "deg"),
        origin.per_minute,
        origin.duration,
        origin.coupling,
        origin.system,
        origin.vertical,
        origin.load_constant,
    )


def _niosh(given: Given) -> Figure:
    system = system_of(given)
    origin = _lift(given, system)
    _check_travel(given, origin)
    ends = [("origin", origin)]
    other = _destination(given, origin)
    if other is not None:
        ends.append(("destination", other))
    sheet = given["worksheet"]
    limits = {name: niosh.recommended_limit(lift, worksheet=sheet) for name, lift in ends}
    end, lift = min(ends, key=lambda pair: limits[pair[0]])
    found = niosh.multipliers(lift)
    shown = found.rounded() if sheet else found
    unit = lift.constants.mass_unit
    parts: list[tuple[str, Value]] = [("rated_at", end)]
    parts += list(zip(("HM", "VM", "DM", "AM", "FM", "CM"), shown.each(), strict=True))
    for name, one in ends:
        each = niosh.multipliers(one)
        parts.append((f"multipliers_{name}", (each.rounded() if sheet else each).each()))
        parts.append((f"limit_{name}", limits[name]))
    if given.has("mass"):
        load = given.to("mass", unit)
        parts += [(f"index_{n}", niosh.lifting_index(load, limits[n])) for n, _ in ends]
        worst = niosh.lifting_index(load, limits[end])
        parts += [("index", worst), ("band", _band(given, worst))]
    constant = lift.constants.load if lift.load_constant is None else lift.load_constant
    product = " x ".join(f"{value:.3g}" for value in shown.each())
    why = f"{limits[end]:.1f} {unit}: {constant:g} {unit} x {product}, rated at the {end}"
    ideal = [name for name in ("horizontal", "vertical", "travel") if not given.has(name)]
    if ideal and not (ideal == ["travel"] and other is not None):
        why += f"; not given and counted as ideal: {', '.join(ideal)}"
    return Figure(limits[end], unit, niosh.SOURCE, why, "lift", tuple(parts))


def _band(given: Given, index: float) -> str:
    """Return the band of an index; without H or V it is what the lift is at best."""
    missing = [name for name in ("horizontal", "vertical") if not given.has(name)]
    return f"{'at best: ' if missing else ''}{niosh.band(index)}"


LENGTH_FIELDS: Final = (
    option("horizontal", "length", "hands ahead of the ankles (H)", aliases=("H",), above=0),
    option(
        "vertical", "length", "hands above the floor at the origin (V)", aliases=("V",), least=0
    ),
    option("travel", "length", "vertical travel (D)", aliases=("D",), least=0),
    option("to_horizontal", "length", "H at the destination", aliases=("H_dest",), above=0),
    option("to_vertical", "length", "V at the destination", aliases=("V_dest",), least=0),
    option("origin", "length", "V at the origin where another end is rated", least=0),
)
METHODS: Final = (
    Method(
        "niosh",
        "recommended weight limit and lifting index (what is left out counts as ideal)",
        (
            *LENGTH_FIELDS,
            option("asymmetry", "angle", "A", default=0, unit="deg", aliases=("A",), least=0),
            option("to_asymmetry", "angle", "A at the destination", default=0, unit="deg", least=0),
            FREQUENCY,
            DURATION,
            COUPLING,
            option("mass", "mass", "load, for the index", aliases=("load", "L"), least=0),
            option("load_constant", "mass", "other than 51 lb or 23 kg", aliases=("lc",), above=0),
            SYSTEM,
            option("worksheet", "flag", "two-decimal multipliers, as in the manual", default=False),
        ),
        _niosh,
        {
            "H_in": 10,
            "V_in": 22,
            "D_in": 37,
            "F_per_min": 3,
            "coupling": "fair",
            "mass_lb": 26,
            "to_horizontal_in": 20,
            "to_vertical_in": 59,
        },
    ),
)
