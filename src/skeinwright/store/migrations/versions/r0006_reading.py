"""Sixth revision: what was read from a photo is kept in a table of its own, and a swatch may say its own spread."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

TABLE = """
CREATE TABLE reading (
    id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    archived BOOLEAN DEFAULT 0 NOT NULL,
    revision INTEGER DEFAULT 1 NOT NULL,
    changed_at TEXT NOT NULL,
    made_at TEXT NOT NULL,
    photo INTEGER NOT NULL REFERENCES photo (id),
    lot TEXT DEFAULT '' NOT NULL,
    base TEXT DEFAULT '' NOT NULL,
    dye TEXT DEFAULT '' NOT NULL,
    what TEXT DEFAULT '' NOT NULL,
    state TEXT DEFAULT '' NOT NULL,
    label TEXT DEFAULT '' NOT NULL,
    "L" FLOAT NOT NULL,
    a FLOAT NOT NULL,
    b FLOAT NOT NULL,
    illuminant TEXT DEFAULT '' NOT NULL,
    observer INTEGER NOT NULL,
    spread_de00 FLOAT NOT NULL,
    document TEXT DEFAULT '' NOT NULL
)
"""


def upgrade() -> None:
    """Adds the table, empty, and the column; swatches that are there keep the spread of their kind."""
    op.execute(sa.text(TABLE))
    op.create_index("reading_by_lot", "reading", ["lot", "id"])
    op.create_index("reading_by_photo", "reading", ["photo", "id"])
    op.add_column("swatch", sa.Column("own_sd", sa.Float()))


def downgrade() -> None:
    """A studio file is not taken back."""
    raise NotImplementedError("A studio file is not taken back to an older revision; restore the backup that was made before it.")
