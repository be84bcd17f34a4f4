"""`python3 server fit SHOW.json`: the fit table of a show's cases and vehicles."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import Any

from server.core.base.units import from_um
from server.core.shop.case import Case
from server.core.shop.fit import Fill, Way, fills, stretches, ways
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle
from server.files.show_file import read_show

NO_FIT = 1


def add(parser: argparse.ArgumentParser) -> None:
    """Name the arguments of the command."""
    parser.add_argument("show", type=Path, metavar="SHOW.json", help="a show file")
    parser.add_argument("--json", action="store_true", help="print JSON instead of a table")
    parser.add_argument("--fills", type=int, default=8, help="ways to fill a row (default 8)")


def run(args: argparse.Namespace) -> int:
    """Print the fit table; 1 when some case fits no vehicle."""
    show = read_show(args.show)
    table = fit_table(show, args.fills)
    print(json.dumps(table, indent=1) if args.json else "\n".join(_lines(table)))
    return NO_FIT if table["fits_nowhere"] else 0


def fit_table(show: Show, most_fills: int) -> dict[str, Any]:
    """Return the fit table as a document in the show's own units."""
    length = show.units.length
    kinds = _kinds(show.cases)
    nowhere = [
        codes
        for case, codes in kinds
        if not any(way.passes for vehicle in show.vehicles for way in ways(case, vehicle))
    ]
    return {
        "format": "rowcall-fit-1",
        "units": {"length": length},
        "vehicles": [
            _stretch(vehicle, part, kinds, length, most_fills)
            for vehicle in show.vehicles
            for part in stretches(vehicle)
        ],
        "fits_nowhere": nowhere,
    }


def _kinds(cases: tuple[Case, ...]) -> list[tuple[Case, list[str]]]:
    """Group cases that stand alike: one line of the table serves them all."""
    kinds: dict[tuple[object, ...], tuple[Case, list[str]]] = {}
    for case in cases:
        sides = (case.length_um, case.width_um, case.height_um)
        stacking = (case.lid_casters, case.lid_load_g, case.mass_g)
        key = (*sides, case.turn, case.stances, *stacking)
        kinds.setdefault(key, (case, []))[1].append(case.code)
    return list(kinds.values())


def _stretch(
    vehicle: Vehicle,
    part: Vehicle,
    kinds: list[tuple[Case, list[str]]],
    length: str,
    most_fills: int,
) -> dict[str, Any]:
    return {
        "id": vehicle.id,
        "name": vehicle.name,
        "stretch": "whole floor" if part is vehicle else "narrow",
        "width": from_um(part.width_um, length),
        "length": from_um(part.length_um, length),
        "cases": [
            {
                "codes": codes,
                "name": case.name,
                "ways": [_way(way, length) for way in ways(case, part)],
            }
            for case, codes in kinds
        ],
        "fills": [
            _fill(fill, length) for fill in fills((case for case, _ in kinds), part, most_fills)
        ],
    }


def _way(way: Way, length: str) -> dict[str, Any]:
    standing = way.standing
    return {
        "stance": standing.stance,
        "turned": standing.turned,
        "across": from_um(standing.across, length),
        "along": from_um(standing.along, length),
        "up": from_um(standing.up, length),
        "fits": way.passes,
        "count_across": way.across,
        "slack": from_um(way.slack, length),
        "rows": way.rows,
        "high": way.high,
    }


def _fill(fill: Fill, length: str) -> dict[str, Any]:
    return {
        "along": from_um(fill.along, length),
        "slack": from_um(fill.slack, length),
        "parts": [
            {
                "count": part.count,
                "across": from_um(part.across, length),
                "codes": list(part.codes),
            }
            for part in fill.parts
        ],
    }


def _lines(table: dict[str, Any]) -> list[str]:
    unit = table["units"]["length"]
    lines: list[str] = []
    for vehicle in table["vehicles"]:
        room = f"{vehicle['width']:g} {unit} wide, {vehicle['length']:g} {unit} long"
        head = f"{'case':24} {'stance':8} {'across':>7} {'along':>7}"
        lines += [
            f"{vehicle['id']} {vehicle['name']} ({vehicle['stretch']}): {room}",
            f"  {head} {'stand':>6} {'slack':>7} {'rows':>5} {'high':>5}",
        ]
        for case in vehicle["cases"]:
            more = f" +{len(case['codes']) - 1}" if len(case["codes"]) > 1 else ""
            label = f"{case['codes'][0]}{more} {case['name']}"[:24]
            lines += [_way_line(label, way) for way in case["ways"]]
        lines += ["  rows filled together:"] if vehicle["fills"] else []
        lines += [f"    {_fill_line(fill, unit)}" for fill in vehicle["fills"]]
    lines += [
        f"{', '.join(codes)}: fits no vehicle of this show" for codes in table["fits_nowhere"]
    ]
    return lines


def _way_line(label: str, way: dict[str, Any]) -> str:
    start = f"  {label:24} {way['stance']:8} {way['across']:7g} {way['along']:7g} "
    if not way["fits"]:
        return f"{start}does not pass"
    return f"{start}{way['count_across']:6} {way['slack']:7g} {way['rows']:5} {way['high']:5}"


def _fill_line(fill: dict[str, Any], unit: str) -> str:
    parts = " + ".join(f"{part['count']} x {part['across']:g}" for part in fill["parts"])
    return f"{parts} {unit} wide, {fill['along']:g} {unit} deep, {fill['slack']:g} {unit} left"
