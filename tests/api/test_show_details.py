"""Names of drops, days and venue of a show over HTTP: kept, busy for all days, refused by name."""

from __future__ import annotations

from typing import Any

from tests.support.app import Bench


def test_a_show_keeps_its_vehicles_from_load_to_return(quick: Bench) -> None:
    owner = quick.owner()
    day = owner.read("/api/shows/demo")["date"]
    details = {
        "date": "2027-04-18",
        "load_day": "2027-04-16",
        "return_day": "2027-04-20",
        "drops": {"1": "power first", "9": " "},
        "venue": {"name": "Old mill, north dock", "dock_height_um": 1_100_000},
    }
    kept = owner.patch("/api/shows/demo", details)
    assert kept.status_code == 200, kept.get_json()
    shown = kept.get_json()
    assert (shown["load_day"], shown["return_day"]) == ("2027-04-16", "2027-04-20")
    assert shown["drops"] == {"1": "power first"}
    assert shown["venue"]["floor"] is None and shown["venue"]["dock_height_um"] == 1_100_000

    def taken(first: str, last: str = "") -> set[str]:
        asked = f"/api/conflicts?date={first}&until={last}&besides=other"
        return set(owner.read(asked)["vehicles"])

    both = {"T1", "T2"}
    assert taken("2027-04-16") == taken("2027-04-20") == both
    assert taken("2027-04-15") == taken("2027-04-21") == taken(day) - both == set()
    assert taken("2027-04-10", "2027-04-16") == taken("2027-04-10", "2027-05-01") == both
    text = owner.get("/api/shows.ics").get_data(as_text=True)
    assert "DTSTART;VALUE=DATE:20270416" in text and "DTEND;VALUE=DATE:20270421" in text
    assert r"LOCATION:Old mill\, north dock" in text
    copy = owner.post("/api/shows/demo/copy", {"name": "Again", "date": "2027-05-02"}).get_json()
    again = owner.read(f"/api/shows/{copy['id']}")
    assert (again["load_day"], again["return_day"]) == ("2027-04-30", "2027-05-04")
    assert again["drops"] == {"1": "power first"}


def test_days_and_venues_that_cannot_be_are_refused(quick: Bench) -> None:
    owner = quick.owner()
    changes: tuple[tuple[dict[str, Any], str], ...] = (
        ({"load_day": "2027-04-19"}, "load_day"),
        ({"return_day": "2027-02-31"}, "return_day"),
        ({"drops": {"0": "x"}}, "drops"),
        ({"drops": {"1": "Power", "2": "power"}}, "drops.2"),
        ({"venue": {"floor": "ice"}}, "venue.floor"),
        ({"venue": {"slope_percent": 51}}, "venue.slope_percent"),
        ({"venue": {"dock_height_um": 9_000_000}}, "venue.dock_height"),
        ({"venue": {"dock_height_um": 900, "ramp_length_um": 800}}, "venue.ramp_length"),
    )
    for change, field in changes:
        refused = owner.patch("/api/shows/demo", {"date": "2027-04-18", **change})
        assert refused.status_code == 422
        assert any(one["field"].startswith(field) for one in refused.get_json()["errors"]), field
