"""What each message was answered, so that a page opened anew shows both sides."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("turns", sa.Column("reply", sa.Text, nullable=False, server_default="[]"))


def downgrade() -> None:
    op.drop_column("turns", "reply")
