"""Where each case was last seen, what each night adds up to, how much of each phone is stored.

Revision ID: 0007
Revises: 0006
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

FILL = """
INSERT INTO sighting (code, show_id, seq, at)
SELECT code, show_id, seq, received_at FROM (
    SELECT code, show_id, seq, received_at, ROW_NUMBER() OVER (
        PARTITION BY code ORDER BY received_at DESC, seq DESC, show_id) AS place
    FROM event WHERE code IS NOT NULL AND kind IN ('on', 'off', 'seen')
) AS ranked WHERE place = 1
"""
COUNT = """
UPDATE device SET
    facts = (SELECT COUNT(*) FROM event
        WHERE event.show_id = device.show_id AND event.device = device.id),
    bytes = (SELECT COALESCE(SUM(LENGTH(document)), 0) FROM event
        WHERE event.show_id = device.show_id AND event.device = device.id)
"""


def upgrade() -> None:
    op.create_table(
        "sighting",
        sa.Column("code", sa.String(60), primary_key=True),
        sa.Column(
            "show_id", sa.String(32), sa.ForeignKey("show.id", ondelete="CASCADE"), nullable=False
        ),
        sa.Column("seq", sa.BigInteger(), nullable=False),
        sa.Column("at", sa.BigInteger(), nullable=False),
    )
    op.create_table(
        "night",
        sa.Column(
            "show_id", sa.String(32), sa.ForeignKey("show.id", ondelete="CASCADE"), primary_key=True
        ),
        sa.Column("cursor", sa.BigInteger(), nullable=False),
        sa.Column("issued", sa.Integer(), nullable=False),
        sa.Column("document", sa.JSON(), nullable=False),
    )
    op.add_column("device", sa.Column("facts", sa.Integer(), nullable=False, server_default="0"))
    op.add_column("device", sa.Column("bytes", sa.BigInteger(), nullable=False, server_default="0"))
    op.execute(FILL)
    op.execute(COUNT)


def downgrade() -> None:
    with op.batch_alter_table("device") as device:
        device.drop_column("bytes")
        device.drop_column("facts")
    op.drop_table("night")
    op.drop_table("sighting")
