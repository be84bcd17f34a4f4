"""Photos of cases, as they were sent and small.

Revision ID: 0003
Revises: 0002
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "case_photo",
        sa.Column("code", sa.String(length=60), nullable=False),
        sa.Column("id", sa.String(length=64), nullable=False),
        sa.Column("words", sa.String(length=120), nullable=False),
        sa.Column("media_type", sa.String(length=20), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.Column("small", sa.LargeBinary(), nullable=False),
        sa.Column("at", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(["code"], ["case.code"]),
        sa.PrimaryKeyConstraint("code", "id"),
    )


def downgrade() -> None:
    op.drop_table("case_photo")
