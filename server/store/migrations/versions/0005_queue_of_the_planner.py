"""The tables of the planner's queue, on PostgreSQL alone: those of procrastinate 3.10.

A later release of the library that changes them brings scripts; a step after this one runs them.

Revision ID: 0005
Revises: 0004
"""

from __future__ import annotations

from typing import Any

from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    connection = op.get_bind()
    if connection.dialect.name == "postgresql":
        from procrastinate.schema import SchemaManager

        # Many statements at once, which only the driver itself takes.
        raw: Any = connection.connection.driver_connection
        raw.execute(SchemaManager.get_schema())
