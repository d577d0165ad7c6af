"""Whether a share shows the pictures themselves; none that was made before does."""

import sqlalchemy as sa
from alembic import op

revision = "0015"
down_revision = "0014"


def upgrade() -> None:
    """Add the column; nobody chose it yet."""
    with op.batch_alter_table("shares") as shares:
        shares.add_column(sa.Column("pictures", sa.Integer, nullable=False, server_default="0"))


def downgrade() -> None:
    """Take it away; no picture is shown then."""
    with op.batch_alter_table("shares") as shares:
        shares.drop_column("pictures")
