"""How many connections a PostgreSQL server has room for, beside those that others hold."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import Engine, text

ASKED = text(
    "SELECT current_setting('max_connections')::int"
    " - current_setting('superuser_reserved_connections')::int,"
    " (SELECT count(*) FROM pg_stat_activity"
    " WHERE backend_type = 'client backend' AND pid <> pg_backend_pid())"
)


@dataclass(frozen=True, slots=True)
class Room:
    """Connections that users may hold at once, and those that are held just now."""

    most: int
    held: int


def room(engine: Engine) -> Room | None:
    """Return the room of a PostgreSQL server; None for SQLite, which has no such limit."""
    if engine.dialect.name != "postgresql":
        return None
    with engine.connect() as connection:
        most, held = connection.execute(ASKED).one()
    return Room(most, held)


def warning(found: Room, processes: int, pool: int) -> str:
    """Return what to say where processes could ask for more than there is; empty if they cannot."""
    wanted = processes * (pool + 1)  # each listens on one more
    free = found.most - found.held
    if wanted <= free:
        return ""
    return (
        f"The database has room for {free} more connections ({found.most} in all, {found.held} held"
        f" by others), and this server may ask for {wanted} ({processes} x {pool}, and one each to"
        " listen). When it is busy, phones will have to ask again: raise max_connections of"
        " PostgreSQL, or lower --pool."
    )
