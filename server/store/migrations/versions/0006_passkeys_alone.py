"""Whether passkeys alone open the office.

Revision ID: 0006
Revises: 0005
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    demanded = sa.Column("passkey_only", sa.Boolean(), nullable=False, server_default=sa.false())
    op.add_column("owner", demanded)


def downgrade() -> None:
    with op.batch_alter_table("owner") as owner:
        owner.drop_column("passkey_only")
