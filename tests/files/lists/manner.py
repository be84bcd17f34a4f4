"""How one invented shop keeps its list."""

from __future__ import annotations

import json
import random
from dataclasses import dataclass
from pathlib import Path
from typing import Any

MANNERS: dict[str, Any] = json.loads(Path(__file__).with_name("manners.json").read_text("utf-8"))
CODES, HEADINGS, JUNK, PLACES, TITLES = (
    MANNERS[name] for name in ("codes", "headings", "junk", "places", "titles")
)
# name, department, length, width and height in inches, pounds
KINDS: dict[str, list[tuple[Any, ...]]] = {
    language: [(*name, *size) for name, size in zip(names, MANNERS["sizes"], strict=True)]
    for language, names in MANNERS["names"].items()
}

INCH, POUND = 25.4, 0.45359237


@dataclass
class Manner:
    """How one shop keeps its list."""

    rng: random.Random
    language: str = "en"
    unit: str = "in"
    mass_unit: str = "lb"
    unit_place: str = "heading"  # heading, cell, title, nowhere
    mass_place: str = "heading"
    layout: str = "three"  # three, one, two_and_one
    order: tuple[str, ...] = ("length", "width", "height")
    comma: bool = False
    fraction: str = "decimal"
    grouped: bool = False
    headed: str = "plain"  # plain, late, unit_row, group_row, none
    codes: str = "plain"
    extras: tuple[str, ...] = ()


def choose(rng: random.Random) -> Manner:
    one = Manner(rng, language=rng.choice(("en", "en", "de", "es", "fr")))
    metric = rng.random() < (0.4 if one.language == "en" else 0.8)
    one.unit = rng.choice(("cm", "cm", "mm", "m")) if metric else "in"
    one.mass_unit = "kg" if metric else "lb"
    one.unit_place = rng.choice(("heading", "heading", "cell", "title", "nowhere"))
    one.mass_place = rng.choice(("heading", "heading", "cell", "cell"))
    one.comma = rng.random() < (0.1 if one.language == "en" else 0.7)
    one.layout = rng.choice(("three", "three", "three", "one", "one", "two_and_one"))
    one.order = rng.choice(
        (("length", "width", "height"),) * 4
        + (("height", "width", "length"), ("width", "length", "height"))
    )
    one.fraction = (
        rng.choice(("decimal", " 1/2", "½", "-1/2", "feet")) if one.unit == "in" else "decimal"
    )
    one.grouped = one.unit == "mm" and rng.random() < 0.3
    one.headed = rng.choice(("plain", "plain", "plain", "late", "unit_row", "group_row", "none"))
    if one.headed in {"unit_row", "group_row"}:
        one.layout, one.unit_place = "three", "heading"
        one.mass_place = "heading" if one.headed == "unit_row" else one.mass_place
    if one.headed == "none":
        one.layout = "three" if one.layout == "two_and_one" else one.layout
        one.order = ("length", "width", "height")
        one.unit_place = rng.choice(("cell", "title", "nowhere"))
        one.mass_place = "cell"
    if one.fraction == "feet":
        one.unit_place = "cell"
    one.codes = rng.choice(CODES)
    one.extras = tuple(
        rng.sample(
            ("quantity", "price", "serial", "bought", "volume", "empty", "owner"),
            rng.choice((0, 0, 1, 2)),
        )
    )
    return one
