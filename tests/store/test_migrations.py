"""Migrations make exactly the tables that the code expects, and go forward with data in them."""

from __future__ import annotations

import os
import subprocess
import sys

from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext

import server
from server.settings import ROOT
from server.store.db import MIGRATIONS, db
from tests.support.app import NOON, Bench


def ours(_thing: object, name: str | None, *_more: object) -> bool:
    return not (name or "").startswith("procrastinate_")


def test_the_migrations_make_exactly_the_tables_of_the_code(bare: Bench) -> None:
    with bare.app.app_context(), db.engine.connect() as connection:
        # The tables of the planner's queue are its library's.
        opts = {"compare_type": True, "include_object": ours}
        context = MigrationContext.configure(connection, opts=opts)
        assert compare_metadata(context, db.metadata) == []


def test_bringing_up_to_date_twice_changes_nothing(bare: Bench) -> None:
    with bare.app.app_context():
        bare.ports.people.invite("x" * 64, NOON)
    server.bring_up_to_date(bare.app)
    with bare.app.app_context():
        assert not bare.ports.people.has_owner()


def test_migrations_are_one_line_without_branches() -> None:
    heads, before = set(), set()
    for file in sorted((MIGRATIONS / "versions").glob("*.py")):
        scope: dict[str, str | None] = {}
        exec(compile(file.read_text(encoding="utf-8"), str(file), "exec"), scope)
        assert file.name.startswith(f"{scope['revision']}_")
        assert scope["down_revision"] not in before, file.name
        before.add(scope["down_revision"])
        heads.add(scope["revision"])
    assert len(heads - before) == 1


def test_servers_that_start_together_on_postgresql_migrate_once(postgres_url: str) -> None:
    code = (
        "import server; from server.settings import Settings\n"
        f"server.bring_up_to_date(server.create_app(Settings(database={postgres_url!r})))"
    )
    words = [sys.executable, "-P", "-c", code]
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    started = [
        subprocess.Popen(words, env=environment, stderr=subprocess.PIPE, text=True)
        for _ in range(3)
    ]
    ends = [(one.communicate(timeout=60)[1], one.returncode) for one in started]
    assert [code for _, code in ends] == [0, 0, 0], ends
