"""Whether a called case must go or is nice to have; empty: it must go.

Revision ID: 0012
Revises: 0011
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("show_case", sa.Column("priority", sa.String(length=10), nullable=True))


def downgrade() -> None:
    op.drop_column("show_case", "priority")
