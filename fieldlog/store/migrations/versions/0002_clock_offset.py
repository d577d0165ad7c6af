"""How far the phone's clock was from the server's when it sent a record."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Add the column; of records that came before nothing is known."""
    # A plain ALTER, never a copied table: the copy would lose what refuses changes of records.
    op.add_column("records", sa.Column("clock_offset_ms", sa.BigInteger))


def downgrade() -> None:
    """Take it away again."""
    op.drop_column("records", "clock_offset_ms")
