"""Published figures on lifting filters, hours, licences and dangerous goods, by the public calls.

`tests/data/published-road.json` holds question, printed answer, source and evidence of each row.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final

import pytest

from server.checks.method import answer
from server.checks.topics import TOPICS
from server.trouble import BadInput

FILE: Final = Path(__file__).resolve().parents[1] / "data" / "published-road.json"
ROWS: Final[list[dict[str, Any]]] = json.loads(FILE.read_text("utf-8"))


def agrees(found: Any, printed: Any, tolerance: float) -> bool:
    if isinstance(printed, bool) or isinstance(found, (bool, str)):
        return bool(found == printed)
    return abs(float(found) - float(printed)) <= float(tolerance or 0) + 1e-9


def holds(row: dict[str, Any]) -> bool:
    """Return whether a row is answered as printed."""
    told = answer(TOPICS[row["topic"]], row["question"], row["topic"])
    printed = row["expected"]
    if not isinstance(printed, dict):
        return agrees(told["value"], printed, row["tolerance"])
    found = {"value": told["value"], **told["details"]}
    return all(agrees(found[name], value, row["tolerance"]) for name, value in printed.items())


@pytest.mark.parametrize("row", ROWS, ids=[row["id"] for row in ROWS])
def test_a_published_figure_is_answered(row: dict[str, Any]) -> None:
    assert holds(row)


@pytest.mark.parametrize(
    ("topic", "asked", "place"),
    [
        ("hours", {"elapsed_h": 12, "driven_h": 7}, "hours.driven_since_break_h"),
        ("hours", {"driven_h": 7, "driven_since_break_h": 1}, "hours.elapsed_h"),
        ("hours", {"elapsed_h": 9, "driven_h": 4, "driven_since_break_h": 5}, "hours.driven_since"),
        ("hours", {"elapsed_h": 25, "driven_h": 4, "driven_since_break_h": 1}, "hours.elapsed_h"),
        ("hours", {"method": "us_clock", "on_duty": "6"}, "hours.on_duty"),
        ("hours", {"method": "us_clock", "on_duty": "24:00"}, "hours.on_duty"),
        ("hours", {"method": "us_duty_left", "on_duty_last_7_days": [8, 8]}, "hours.on_duty_last"),
        ("licence", {"truck_actual_lb": 9000}, "licence.truck_rating"),
        ("licence", {"truck_rating_lb": 9000, "trailer_actual_lb": 9}, "licence.trailer_rating"),
        ("goods", {"items": [["3", "II"]]}, r"goods.items\[0\].gross_kg"),
        ("goods", {"items": [["3", "II", 0]]}, r"goods.items\[0\].gross_kg"),
        ("goods", {"items": [["3", "IV", 2]]}, r"goods.items\[0\].packing_group"),
        ("goods", {"method": "adr_points", "items": [{"amount": 2}]}, r"goods.items\[0\].category"),
        ("goods", {"method": "lithium", "V": 26}, "goods.Wh"),
        ("lift", {"method": "zone", "zone": "knuckle to elbow"}, "lift.zone"),
        ("lift", {"method": "carried_limits", "carry_m": 21}, "lift.carry"),
        ("ramp", {"method": "tilt", "readings": [6.2]}, "ramp.readings"),
    ],
)
def test_what_would_have_to_be_guessed_is_asked_for(
    topic: str, asked: dict[str, Any], place: str
) -> None:
    with pytest.raises(BadInput, match=f"^{place}"):
        answer(TOPICS[topic], asked, topic)


def hours(**asked: Any) -> dict[str, Any]:
    return answer(TOPICS["hours"], asked, "hours")


def test_what_is_not_stated_gives_no_hour_more_and_is_said() -> None:
    # 561/2006: 9 h a day; the 10 h of two days a week only where it is stated that one is left
    day = {"method": "eu_left", "elapsed_h": 10, "driven_h": 8.5, "driven_since_break_h": 0}
    assert hours(**day)["value"] == 0.5
    assert "NOT checked" in hours(**day)["derivation"]
    assert hours(**day, extended_days_used=1)["value"] == 1.5
    assert hours(**day, extended_days_used=2)["value"] == 0.5
    assert hours(**day, week_h=47.2, last_week_h=20)["value"] == pytest.approx(0.3)
    assert hours(**day, week_h=30, last_week_h=51.4)["value"] == pytest.approx(0.1)
    # the day ends 13 h after it began, or 15 with a reduced rest
    late = {**day, "elapsed_h": 12.9}
    assert hours(**late)["value"] == pytest.approx(0.1)
    assert hours(**late, daily_rest_h=9)["value"] == 0.5


def test_a_load_out_is_duty_and_no_rest() -> None:
    # 49 CFR 395.3: on duty at 10:00, driven 3 h, load-out until 01:00: the window closed at 24:00
    assert hours(elapsed_h=15, driven_h=3, driven_since_break_h=0)["value"] == 0
    # GB: 11 h of duty bind on a day of a week that drives more than 4 h
    assert hours(method="gb_left", on_duty_h=10.5, driven_h=3)["value"] == 0.5
    light = hours(method="gb_left", on_duty_h=12, driven_h=3, driving_each_day_of_week_h=[3, 4, 2])
    assert light["value"] == 1


def test_goods_of_an_unknown_class_have_no_relief() -> None:
    told = answer(
        TOPICS["goods"], {"items": [["", "II", 2], ["1.4G", "", 1], ["3", "", 1]]}, "goods"
    )
    assert told["value"] is False
    assert len(told["details"]["faults"]) == 3
    never = {"method": "adr_points", "items": [[0, 1]]}
    assert answer(TOPICS["goods"], never, "goods")["details"]["within"] is False


def test_a_gate_counts_case_and_operator_at_the_centre_of_the_load() -> None:
    asked = {"method": "gate", "rated_kg": 500, "load_centre_mm": 600, "load_at_mm": 900}
    # 500 x 600 / 900 = 333 kg; 260 kg and one of 85 kg are 345
    told = answer(TOPICS["ramp"], {**asked, "mass_kg": 260}, "ramp")
    assert told["value"] == pytest.approx(333.33, abs=0.01)
    assert told["details"]["within"] is False
    assert answer(TOPICS["ramp"], {**asked, "mass_kg": 240}, "ramp")["details"]["within"] is True
