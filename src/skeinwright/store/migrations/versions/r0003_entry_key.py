"""Third revision: a line of the record can carry the key of the request that wrote it, so that a request sent twice writes once."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds the column, empty in what is there, and its index; the triggers that keep the record append-only stay (nothing is rebuilt)."""
    op.execute("ALTER TABLE entry ADD COLUMN \"key\" TEXT DEFAULT '' NOT NULL")
    op.create_index("entry_by_key", "entry", ["lot", "key"], unique=True, sqlite_where=sa.text("\"key\" <> ''"))


def downgrade() -> None:
    """A studio file is not taken back."""
    raise NotImplementedError("A studio file is not taken back to an older revision; restore the backup that was made before it.")
