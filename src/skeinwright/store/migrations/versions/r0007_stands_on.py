"""Seventh revision: a vessel can say which burner or other heat it stands on."""

from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds the column, empty (not said) in what is there."""
    op.execute("ALTER TABLE vessel ADD COLUMN stands_on TEXT DEFAULT '' NOT NULL")


def downgrade() -> None:
    """A studio file is not taken back."""
    raise NotImplementedError("A studio file is not taken back to an older revision; restore the backup that was made before it.")
