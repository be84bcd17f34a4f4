"""Questions by the LM-MMH equations, shared by the topics lift and push."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final, cast

from server.checks.fields import Field, Given, option
from server.checks.method import Method
from server.core.base.figure import Figure, Value
from server.core.handling import lm_mmh

SEX_NAMES: Final[dict[str, lm_mmh.Sex]] = {
    "female": "female",
    "women": "female",
    "f": "female",
    "male": "male",
    "men": "male",
    "m": "male",
}
# Where the equations were fitted, from memory of the tables behind them, a little widened: beyond
# it their squares turn and give any force.
_RANGES: Final = {"hands_m": (0.5, 1.5), "distance_m": (0.5, 61.0), "middle_m": (0.1, 2.2)}
_LENGTHS: Final = {"horizontal_m", "middle_m", "travel_m", "hands_m", "distance_m"}


def _answer(tasks: tuple[str, ...]) -> Callable[[Given], Figure]:
    def work(given: Given) -> Figure:
        task, sex = cast("lm_mmh.Task", given["task"]), SEX_NAMES[given["sex"]]
        assert task in tasks
        measured: dict[str, float] = {}
        for name in lm_mmh.measures(task, sex):
            field = name.removesuffix("_m")
            if not given.has(field):
                raise given.trouble(field, f"a value for {task}")
            measured[name] = given.to(field, "m") if name in _LENGTHS else given[field]
        for name, (low, high) in _RANGES.items():
            if name in measured and not low <= measured[name] <= high:
                field = name.removesuffix("_m")
                raise given.trouble(field, f"{low:g} to {high:g} m, where the equations hold")
        if "travel_m" in measured and measured["middle_m"] < measured["travel_m"] / 2:
            raise given.trouble("travel", "no more than twice the middle: the lift starts above 0")
        mean = lm_mmh.mean_kg(task, sex, measured)
        return _shares(given, mean, lm_mmh.EQUATIONS[task, sex].cv, f"{task}, {sex}")

    return work


def _shares(given: Given, mean: float, cv: float, what: str) -> Figure:
    share = given["share"]
    kgf = {name: lm_mmh.capable_kg(mean, cv, p) for name, p in (("75", 0.75), ("90", 0.90))}
    value = mean if share is None else lm_mmh.capable_kg(mean, cv, share)
    parts: list[tuple[str, Value]] = [
        ("mean", mean),
        ("capable_75", kgf["75"]),
        ("capable_90", kgf["90"]),
        ("cv", cv),
    ]
    if given.has("load"):
        capable = lm_mmh.share_capable(given.to("load", "kg"), mean, cv)
        parts.append(("percent_capable", 100 * capable))
    whom = "on the mean" if share is None else f"by {share:.0%} of people"
    why = f"{value:.2f} kg {whom}: {what}, mean {mean:.2f} kg, coefficient of variation {cv:g}"
    return Figure(value, "kg", lm_mmh.SOURCE, why, "lift", tuple(parts))


def _capable(given: Given) -> Figure:
    return _shares(given, given.to("mean", "kg"), given["cv"], "given mean")


_SHARE: Final = option(
    "share", "number", "share of people, e.g. 0.75; else the mean", above=0, most=0.999
)
_LOAD: Final = option(
    "load", "mass", "load or force, for the share capable", aliases=("L",), least=0
)
_COMMON: Final = (
    Field("sex", "choice", "whose equation", choices=tuple(SEX_NAMES)),
    Field("per_minute", "number", "times a minute", aliases=("F", "F_per_min"), above=0),
    _SHARE,
    _LOAD,
)
_FLOOR: Final = (
    option(
        "hands",
        "length",
        "hands above the floor (V), 0.5 to 1.5 m: outside it the equations say nothing",
        aliases=("V",),
        above=0,
    ),
    option("distance", "length", "way moved (DH)", aliases=("DH",), above=0),
)
_REACH: Final = (
    option("horizontal", "length", "hands ahead of the body (H)", aliases=("H",), above=0),
    option(
        "middle", "length", "middle of the lift above the floor (VRM)", aliases=("VRM",), above=0
    ),
    option("travel", "length", "height of the lift (DV)", aliases=("DV",), above=0),
)


def method(name: str, title: str, tasks: tuple[str, ...], example: dict[str, Any]) -> Method:
    """Return the method for some of the tasks of LM-MMH."""
    task = option("task", "choice", "what is done", default=tasks[0], choices=tasks)
    reach = _REACH if "lift" in tasks else _FLOOR
    return Method(name, title, (task, *_COMMON, *reach), _answer(tasks), example)


LIFT: Final = method(
    "lm_mmh",
    "what shares of women or men lift or lower",
    ("lift", "lower"),
    {"sex": "female", "H_m": 0.38, "VRM_m": 1.03, "DV_m": 0.51, "F": 1, "load_kg": 12},
)
PUSH: Final = method(
    "lm_mmh",
    "what shares of women or men push, pull or carry",
    ("push_initial", "push_sustained", "pull_initial", "pull_sustained", "carry"),
    {"sex": "male", "task": "push_initial", "V_m": 1, "DH_m": 20, "F": 0.25},
)
CAPABLE: Final = Method(
    "lm_mmh_capable",
    "what a share of people is capable of, from a mean and its variation",
    (
        Field("mean", "mass", "mean or reference load", aliases=("RL", "mal"), above=0),
        Field(
            "cv",
            "number",
            "coefficient of variation, a share such as 0.25 and no percent",
            aliases=("CV",),
            above=0,
            most=1,
        ),
        _SHARE,
        _LOAD,
    ),
    _capable,
    {"RL_kg": 34.9, "CV": 0.26, "share": 0.75},
)
