"""The cook's own foods."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "own_foods",
        sa.Column("key", sa.String(200), primary_key=True),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("figures", sa.Text, nullable=False),
        sa.Column("serving_g", sa.Float),
        sa.Column("density_g_ml", sa.Float),
        sa.Column("note", sa.Text, nullable=False, server_default=""),
        sa.Column("changed", sa.String(40), nullable=False),
    )


def downgrade() -> None:
    op.drop_table("own_foods")
