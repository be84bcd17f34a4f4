"""An upgrade that can be undone: a copy before each migration, and no guess at newer databases."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import text

from server import bring_up_to_date, create_app, load, put_back
from server.commands.restore import read_lines
from server.settings import Settings
from server.store import db
from server.store.people import People
from server.trouble import BadInput


def old_database(settings: Settings) -> str:
    """Make a database of an older version with one row; return its migration."""
    app = create_app(settings)
    older = db.steps()[2]
    db.bring_up_to_date(app, older)
    with app.app_context(), db.db.engine.begin() as connection:
        connection.execute(text("INSERT INTO invitation (digest, ends_at) VALUES ('d', 1)"))
    with app.app_context():
        db.db.engine.dispose()
    return older


def migration(file: Path) -> str:
    with closing(sqlite3.connect(file)) as opened:
        return str(opened.execute("SELECT version_num FROM alembic_version").fetchone()[0])


def test_a_migration_leaves_a_private_copy_and_names_the_command_that_goes_back(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    settings = Settings(data=tmp_path / "data", planner=False)
    older = old_database(settings)
    capsys.readouterr()
    bring_up_to_date(create_app(settings))
    (copy,) = (tmp_path / "data").glob("before-*.sqlite")
    assert migration(copy) == older
    assert migration(tmp_path / "data/rowcall.sqlite") == db.steps()[0]
    assert copy.stat().st_mode & 0o777 == 0o600
    said = capsys.readouterr().err
    assert f"restore {copy}" in said
    bring_up_to_date(create_app(settings))
    assert capsys.readouterr().err == "", "expected no second copy"


def test_the_way_back_puts_the_copy_in_place_and_keeps_what_was_there(tmp_path: Path) -> None:
    settings = Settings(data=tmp_path, planner=False)
    older = old_database(settings)
    bring_up_to_date(create_app(settings))
    (copy,) = tmp_path.glob("before-*.sqlite")
    aside = put_back(copy, tmp_path / "rowcall.sqlite")
    assert migration(tmp_path / "rowcall.sqlite") == older
    assert aside is not None
    assert migration(aside) == db.steps()[0]
    with closing(sqlite3.connect(tmp_path / "rowcall.sqlite")) as opened:
        assert opened.execute("SELECT count(*) FROM invitation").fetchone() == (1,)


def test_no_copy_takes_the_place_of_a_database_that_a_program_has_open(tmp_path: Path) -> None:
    settings = Settings(data=tmp_path, planner=False)
    old_database(settings)
    bring_up_to_date(create_app(settings))
    (copy,) = tmp_path.glob("before-*.sqlite")
    with closing(sqlite3.connect(tmp_path / "rowcall.sqlite")) as running:
        running.execute("SELECT count(*) FROM invitation").fetchone()
        with pytest.raises(BadInput, match="stop the server"):
            put_back(copy, tmp_path / "rowcall.sqlite")
    assert migration(tmp_path / "rowcall.sqlite") == db.steps()[0]


def test_a_database_of_a_newer_version_is_refused_in_one_sentence(database_url: str) -> None:
    app = create_app(Settings(database=database_url, planner=False))
    bring_up_to_date(app)
    with app.app_context(), db.db.engine.begin() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    with pytest.raises(BadInput) as refused:
        bring_up_to_date(app)
    assert "migration 9999 of a newer Rowcall" in str(refused.value)
    assert "\n" not in str(refused.value)


def test_on_postgresql_the_copy_is_a_backup_that_can_be_restored(
    postgres_url: str, tmp_path: Path
) -> None:
    settings = Settings(database=postgres_url, data=tmp_path, planner=False)
    old_database(settings)
    bring_up_to_date(create_app(settings))
    (copy,) = tmp_path.glob("before-*.jsonl.gz")
    other = create_app(Settings(data=tmp_path / "other", planner=False))
    assert load(other, read_lines(copy), str(copy)) == 1
    with other.app_context():
        assert not People().has_owner()
