"""Recipes, and the turns of their conversations."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "recipes",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("title", sa.Text),
        sa.Column("measures", sa.String(10)),
        sa.Column("warnings", sa.Text, nullable=False, server_default="[]"),
        sa.Column("version", sa.Integer, nullable=False, server_default="0"),
        sa.Column("created", sa.String(40), nullable=False),
        sa.Column("changed", sa.String(40), nullable=False),
    )
    op.create_table(
        "turns",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("recipe", sa.Integer, sa.ForeignKey("recipes.id"), nullable=False),
        sa.Column("version", sa.Integer, nullable=False),
        sa.Column("kind", sa.String(10), nullable=False),
        sa.Column("who", sa.Text, nullable=False),
        sa.Column("at", sa.String(40), nullable=False),
        sa.Column("count", sa.Integer, nullable=False, server_default="0"),
        sa.Column("text", sa.Text, nullable=False),
        sa.Column("events", sa.Text, nullable=False),
        sa.UniqueConstraint("recipe", "version", name="one_turn_a_version"),
    )
    op.create_index("ix_turns_recipe", "turns", ["recipe"])


def downgrade() -> None:
    op.drop_table("turns")
    op.drop_table("recipes")
