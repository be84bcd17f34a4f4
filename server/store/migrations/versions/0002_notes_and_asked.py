"""What the office notes of a case, and what a planning was asked beside its show.

Revision ID: 0002
Revises: 0001
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("case") as batch_op:
        batch_op.add_column(sa.Column("notes", sa.JSON(), nullable=True))
    with op.batch_alter_table("job") as batch_op:
        batch_op.add_column(sa.Column("asked", sa.JSON(), nullable=True))


def downgrade() -> None:
    with op.batch_alter_table("job") as batch_op:
        batch_op.drop_column("asked")
    with op.batch_alter_table("case") as batch_op:
        batch_op.drop_column("notes")
