"""What the service keeps: tokens, and which request made which recipe."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "tokens",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("name", sa.String(100), nullable=False, unique=True),
        sa.Column("scope", sa.String(10), nullable=False),
        sa.Column("digest", sa.String(64), nullable=False, unique=True),
        sa.Column("created", sa.String(40), nullable=False),
        sa.Column("revoked", sa.String(40)),
    )
    op.create_table(
        "creations",
        sa.Column("key", sa.String(64), primary_key=True),
        sa.Column("digest", sa.String(64), nullable=False),
        sa.Column("recipe", sa.Integer, sa.ForeignKey("recipes.id"), nullable=False),
    )


def downgrade() -> None:
    op.drop_table("creations")
    op.drop_table("tokens")
