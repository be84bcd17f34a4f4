"""The whole database as lines of JSON, from one moment of it, and back into an empty one.

The same form for both engines, so that a shop can also move from SQLite to PostgreSQL by it. The
last line counts the rows: a file that broke off is noticed before anything is stored.
"""

from __future__ import annotations

import base64
from collections.abc import Iterator
from typing import Any, Final

from sqlalchemy import MetaData, Table, func, insert, select, text
from sqlalchemy.engine import Connection

from server.store.db import db, steps
from server.trouble import BadInput

FORMAT: Final = "rowcall-backup-1"
BLOCK: Final = 500
NOT_OURS: Final = ("alembic_", "procrastinate_", "sqlite_")


def dump() -> Iterator[dict[str, Any]]:
    """Yield the head, every row of every table, and the count; writers are not held up."""
    with db.engine.connect() as connection:
        _one_moment(connection)
        step = _migration(connection)
        yield {"format": FORMAT, "migration": step}
        count = 0
        for table in _tables(connection, step).values():
            for row in connection.execute(select(table)).mappings():
                count += 1
                yield {"table": table.name, "row": {key: _out(row[key]) for key in row}}
        yield {"rows": count}


def _one_moment(connection: Connection) -> None:
    """Make all that is read now come from one moment."""
    if connection.dialect.name == "postgresql":
        connection.execute(text("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY"))
    else:
        # Python's SQLite opens no transaction for reading by itself; in WAL it holds up nobody.
        connection.exec_driver_sql("BEGIN")


def _migration(connection: Connection) -> str:
    return str(connection.execute(text("SELECT version_num FROM alembic_version")).scalar())


def _out(value: Any) -> Any:
    if isinstance(value, bytes):
        return {"base64": base64.b64encode(value).decode()}
    return value


def step_of(head: dict[str, Any], place: str) -> str:
    """Return the migration at which a backup was made; BadInput where this version has none such.

    The empty database is brought to that step, filled, and goes forward with the rows in it.
    """
    if head.get("format") != FORMAT:
        raise BadInput(f"{place}: line 1", f"a backup of format {FORMAT}", head.get("format"))
    known = steps()
    if head.get("migration") not in known:
        expected = f"migration {known[0]} or older, or a newer version of Rowcall"
        raise BadInput(f"{place}: line 1", expected, head.get("migration"))
    return str(head["migration"])


def load(step: str, lines: Iterator[dict[str, Any]], place: str) -> int:
    """Store every row of a backup in one transaction; return how many there were.

    BadInput where the database is not empty or not at that step, or where the lines, whose head was
    taken off, are no whole backup.
    """
    with db.engine.begin() as connection:
        here = _migration(connection)
        if here != step:
            expected = f"a new database, or an empty one at migration {step} as the backup is"
            raise BadInput("database", expected, f"migration {here}")
        tables = _tables(connection, step)
        for table in tables.values():
            if connection.execute(select(func.count()).select_from(table)).scalar():
                raise BadInput("database", "an empty database", f"rows in {table.name}")
        count = _fill(connection, tables, lines, place)
        _renumber(connection)
    return count


def _tables(connection: Connection, step: str) -> dict[str, Table]:
    """Return the tables as they are at a step: those of the code, or read from the database."""
    known = db.metadata
    if step != steps()[0]:
        known = MetaData()
        known.reflect(connection, only=lambda name, _: not name.startswith(NOT_OURS))
    return {table.name: table for table in known.sorted_tables}


def _fill(
    connection: Connection, tables: dict[str, Table], lines: Iterator[dict[str, Any]], place: str
) -> int:
    count, promised, block = 0, None, list[dict[str, Any]]()
    last: Table | None = None
    for number, line in enumerate(lines, start=2):
        if "rows" in line:
            promised = line["rows"]
            break
        table = tables.get(line.get("table", ""))
        if table is None:
            raise BadInput(f"{place}: line {number}", "a row of a table", line.get("table"))
        row = line.get("row")
        if not isinstance(row, dict) or set(row) != set(table.columns.keys()):
            raise BadInput(f"{place}: line {number}", f"every column of {table.name}", "others")
        if block and (table is not last or len(block) >= BLOCK):
            connection.execute(insert(last), block)  # type: ignore[arg-type]
            block = []
        last = table
        block.append({key: _in(value) for key, value in row.items()})
        count += 1
    if block and last is not None:
        connection.execute(insert(last), block)
    if promised != count:
        raise BadInput(place, f"a whole backup of {promised} rows", f"{count} rows")
    return count


def _in(value: Any) -> Any:
    if isinstance(value, dict) and set(value) == {"base64"}:
        return base64.b64decode(value["base64"])
    return value


def _renumber(connection: Connection) -> None:
    """Let PostgreSQL number on from where the restored rows end."""
    if connection.dialect.name == "postgresql":
        sequence = "pg_get_serial_sequence('audit', 'id')"
        highest = "(SELECT COALESCE(MAX(id), 0) + 1 FROM audit)"
        connection.execute(text(f"SELECT setval({sequence}, {highest}, false)"))
