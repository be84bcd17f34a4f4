"""Case lists of invented shops in every manner that may come, each with its truth."""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from typing import Any

from tests.files.lists.layout import saved, with_heading, with_junk
from tests.files.lists.manner import KINDS, PLACES, Manner, choose

INCH, POUND = 25.4, 0.45359237


@dataclass
class Listing:
    """A generated list: its rows, its bytes and its truth."""

    name: str
    content: bytes
    truth: dict[str, Any]
    manner: Manner
    rows: list[list[object]] = field(default_factory=list)


def generate(seed: int) -> Listing:
    rng = random.Random(seed)
    manner = choose(rng)
    kinds = rng.sample(KINDS[manner.language], rng.randint(6, 12))
    fields = ["code", "name", "department", "home", "mass", "note", *manner.extras]
    fields += {"three": list(manner.order), "one": ["sides"], "two_and_one": ["base", "height"]}[
        manner.layout
    ]
    if manner.headed == "none":
        fields = [one for one in fields if one not in manner.extras and one != "note"]
        _beside(rng, fields, manner)
    else:
        rng.shuffle(fields)
    truth: dict[str, Any] = {"cases": {}, "ask": set()}
    body: list[list[object]] = []
    number, group = 0, 0
    count = rng.randint(30, 90)
    while number < count:
        kind = kinds[group % len(kinds)] if rng.random() < 0.8 else rng.choice(kinds)
        group += 1
        for _ in range(min(rng.randint(2, 9), count - number)):
            number += 1
            line = _line(manner, kind, number, truth)
            body.append([line.get(one, "") for one in fields])
            _fault(manner, fields, body, truth, line)
    rows = with_heading(manner, fields, with_junk(manner, fields, body))
    content, name = saved(manner, rows)
    truth["ask"] = sorted(truth["ask"])
    return Listing(name, content, truth, manner, rows)


def _beside(rng: random.Random, fields: list[str], manner: Manner) -> None:
    """Shuffle columns of a list without headings, with its sides side by side and in order."""
    sides = list(manner.order) if manner.layout == "three" else ["sides"]
    others = [one for one in fields if one not in sides]
    rng.shuffle(others)
    at = rng.randint(0, len(others))
    fields[:] = others[:at] + sides + others[at:]


def _line(
    manner: Manner, kind: tuple[Any, ...], number: int, truth: dict[str, Any]
) -> dict[str, object]:
    rng = manner.rng
    name, department, *inches, pounds = kind
    code = _code(manner, department, number)
    home = rng.choice(PLACES[manner.language]).format(rng.randint(1, 30))
    other = manner.unit != "mm" and rng.random() < 0.04
    texts, values = [], []
    for inch in inches:
        text, value = _written(manner, inch, "mm" if other else "")
        texts.append(text)
        values.append(value)
    sides = dict(zip(("length", "width", "height"), texts, strict=True))
    cross = rng.choice((" x ", "x", " × ", "*", " X "))
    line: dict[str, object] = {
        "code": code,
        "name": name,
        "department": department,
        "home": home,
        **sides,
    }
    line["sides"] = cross.join(sides[one] for one in manner.order)
    line["base"] = cross.join(sides[one] for one in manner.order if one != "height")
    if (
        manner.unit_place == "cell"
        and manner.fraction != "feet"
        and not other
        and rng.random() < 0.3
    ):
        unit = manner.unit
        line["sides"] = (
            cross.join(sides[one].removesuffix(_suffix(manner)) for one in manner.order)
            + f" {unit}"
        )
    line["note"] = rng.choice(("", "", "", "new lid", "Rad eiert", "ok"))
    line |= {
        "quantity": "1",
        "price": f"{rng.randint(100, 999)}.00",
        "serial": f"SN{rng.randint(10**5, 10**6)}",
    }
    line |= {
        "bought": f"{rng.randint(1, 28)}.0{rng.randint(1, 9)}.2019",
        "volume": "0.4",
        "owner": "own",
        "empty": "20",
    }
    case: dict[str, object] = {"name": name, "department": department, "home": home}
    line["mass"], case["mass_kg"] = _mass(manner, pounds)
    case |= dict(zip(("length_mm", "width_mm", "height_mm"), values, strict=True))
    truth["cases"][code] = case
    return line


