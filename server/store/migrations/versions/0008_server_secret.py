"""The server's own secret, from which keys are derived.

Revision ID: 0008
Revises: 0007
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "server_secret",
        sa.Column("id", sa.Integer(), primary_key=True),
        sa.Column("value", sa.String(64), nullable=False),
    )


def downgrade() -> None:
    op.drop_table("server_secret")
