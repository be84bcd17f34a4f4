"""The advisor's answers as plain text and as CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from typing import Any

MOST = 12
HEAD = "  {:28} {:>15} {:>12} {:>7} {:>5} {:>5}  pack".format(
    "case", "across x deep", "side by side", "slack", "rows", "left"
)
STATES = {"goes": "", "refused": "no: ", "undecided": "not decided: "}
WAYS = {
    "leave": "leave cases behind",
    "larger": "another vehicle",
    "trips": "more trips of the same",
    "second": "one more vehicle",
}


def lines_of(answer: dict[str, Any]) -> list[str]:
    """Return the whole answer as lines of text."""
    unit = answer["units"]["length"]
    lines: list[str] = []
    for one in answer["fleet"]:
        lines += [*_fleet(one, unit), ""]
    if "year" in answer:
        lines += [*_year(answer["year"], unit, answer["currency"]), ""]
    if "buy" in answer:
        lines += [*_buy(answer["buy"], unit), ""]
    if "hire" in answer:
        lines += [*_hire(answer["hire"], unit, answer), ""]
    lines += [f"{move}: {one['words']}" for move, one in answer.get("load_time", {}).items()]
    return lines


def interval(one: dict[str, Any], unit: str = "") -> str:
    """Return an interval: one number where it is proven."""
    tail = f" {unit}" if unit else ""
    if one["low"] == one["high"]:
        return f"{one['high']:g}{tail}"
    return f"{one['low']:g} to {one['high']:g}{tail}"


def _fleet(one: dict[str, Any], unit: str) -> list[str]:
    lines = [
        f"{one['vehicle']} {one['name']}: the fleet in rows, {one['width']:g} {unit} wide",
        f"  floor {interval(one['floor'], unit)}; at least {one['least']:g} {unit}",
        f"  {one['sentence']}",
        HEAD,
    ]
    for kind in one["kinds"]:
        label = f"{kind['count']} x {kind['name'] or kind['codes'][0]}"[:28]
        if not kind["directions"]:
            lines.append(f"  {label:28} does not fit")
        for way in kind["directions"]:
            size = f"{way['across']:g} x {way['along']:g}"
            lines.append(
                f"  {label:28} {size:>15} {way['count']:12} {way['slack']:7g} "
                f"{way['full_rows']:5} {way['orphans']:5}  {way['pack']}"
            )
            lines += [
                f"  {'':28} {each['count']} + {each['others']} x {each['name'] or each['code']} "
                f"fill a row, {each['slack']:g} {unit} left"
                for each in way["partners"][:1]
            ]
    if one["costly"]:
        lines.append("  floor lost beyond their footprints, most first:")
    lines += [
        f"    {each['lost']:8g} {unit}  {each['count']} x {each['name'] or each['codes'][0]}"
        for each in one["costly"]
    ]
    return lines


def _year(year: dict[str, Any], unit: str, currency: str) -> list[str]:
    lines = ["The year's nights", f"  {year['note']}"]
    for night in year["nights"]:
        lines += [
            f"  {night['times']:3} x {night['night'][:28]:28} {load['vehicle']:10} "
            f"{interval(load['floor'], unit)}, {interval(load['vehicles'])} of them"
            for load in night["loads"]
        ]
        lines += [f"      a case does not fit {one}" for one in night["does_not_fit"]]
    lines.append("  floor that each kind costs a year:")
    lines += [
        f"    {one['floor']:10g} {unit}  {one['count']} x {one['name']}"
        for one in year["costs"][:MOST]
    ]
    for one in year["changes"]:
        lines.append(f"  {one['name']}: floor {interval(one['floor'], unit)} a year")
        lines.append(f"    {one['sentence']}")
        if one["money"] is not None:
            lines.append(f"    vehicles by the day: {interval(one['money'], currency)} a year")
        lines += [f"    not compared: {each}" for each in one["not_compared"]]
    return lines


def _buy(buy: dict[str, Any], unit: str) -> list[str]:
    lines = ["New cases", f"  {buy['sentence']} ({buy['tried']} footprints tried)"]
    lines.append(f"  floor over {buy['loads']} loads, and for one load on average:")
    for one in buy["ranked"]:
        size = f"{one['length']:g} x {one['width']:g} {unit}"
        tie = "  tie" if one["tie"] else ""
        lines.append(
            f"  {size:20} adds {interval(one['added'], unit)}, {one['each']:g} a load{tie}"
        )
    for one in buy["sets"]:
        sizes = ", ".join(f"{each['length']:g} x {each['width']:g}" for each in one["sizes"])
        sure = "proven" if one["proven"] else f"within {one['gap']:g} {unit}"
        lines.append(
            f"  at most {one['at_most']}: {sizes} adds {interval(one['added'], unit)} ({sure})"
        )
    return lines + [f"  {one}" for one in buy["left_out"]]


def _hire(hire: dict[str, Any], unit: str, answer: dict[str, Any]) -> list[str]:
    lines = ["Hire", f"  {hire['sentence']}"]
    money = answer["currency"]
    if hire["best"] is not None:
        lines.append(f"  {set_of(hire['best'])}{_cost(hire['best'], money)}")
        lines.append(
            f"  floor used {hire['best']['floor']:g} {unit}, "
            f"{hire['best']['loading_metres']:g} loading metres"
        )
    lines += [
        f"    {set_of(one)}{_cost(one, money)}: {STATES[one['state']]}{one['why']}"
        for one in hire["cheaper"][:MOST]
    ]
    booked = hire.get("booked")
    if booked is not None and not booked["fits"]:
        lines += _ways(booked, answer)
    lines += [f"  {one}" for one in hire["not_legal"]]
    return lines + [f"  {one}" for one in hire["cautions"]]


def _ways(booked: dict[str, Any], answer: dict[str, Any]) -> list[str]:
    mass, length = answer["units"]["mass"], answer["units"]["length"]
    over = f"{booked['over']:g} {mass} over" if booked["over"] else ""
    short = f"{booked['short']:g} {length} of floor short" if booked["short"] else ""
    lines = [f"  What is booked does not do: {', '.join(filter(None, (over, short)))}"]
    for way in booked["ways"]:
        extra = "" if way["extra"] is None else f", {way['extra']:g} {answer['currency']} more"
        what = ", ".join(way["leave"][:8]) if way["set"] is None else set_of(way["set"])
        lines.append(f"    {WAYS[way['kind']]}: {what}{extra}")
    return lines


def set_of(one: dict[str, Any]) -> str:
    """Return a set of vehicles in words."""
    return " + ".join(
        f"{each['count']} x {each['id']}"
        + (f" ({each['loads']} loads)" if each["loads"] > each["count"] else "")
        for each in one["vehicles"]
    )


def _cost(one: dict[str, Any], currency: str) -> str:
    return "" if one["cost"] is None else f", {one['cost']:g} {currency}".rstrip()


def csv_of(answer: dict[str, Any]) -> dict[str, str]:
    """Return a CSV table for each part, by name."""
    tables = {"fleet": _table(_fleet_cells(answer["fleet"]))}
    if "year" in answer:
        tables["changes"] = _table(_change_cells(answer["year"]))
        tables["costs"] = _table(
            {"kind": one["name"], "count": one["count"], "floor_a_year": one["floor"]}
            for one in answer["year"]["costs"]
        )
    if "buy" in answer:
        tables["buy"] = _table(
            {
                "length": one["length"],
                "width": one["width"],
                "inside_volume": one["inside"],
                "added_low": one["added"]["low"],
                "added_high": one["added"]["high"],
                "tie": one["tie"],
            }
            for one in answer["buy"]["ranked"]
        )
    if "hire" in answer:
        best = answer["hire"]["best"]
        tables["hire"] = _table(
            {"set": set_of(one), "cost": one["cost"], "state": one["state"], "why": one["why"]}
            for one in ([] if best is None else [best]) + answer["hire"]["cheaper"]
        )
    return tables


def _fleet_cells(fleet: list[dict[str, Any]]) -> Iterable[dict[str, Any]]:
    for one in fleet:
        for kind in one["kinds"]:
            for way in kind["directions"]:
                yield {
                    "vehicle": one["vehicle"],
                    "kind": kind["name"] or kind["codes"][0],
                    "owned": kind["count"],
                    **{key: way[key] for key in ("across", "along", "count", "slack")},
                    **{key: way[key] for key in ("full_rows", "orphans", "pack", "floor_each")},
                }


def _change_cells(year: dict[str, Any]) -> Iterable[dict[str, Any]]:
    for one in year["changes"]:
        money = one["money"] or {"low": "", "high": ""}
        yield {
            "change": one["name"],
            **{f"floor_{end}": one["floor"][end] for end in ("low", "high")},
            "floor_verdict": one["floor"]["verdict"],
            **{f"vehicles_{end}": one["vehicles"][end] for end in ("low", "high")},
            "lifts": one["lifts"],
            **{f"money_{end}": money[end] for end in ("low", "high")},
            "cost": one["cost"],
        }


def _table(cells: Iterable[dict[str, Any]]) -> str:
    """Return cells as CSV; text that a spreadsheet would run as a formula is led by a quote."""
    rows = list(cells)
    text = io.StringIO()
    writer = csv.DictWriter(text, list(rows[0]) if rows else ["nothing"])
    writer.writeheader()
    for row in rows:
        writer.writerow({key: _safe(value) for key, value in row.items()})
    return text.getvalue()


def _safe(value: Any) -> Any:
    return f"'{value}" if isinstance(value, str) and value[:1] in "=+-@\t\r" and value else value