def _code(manner: Manner, department: str, number: int) -> str:
    return manner.codes.format(
        n=number, n2=f"{number:02}", n3=f"{number:03}", d=department[0].upper(),
        dd=department[:2].upper(), ddd=department[:3].lower(), ab="AB"[number % 2],
        big=2000 + number,
    )  # fmt: skip


def _number(manner: Manner, value: float, digits: int) -> str:
    text = f"{value:.{digits}f}"
    if manner.grouped and value >= 1000:
        text = f"{value:,.{digits}f}"
        return (
            text.replace(",", "\0").replace(".", ",").replace("\0", ".") if manner.comma else text
        )
    return text.replace(".", ",") if manner.comma else text


def _suffix(manner: Manner) -> str:
    if manner.unit_place != "cell":
        return ""
    return '"' if manner.unit == "in" and manner.fraction != "decimal" else f" {manner.unit}"


def _written(manner: Manner, inch: float, other: str) -> tuple[str, float]:
    """Return a side as it is written and its truth in millimetres."""
    if other:
        value = round(inch * INCH)
        return f"{value} mm", float(value)
    if manner.unit == "in":
        whole, half = int(inch), inch % 1
        if manner.fraction == "feet":
            rest = f"{inch % 12:g}"
            return f"{whole // 12}'{rest}\"", inch * INCH
        if manner.fraction == "decimal" or not half:
            return f"{inch:g}".replace(".", "," if manner.comma else ".") + _suffix(
                manner
            ), inch * INCH
        return f"{whole}{manner.fraction}" + _suffix(manner), inch * INCH
    per, digits = {"cm": (10, 1), "mm": (1, 0), "m": (1000, 3 if manner.comma else 2)}[manner.unit]
    rounded = round(inch * INCH / per, digits)
    return _number(manner, rounded, digits) + _suffix(manner), rounded * per


def _mass(manner: Manner, pounds: float) -> tuple[str, float | None]:
    rng = manner.rng
    if rng.random() < 0.08:
        return rng.choice(("", "?", "tbc", "n/a", "-")), None
    if manner.mass_unit == "lb":
        suffix = rng.choice((" lbs", "#", " lb", "lbs")) if manner.mass_place == "cell" else ""
        return f"{pounds}{suffix}", pounds * POUND
    value = round(pounds * POUND, rng.choice((0, 1)))
    text = f"{value:g}".replace(".", "," if manner.comma else ".")
    return text + (rng.choice((" kg", "kg")) if manner.mass_place == "cell" else ""), value


def _fault(
    manner: Manner,
    fields: list[str],
    body: list[list[object]],
    truth: dict[str, Any],
    line: dict[str, object],
) -> None:
    """Spoil some lines; what was spoiled is to be asked."""
    rng, code = manner.rng, str(line["code"])
    if rng.random() > 0.05:
        return
    kind = rng.choice(("side", "side", "twice", "quantity"))
    if kind == "twice":
        body.append(list(body[-1]))
        truth["ask"].add(code)
    elif kind == "quantity" and "quantity" in fields:
        body[-1][fields.index("quantity")] = str(rng.randint(2, 6))
        truth["ask"].add(code)
    elif kind == "side":
        text = rng.choice(("", "see photo", "4O", "?", "~40", "30-35"))
        spoiled = {"three": ["length"], "one": ["sides"], "two_and_one": ["base"]}[manner.layout]
        body[-1][fields.index(spoiled[0])] = text
        lost = {
            "three": ("length",),
            "one": ("length", "width", "height"),
            "two_and_one": ("length", "width"),
        }
        for side in lost[manner.layout]:
            truth["cases"][code][f"{side}_mm"] = None
        truth["ask"].add(code)
