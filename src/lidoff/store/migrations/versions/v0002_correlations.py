"""Declared rank correlations of a study."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from lidoff.store.columns import NUMBER

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    op.create_table(
        "correlation",
        sa.Column("record", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("first", sa.Text(), nullable=False),
        sa.Column("second", sa.Text(), nullable=False),
        sa.Column("rank", NUMBER, nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.Column("origin", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["record"], ["record.key"], name="fk_correlation_record", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("record", name="pk_correlation"),
    )


def downgrade() -> None:
    op.drop_table("correlation")
