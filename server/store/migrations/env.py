"""Runs the numbered steps against the database of the app; called by Flask-Migrate."""

from __future__ import annotations

from alembic import context
from flask import current_app
from sqlalchemy import text

from server.store import projections, server_secret, tables  # noqa: F401  (fill the metadata)
from server.store.db import db

# Any number that no other program uses on this database: two servers that start together queue.
LOCK = 7_296_001


def run() -> None:
    options = current_app.extensions["migrate"].configure_args
    with db.engine.connect() as connection:
        on_postgres = connection.dialect.name == "postgresql"
        if on_postgres:
            connection.execute(text("SELECT pg_advisory_lock(:key)"), {"key": LOCK})
            connection.commit()
        context.configure(connection=connection, target_metadata=db.metadata, **options)
        with context.begin_transaction():
            context.run_migrations()
        if on_postgres:
            connection.execute(text("SELECT pg_advisory_unlock(:key)"), {"key": LOCK})
            connection.commit()


run()
