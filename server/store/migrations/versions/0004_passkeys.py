"""Whose session it is, passkeys of owners, and challenges that are answered once.

Revision ID: 0004
Revises: 0003
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("session", sa.Column("owner_id", sa.String(length=32), nullable=True))
    # Sessions of the office carry the account's name; on a show people type a name of their own.
    op.execute(
        "UPDATE session SET owner_id = (SELECT owner.id FROM owner WHERE owner.name = session.name)"
        " WHERE role = 'owner'"
    )
    op.create_table(
        "passkey",
        sa.Column("id", sa.String(length=1400), nullable=False),
        sa.Column("owner_id", sa.String(length=32), nullable=False),
        sa.Column("name", sa.String(length=60), nullable=False),
        sa.Column("public_key", sa.LargeBinary(), nullable=False),
        sa.Column("uses", sa.BigInteger(), nullable=False),
        sa.Column("created_at", sa.BigInteger(), nullable=False),
        sa.Column("used_at", sa.BigInteger(), nullable=True),
        sa.ForeignKeyConstraint(["owner_id"], ["owner.id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_table(
        "challenge",
        sa.Column("value", sa.String(length=100), nullable=False),
        sa.Column("owner_id", sa.String(length=32), nullable=True),
        sa.Column("ends_at", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("value"),
    )


def downgrade() -> None:
    op.drop_table("challenge")
    op.drop_table("passkey")
    with op.batch_alter_table("session") as session:
        session.drop_column("owner_id")
