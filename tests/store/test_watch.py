"""When streams wake: at once after a rest, seldom on a busy show, never for another show."""

from __future__ import annotations

import threading
import time

from server.core.base.units import Units
from server.core.shop.show import Rules
from server.service.records import NewEvent, ShowRecord
from server.store.watch import LISTEN_SECONDS, REST_SECONDS, Watch, _Watched
from tests.support.app import NOON, Bench


def test_a_busy_show_rests_between_two_wakes_and_forgets_nothing() -> None:
    show = _Watched(threading.Lock())
    show.streams = 200
    with show.news:
        show.head = (1, 1)
        assert show.wake(10.0) == LISTEN_SECONDS and show.told == (1, 1)
        show.head = (2, 1)
        assert show.wake(10.1) == 10.5 - 10.1 and show.told == (1, 1)
        show.head = (3, 1)
        assert show.wake(10.5) == LISTEN_SECONDS and show.told == (3, 1)
        assert show.wake(10.6) == LISTEN_SECONDS  # nothing new: nobody wakes
        show.head = (4, 1)
        assert show.wake(11.0) == LISTEN_SECONDS and show.told == (4, 1)
        show.streams = 1
        show.head = (5, 1)
        show.wake(20.0)
        assert show.rests_until == 20.0 + REST_SECONDS


def test_streams_hear_of_their_own_show_alone_and_of_the_first_fact_soon(bare: Bench) -> None:
    with bare.app.app_context():
        for name in ("one", "two"):
            bare.ports.shows.put(ShowRecord(name, name, "", Rules(), Units(), NOON), (), ())
    watch = Watch(bare.app)
    with watch.watching("one"), watch.watching("two"):
        heads = {name: watch.wait(name, (-1, -1), 10) for name in ("one", "two")}
        assert heads == {"one": (0, 0), "two": (0, 0)}
        begun = time.monotonic()
        with bare.app.app_context():
            fact = NewEvent("a", "d", 1, "on", None, f"{NOON:013d}-00000-d", "{}")
            bare.ports.log.append("one", [fact], NOON, "d")
        assert watch.wait("one", heads["one"], 10) == (1, 0)
        assert time.monotonic() - begun < 5
        assert watch.wait("two", heads["two"], 0.1) == (0, 0)
    watch.close()
    assert watch._thread is not None
    watch._thread.join(10)
    assert not watch._thread.is_alive()
