"""Questions on dangerous goods that a crew carries: US materials of trade, ADR, lithium, gas."""

from __future__ import annotations

from typing import Final

from server.checks.fields import Field, Given, option
from server.checks.method import Method
from server.core.base.figure import Figure
from server.core.road import goods


def _us(given: Given) -> Figure:
    return goods.materials_of_trade(
        [
            goods.Item(row["class"], row["packing_group"], row["gross_kg"], row["litres"])
            for row in given["items"]
        ]
    )


def _adr(given: Given) -> Figure:
    items = []
    for row in given["items"]:
        if row.has("category") == row.has("kind"):
            raise row.trouble("category", "category or kind, one of them")
        category = goods.ADR_KINDS[row["kind"]] if row.has("kind") else row["category"]
        items.append((category, row["amount"]))
    return goods.adr_points(items)


def _category(given: Given) -> Figure:
    category = goods.ADR_KINDS[given["kind"]]
    why = f"{given['kind']} is in transport category {category}"
    parts = (("factor", goods.ADR_FACTORS[category]), ("alone", goods.ADR_ALONE.get(category)))
    return Figure(category, "category", goods.ADR_SOURCE, why, "planning", parts)


def _lithium(given: Given) -> Figure:
    if given.has("Wh") == (given.has("V") and given.has("Ah")):
        raise given.trouble("Wh", "Wh, or V and Ah")
    hours = given["Wh"] if given.has("Wh") else given["V"] * given["Ah"]
    return goods.lithium(hours, given["kind"])


def _gas(given: Given) -> Figure:
    return goods.gas_percent(given.to("mass", "kg"), given["molar_mass"], given["room_m3"])


METHODS: Final = (
    Method(
        "us_materials_of_trade",
        "may these packages ride as materials of trade (49 CFR 173.6)",
        (
            Field(
                "items",
                "rows",
                "class, packing group, gross kilograms, litres of each package",
                items=(
                    Field("class", "text", "hazard class or division, e.g. 3 or 2.1"),
                    Field(
                        "packing_group",
                        "choice",
                        "I, II, III or empty",
                        choices=("I", "II", "III", ""),
                    ),
                    Field("gross_kg", "number", "gross mass", above=0, most=1e6),
                    option("litres", "number", "of a liquid", default=0, least=0, most=1e6),
                ),
            ),
        ),
        _us,
        {"items": [["3", "II", 16, 20]]},
    ),
    Method(
        "adr_points",
        "points of a small load by ADR 1.1.3.6; details say whether it is within",
        (
            Field(
                "items",
                "rows",
                "transport category (or kind) and amount of each",
                items=(
                    option("category", "count", "transport category", least=0, most=4),
                    Field("amount", "number", "kg or L as ADR counts it", above=0, most=1e6),
                    option("kind", "choice", "instead", choices=tuple(goods.ADR_KINDS)),
                ),
            ),
        ),
        _adr,
        {"items": [[2, 22], [2, 20], [3, 60]]},
    ),
    Method(
        "adr_category",
        "transport category of a kind, its factor and its greatest amount alone",
        (Field("kind", "choice", "what it is", choices=tuple(goods.ADR_KINDS)),),
        _category,
        {"kind": "petrol"},
    ),
    Method(
        "lithium",
        "which relief a lithium ion battery can use",
        (
            option("Wh", "number", "watt-hours by its label", above=0, most=1e6),
            option("V", "number", "volts", above=0, most=1e4),
            option("Ah", "number", "ampere-hours", above=0, most=1e5),
            option("kind", "choice", "what it is", default="battery", choices=("battery", "cell")),
        ),
        _lithium,
        {"Wh": 154},
    ),
    Method(
        "gas_share",
        "share of a closed body that a leaked gas fills",
        (
            Field("mass", "mass", "gas that leaks", above=0),
            Field("molar_mass", "number", "g/mol: CO2 44.01, propane 44.1", above=0, most=1000),
            Field("room_m3", "number", "room in cubic metres", above=0, most=1e5),
        ),
        _gas,
        {"mass_kg": 1, "molar_mass": 44.01, "room_m3": 15},
    ),
)
