"""Dangerous goods that a crew carries: amounts that need no placard, and what is not allowed.

US materials of trade, ADR small loads, lithium batteries. Amounts only: packing, marking, a fire
extinguisher and training stay asked. Where no class or amount is known, no relief is given.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from server.core.base.figure import Figure, Value

US_SOURCE: Final = "49 CFR 173.6 (packing and marking: 173.6(b)-(c), from memory)"
US_CLASSES: Final = frozenset({"3", "8", "9", "4.1", "5.1", "5.2", "6.1"})
US_GASES: Final = frozenset({"2.1", "2.2"})
US_PACKAGE: Final[dict[str, float]] = {"I": 0.5, "II": 30.0, "III": 30.0}  # kg or L of a package
US_CYLINDER_KG: Final = 100.0
US_TOGETHER_KG: Final = 200.0

ADR_SOURCE: Final = "ADR 1.1.3.6.3 and 1.1.3.6.4"
ADR_MOST: Final = 1_000
ADR_FACTORS: Final[dict[int, int]] = {1: 50, 2: 3, 3: 1, 4: 0}
ADR_ALONE: Final[dict[int, int]] = {1: 20, 2: 333, 3: 1_000}
# Transport category by kind. Petrol, propane, 1.3G, 1.4G seen; diesel, gases, 1.4S and lithium
# partly from memory.
ADR_KINDS: Final[dict[str, int]] = {
    "1.1": 1,
    "1.3G": 1,
    "1.4G": 2,
    "1.4S": 4,
    "propane": 2,
    "petrol": 2,
    "diesel": 3,
    "CO2": 3,
    "nitrogen": 3,
    "oxygen": 3,
    "toxic gas": 1,
    "lithium batteries": 2,
    "packing group I": 1,
    "packing group II": 2,
    "packing group III": 3,
}

LITHIUM_SOURCE: Final = "ADR special provision 188; 49 CFR 173.185(c); US air passenger rules"
SP188_WH: Final[dict[str, float]] = {"cell": 20.0, "battery": 100.0}
US_ROAD_WH: Final[dict[str, float]] = {"cell": 60.0, "battery": 300.0}
AIR_FREE_WH: Final = 100.0
AIR_APPROVED_WH: Final = 160.0
MOLAR_L: Final = 24.055  # litres a mole at 20 C and 1 atm, ideal gas


@dataclass(frozen=True, slots=True)
class Item:
    """One package: hazard class or division, packing group, gross kilograms, litres."""

    hazard: str
    group: str
    gross_kg: float
    litres: float = 0.0


def materials_of_trade(items: Sequence[Item]) -> Figure:
    """Return whether packages may ride as materials of trade (US), and what stands against it."""
    faults = [fault for item in items if (fault := _fault(item))]
    together = sum(item.gross_kg for item in items)
    if together > US_TOGETHER_KG:
        faults.append(f"{together:g} kg gross together, at most {US_TOGETHER_KG:g}")
    why = "; ".join(faults) or f"{together:g} kg gross together, each package within its limit"
    why += "; only for the carrier's own work, packed and marked as 173.6(b)-(c) asks"
    parts: tuple[tuple[str, Value], ...] = (("faults", tuple(faults)), ("together_kg", together))
    return Figure(not faults, "", US_SOURCE, why, "planning", parts)


def _fault(item: Item) -> str:
    if item.hazard.startswith("1"):
        return f"class {item.hazard}: explosives and effects never ride as materials of trade"
    if item.hazard in US_GASES:
        over = item.gross_kg > US_CYLINDER_KG
        return f"cylinder of {item.gross_kg:g} kg, at most {US_CYLINDER_KG:g}" if over else ""
    if item.hazard not in US_CLASSES:
        return f"class {item.hazard or 'not stated'} is none of the classes of the rule"
    most = US_PACKAGE.get(item.group)
    if most is None:
        return f"class {item.hazard}: packing group not stated"
    if max(item.gross_kg if not item.litres else 0.0, item.litres) > most:
        return f"packing group {item.group}: a package of more than {most:g} kg or L"
    return ""


def adr_points(items: Sequence[tuple[int, float]]) -> Figure:
    """Return the points of a load: amounts by transport category; over 1,000 ADR holds in full."""
    never = any(category not in ADR_FACTORS for category, _ in items)
    total = sum(ADR_FACTORS.get(category, 0) * amount for category, amount in items)
    within = not never and total <= ADR_MOST
    why = " + ".join(f"{amount:g} x {ADR_FACTORS.get(c, 0)}" for c, amount in items)
    why += f" = {total:g} of {ADR_MOST:,} points: "
    why += "category 0 has no relief" if never else "within" if within else "over"
    if within:
        why += "; packing, labels, a 2 kg extinguisher, document and awareness training stay"
    return Figure(total, "points", ADR_SOURCE, why, "planning", (("within", within),))


def lithium(watt_hours: float, kind: str = "battery") -> Figure:
    """Return which relief a lithium ion cell or battery can use, by its watt-hours."""
    sp188 = watt_hours <= SP188_WH[kind]
    road = watt_hours <= US_ROAD_WH[kind]
    air = "no"
    if watt_hours <= AIR_APPROVED_WH:
        air = "free" if watt_hours <= AIR_FREE_WH else "two with approval"
    why = (
        f"a {kind} of {watt_hours:g} Wh: ADR SP 188 {'yes' if sp188 else 'no'} "
        f"({SP188_WH[kind]:g} Wh), US road {'yes' if road else 'no'} ({US_ROAD_WH[kind]:g} Wh), "
        f"spare in an aircraft cabin: {air}"
    )
    parts: tuple[tuple[str, Value], ...] = (
        ("sp188", sp188),
        ("us_road_exception", road),
        ("air_spare", air),
    )
    return Figure(watt_hours, "Wh", LITHIUM_SOURCE, why, "planning", parts)


def gas_percent(kilograms: float, molar_mass: float, room_m3: float) -> Figure:
    """Return the share of a closed room that a leaked gas fills, in percent by volume."""
    share = 100 * kilograms * MOLAR_L / (molar_mass * room_m3)
    why = (
        f"{kilograms:g} kg of {molar_mass:g} g/mol in {room_m3:g} m3, ideal gas at 20 C; CO2: "
        "0.5 % for 8 h, 4 % danger to life; propane burns from about 2.1 % (from memory)"
    )
    source = "ideal gas at 20 C and 1 atm"
    return Figure(min(share, 100.0), "%", source, why, "planning")
