"""Fourth revision: a lot can carry the key of the request that started it, so that a request sent twice starts one lot."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds the column, empty in what is there, and its index."""
    op.execute("ALTER TABLE lot ADD COLUMN \"key\" TEXT DEFAULT '' NOT NULL")
    op.create_index("lot_by_key", "lot", ["key"], unique=True, sqlite_where=sa.text("\"key\" <> ''"))


def downgrade() -> None:
    """A studio file is not taken back."""
    raise NotImplementedError("A studio file is not taken back to an older revision; restore the backup that was made before it.")
