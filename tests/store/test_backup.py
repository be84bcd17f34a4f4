"""A backup is one moment of the database, and comes back equal, on either engine."""

from __future__ import annotations

import threading
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import inspect

import server
from server.settings import Settings
from server.store.db import bring_up_to_date, db, steps
from server.store.office_settings import GENERATION
from server.trouble import BadInput
from tests.support.app import Bench, on

pytestmark = pytest.mark.slow


def lines(bench: Bench) -> list[dict[str, Any]]:
    """Return the lines of a backup without the one that says that the database was restored."""
    head, *rows, end = server.dump(bench.app)
    assert end == {"rows": len(rows)}
    kept = [line for line in rows if line["row"].get("name") != GENERATION]
    return [head, *kept, {"rows": len(kept)}]


@pytest.fixture
def night(database_url: str, tmp_path: Path) -> Bench:
    """Return a demo with some facts, a photo, notes and an owner in it."""
    bench = Bench(database_url, tmp_path / "from").demo()
    ana = bench.phone("Ana", chief=True)
    ana.tell(ana.fact(on("BL-002-C")), ana.fact({"kind": "recalled", "why": "señal 🔧"}))
    png = b"\x89PNG\r\n\x1a\n" + b"\0\0\0\rIHDR" + b"\0\0\0\1\0\0\0\1\x08\0\0\0\0" + b"\0" * 20
    with bench.app.app_context():
        from server.service.records import Photo

        bench.ports.photos.add("demo", Photo("photo-01", "image/png", png), "d", bench.clock.at)
    bench.owner()
    return bench


def test_a_backup_comes_back_equal(night: Bench, sqlite_url: str, tmp_path: Path) -> None:
    kept = lines(night)
    into = Bench(f"sqlite:///{tmp_path / 'into.sqlite'}", tmp_path / "into")
    assert server.load(into.app, iter(kept), "backup") == kept[-1]["rows"] > 100
    assert lines(into) == kept
    into.pin = night.pin
    bo = into.phone("Bo")  # and it works: the join code holds, the log goes on
    assert bo.tell(bo.fact(on("BL-003-A")))["cursor"] == 3
    into.close()
    night.close()


def test_a_shop_moves_from_sqlite_to_postgresql(
    sqlite_url: str, postgres_url: str, tmp_path: Path
) -> None:
    small = Bench(sqlite_url, tmp_path / "small").demo()
    small.owner()
    large = Bench(postgres_url, tmp_path / "large")
    server.load(large.app, iter(lines(small)), "backup")
    assert lines(large) == lines(small)
    large.owner()  # new rows are numbered on, not over the old ones
    small.close()
    large.close()


def test_a_backup_under_load_is_one_moment(database_url: str, tmp_path: Path) -> None:
    bench = Bench(database_url, tmp_path).demo()
    bo = bench.phone("Bo")
    bo.tell(*(bo.fact({"kind": "hands", "count": n}) for n in range(50)))
    over = threading.Event()

    def write() -> None:
        while not over.is_set():
            bo.tell(bo.fact({"kind": "hands", "count": 1}), since=10**6)

    writer = threading.Thread(target=write)
    writer.start()
    try:
        kept = lines(bench)
    finally:
        over.set()
        writer.join()
    rows = [line["row"] for line in kept if line.get("table") == "event"]
    (show,) = (line["row"] for line in kept if line.get("table") == "show")
    assert [row["seq"] for row in rows] == list(range(1, show["cursor"] + 1)) and len(rows) >= 50
    bench.close()


def test_a_backup_that_broke_off_or_is_none_stores_nothing(sqlite_url: str, tmp_path: Path) -> None:
    small = Bench(sqlite_url, tmp_path / "small").demo()
    kept = lines(small)
    for number, (broken, word) in enumerate(
        [
            (kept[:-20], "whole backup"),
            (kept[:1], "whole backup"),
            ([], "format rowcall-backup-1"),
            ([{"format": "x"}], "format rowcall-backup-1"),
            ([{**kept[0], "migration": "9999"}, *kept[1:]], f"migration {steps()[0]} or older"),
            ([kept[0], {"table": "nothing", "row": {}}, *kept[1:]], "row of a table"),
        ]
    ):
        into = Bench(f"sqlite:///{tmp_path / f'{number}.sqlite'}", tmp_path / f"into{number}")
        with pytest.raises(BadInput, match=word):
            server.load(into.app, iter(broken), "backup")
        assert lines(into)[-1] == {"rows": 0}
        into.close()
    small.close()


def test_nothing_is_restored_over_what_is_there(sqlite_url: str, tmp_path: Path) -> None:
    small = Bench(sqlite_url, tmp_path / "small").demo()
    with pytest.raises(BadInput, match="empty database"):
        server.load(small.app, iter(lines(small)), "backup")
    small.close()


@pytest.mark.parametrize("step", ["0001", "0003", "0005"])
def test_a_backup_of_an_older_version_comes_back_and_goes_forward(
    step: str, database_url: str, tmp_path: Path
) -> None:
    """What was made before a move to a new version must be of use after it."""
    small = Bench(f"sqlite:///{tmp_path / 'now.sqlite'}", tmp_path / "small").demo()
    small.owner()
    now = lines(small)
    small.close()
    old = server.create_app(
        Settings(data=tmp_path, database=f"sqlite:///{tmp_path / 'old.sqlite'}")
    )
    bring_up_to_date(old, step)
    with old.app_context():
        found = inspect(db.engine)
        columns = {
            name: {column["name"] for column in found.get_columns(name)}
            for name in found.get_table_names()
        }
        db.engine.dispose()
    then = [{**now[0], "migration": step}]
    for line in now[1:-1]:
        if line["table"] in columns:
            names = columns[line["table"]]
            row = {name: value for name, value in line["row"].items() if name in names}
            then.append({"table": line["table"], "row": row})
    then.append({"rows": len(then) - 1})
    fresh = server.create_app(Settings(data=tmp_path, database=database_url))
    assert server.load(fresh, iter(then), "backup") == then[-1]["rows"] > 100
    with fresh.app_context():
        db.engine.dispose()
    into = Bench(database_url, tmp_path / "into")
    again = lines(into)
    assert again[0] == now[0]
    assert [line for line in again if line.get("table") == "event"] == [
        line for line in now if line.get("table") == "event"
    ]
    assert len(again) == len(then)
    into.close()
    # in a database that a newer server has made, the old rows have no place
    newer = Bench(f"sqlite:///{tmp_path / 'newer.sqlite'}", tmp_path / "newer")
    with pytest.raises(BadInput, match=f"a new database, or an empty one at migration {step}"):
        server.load(newer.app, iter(then), "backup")
    newer.close()
