"""Every version of the shop, its cases, vehicles and shows; and who has one of them open.

Revision ID: 0009
Revises: 0008
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "version",
        sa.Column("kind", sa.String(length=10), nullable=False),
        sa.Column("id", sa.String(length=60), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("at", sa.BigInteger(), nullable=False),
        sa.Column("by", sa.String(length=60), nullable=False),
        sa.Column("document", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("kind", "id", "number"),
    )
    op.create_table(
        "presence",
        sa.Column("kind", sa.String(length=10), nullable=False),
        sa.Column("id", sa.String(length=60), nullable=False),
        sa.Column("session_id", sa.String(length=32), nullable=False),
        sa.Column("name", sa.String(length=60), nullable=False),
        sa.Column("at", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(["session_id"], ["session.id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("kind", "id", "session_id"),
    )


def downgrade() -> None:
    op.drop_table("presence")
    op.drop_table("version")
