"""Tonight against last time (issue 7): of vehicles and moves, from earlier nights only."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from sqlalchemy import text

from server.service.last_times import last_times
from server.store.db import db
from server.store.shows import Shows
from tests.support.app import Bench, on

MINUTE = 60_000


def _copy(bench: Bench, owner: Any, day: str) -> list[dict[str, Any]]:
    """Return the last times of a show like the demo on another day."""
    made = owner.post("/api/shows/demo/copy", {"name": "Again", "date": day}).get_json()
    with bench.app.app_context():
        return last_times(bench.ports, made["id"])


def _work(bench: Bench, minutes: int) -> tuple[Any, str]:
    """Put two cases on T1 so many minutes apart; return the owner and the day."""
    owner, phone = bench.owner(), bench.phone(f"Ch{minutes}", chief=True)
    one, two = owner.read("/api/shows/demo/plans/1")["sheets"][0]["load"][:2]
    phone.ms -= minutes * MINUTE
    first = phone.fact(on(one))
    phone.ms += minutes * MINUTE - 1
    phone.tell(first, phone.fact(on(two)))
    return owner, owner.read("/api/shows/demo")["date"]


def test_a_later_show_knows_how_long_each_vehicle_took_before(quick: Bench) -> None:
    owner, day = _work(quick, 41)
    later = (date.fromisoformat(day) + timedelta(days=1)).isoformat()
    wanted = {"vehicle": "T1", "move": "shop_load", "minutes": 41.0, "cases": 2, "date": day}
    assert _copy(quick, owner, later) == [wanted]
    # people are never compared: no name is in it
    assert set(wanted) == {"vehicle", "move", "minutes", "cases", "date"}


def test_neither_a_show_of_the_same_day_nor_one_before_has_a_last_time(quick: Bench) -> None:
    owner, day = _work(quick, 41)
    before = (date.fromisoformat(day) - timedelta(days=1)).isoformat()
    assert _copy(quick, owner, day) == []
    assert _copy(quick, owner, before) == []


def test_a_clock_that_was_wrong_makes_no_last_time(quick: Bench) -> None:
    owner, day = _work(quick, 3 * 24 * 60)
    later = (date.fromisoformat(day) + timedelta(days=1)).isoformat()
    assert _copy(quick, owner, later) == []


def test_a_bundle_reads_no_list_of_every_show(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    day = bench.owner().read("/api/shows/demo")["date"]
    with bench.app.app_context():
        shows, show = bench.ports.shows, bench.ports.shows.show("demo")
        assert show is not None
        for number in range(30):
            before = (date.fromisoformat(day) - timedelta(days=number)).isoformat()
            shows.put(replace(show, id=f"past-{number:02d}", date=before, join_code=None), (), ())
        db.session.execute(text("UPDATE show SET issued = 1, cursor = 1 WHERE id <> 'past-03'"))
        db.session.commit()
        found = [one.id for one in shows.worked_before(day, 4)]
        assert found == ["past-01", "past-02", "past-04", "past-05"]
        assert len(shows.worked_before("", 50)) == 30
        db.session.execute(text("UPDATE show SET cursor = 0 WHERE id <> 'demo'"))  # no plan to fold
        db.session.commit()
    monkeypatch.setattr(Shows, "all", lambda _self: pytest.fail("every show was read"))
    assert bench.phone().read("/api/shows/demo/bundle")["last_times"] == []


def test_the_phone_gets_them_with_the_bundle(quick: Bench) -> None:
    assert quick.phone().read("/api/shows/demo/bundle")["last_times"] == []
