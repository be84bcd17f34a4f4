"""Ramp: what stands on it against its rating, and too few hands: no, why, and the ways out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil
from typing import Final, Literal

from server.core.base.figure import Figure, count_words, mass_words
from server.core.base.units import Units
from server.core.handling.push import (
    MOST_AT_ONE_CASE,
    PushTask,
    needs_machine,
    push_figure,
    spotters,
)

# One person with boots and tools; common practice, no source.
PERSON_G: Final = 85_000

Way = Literal[
    "lift_gate",
    "winch",
    "forklift",
    "split_the_case",
    "wait_for_hands",
    "longer_ramp",
    "dry_it",
    "stand_on_floor",
    "weigh_it",
    "read_the_plate",
]
WAY_WORDS: Final[dict[Way, str]] = {
    "lift_gate": "use a lift gate rated for the case",
    "winch": "use a winch from the bulkhead",
    "forklift": "use a forklift with a trained driver, nobody in the vehicle",
    "split_the_case": "split the case: take part of the contents out and carry it apart",
    "wait_for_hands": "wait for more hands",
    "longer_ramp": "use a longer ramp or a lower deck (dock)",
    "stand_on_floor": "stand it on the floor instead",
    "weigh_it": "weigh it, or let the chief answer for a guess",
    "read_the_plate": "read the rating on the maker's plate",
    "dry_it": "stop, sweep and dry the ramp, lay grip tape",
}


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether a case may go this way as planned; a no carries its reasons and ways out.

    `asks`: what is not known and has to be read or weighed first; it alone refuses nothing.
    """

    may_go: bool
    figure: Figure
    reasons: tuple[str, ...] = ()
    ways: tuple[Way, ...] = ()
    asks: tuple[Way, ...] = ()


def ramp_load(case_g: int, people: int, rating_g: int | None, units: Units | None = None) -> Figure:
    """Return case and people together against the rating; value None: no rating is known."""
    units = units or Units()
    together = case_g + people * PERSON_G
    say = (
        f"{mass_words(case_g, units)} and {count_words(people, 'person', 'people')} of "
        f"{mass_words(PERSON_G, units)} are {mass_words(together, units)}"
    )
    source = "the maker's rating of the ramp"
    if rating_g is None:
        return Figure(None, "", source, f"{say}; no rating known: read the plate", "ramp")
    verdict = "within" if together <= rating_g else "over"
    return Figure(
        together <= rating_g,
        "",
        source,
        f"{say}, {verdict} the rating of {mass_words(rating_g, units)}",
        "ramp",
        (("together_g", together), ("rating_g", rating_g)),
    )


@dataclass(frozen=True, slots=True)
class Crossing:
    """One case over one way with the hands that are there; `rating_g` None: not known."""

    task: PushTask
    hands_there: int | None = None
    rating_g: int | None = None


def judge_crossing(crossing: Crossing, units: Units | None = None) -> Verdict:
    """Return whether the case may go: enough hands, room for them, ramp strong enough."""
    units = units or Units()
    task = crossing.task
    figure = push_figure(task, units)
    reasons: list[str] = []
    ways: list[Way] = []
    if not task.mass_g:
        return Verdict(
            may_go=False, figure=figure, reasons=(figure.derivation,), ways=("weigh_it",)
        )
    if figure.value is None:
        reasons.append(figure.derivation)
        ways += ["dry_it", "lift_gate", "winch"]
    else:
        people = figure.whole()
        reasons += _too_few(people, crossing, ways)
        load = ramp_load(task.mass_g, people, crossing.rating_g, units)
        if load.value is False:
            reasons.append(load.derivation)
            ways += ["lift_gate", "split_the_case", "longer_ramp"]
    if needs_machine(task):
        reasons.append(
            f"{mass_words(task.mass_g, units)} on a slope is more than the house rule gives hands"
        )
        ways += ["lift_gate", "winch", "forklift"]
    if reasons and task.slippery:
        ways.insert(0, "dry_it")
    asks: tuple[Way, ...] = ()
    if crossing.rating_g is None and task.slope.sine:
        asks = ("read_the_plate",)
    return Verdict(not reasons, figure, tuple(reasons), tuple(dict.fromkeys(ways)), asks)


def verdict_figure(verdict: Verdict) -> Figure:
    """Return everybody whom a crossing takes, the spotter among them, as every screen says it.

    Where it may not go there is no figure, but why and what else.
    """
    found = verdict.figure
    if verdict.may_go:
        stand_by = found.detail("spotters")
        assert isinstance(stand_by, int)
        if not stand_by:
            return found
        together = found.whole() + stand_by
        say = f"{found.derivation}; with the spotter {together} people"
        return replace(found, value=together, derivation=say)
    ways = "; or ".join(WAY_WORDS[way] for way in verdict.ways)
    why = f"not as planned: {'; '.join(verdict.reasons)}. Ways out: {ways}"
    parts = (("people", found.value), *found.details, ("ways", verdict.ways))
    return Figure(None, found.unit, found.source, why, found.caution, parts)


def _too_few(people: int, crossing: Crossing, ways: list[Way]) -> list[str]:
    """Return why hands do not suffice, and add the ways out."""
    slope = crossing.task.slope
    if people > MOST_AT_ONE_CASE:
        ways += ["lift_gate", "winch", "split_the_case", "longer_ramp"]
        return [f"it asks {people} people and {MOST_AT_ONE_CASE} find room at one case"]
    wanted = people + spotters(slope)
    if crossing.hands_there is None or crossing.hands_there >= wanted:
        return []
    ways += ["wait_for_hands", "lift_gate", "winch", "split_the_case"]
    spotter = " and a spotter" if spotters(slope) else ""
    need = f"{count_words(people, 'person', 'people')}{spotter}"
    return [f"it asks {need} and {crossing.hands_there} are there"]


# Figures of other rules that people quote at a ramp. None of them sets a slope for the walk ramp of
# a truck (the ADA is about access, 1926.451 scaffolds, 1918.25 longshoring): reference only.
ADA_RUN_PER_RISE: Final = 12  # ADA 405.2
ADA_RISE_IN: Final = 30  # ADA 405.6, most rise of one run
ADA_CROSS: Final = "1:48"  # ADA 405.3
ADA_WIDTH_IN: Final = 36  # ADA 405.5
ADA_LANDING_FT: Final = 5  # ADA 405.7
CLEATS_RUN_PER_RISE: Final = 8  # 29 CFR 1926.451(e)(5)(iv): cleats when steeper
CLEATS_APART_IN: Final = 14
RAILING_DEG: Final = 20  # 29 CFR 1918.25(b): railing above this slope or a fall of 4 ft
RAILING_FALL_FT: Final = 4
DOCKBOARD: Final = (  # 29 CFR 1910.26
    "rated for the load",
    "run-off guard (boards put in use from 17 January 2017)",
    "secured, or contact that keeps it from moving",
    "vehicle kept from moving, wheels chocked",
    "handholds for safe handling",
)


def ada_run_ft(rise_in: float) -> float:
    """Return the run of a 1 in 12 ramp in feet, without landings."""
    return rise_in * ADA_RUN_PER_RISE / 12


def ada_length_ft(rise_in: float) -> float:
    """Return run and landings: one at each end and one between runs of 30 in of rise."""
    landings = ceil(rise_in / ADA_RISE_IN) + 1
    return ada_run_ft(rise_in) + landings * ADA_LANDING_FT
