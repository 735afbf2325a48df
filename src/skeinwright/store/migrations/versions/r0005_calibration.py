"""Fifth revision: what the dyer's own tests found is kept in a table of its own."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

TABLE = """
CREATE TABLE calibration (
    id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    archived BOOLEAN DEFAULT 0 NOT NULL,
    revision INTEGER DEFAULT 1 NOT NULL,
    changed_at TEXT NOT NULL,
    test TEXT DEFAULT '' NOT NULL,
    of_kind TEXT DEFAULT '' NOT NULL,
    "of" TEXT DEFAULT '' NOT NULL,
    of_key TEXT DEFAULT '' NOT NULL,
    quantity TEXT DEFAULT '' NOT NULL,
    value FLOAT NOT NULL,
    low FLOAT NOT NULL,
    high FLOAT NOT NULL,
    unit TEXT DEFAULT '' NOT NULL,
    made_on DATE NOT NULL,
    lot TEXT DEFAULT '' NOT NULL,
    note TEXT DEFAULT '' NOT NULL
)
"""


def upgrade() -> None:
    """Adds the table, empty: older studios keep the figures that tests have put on the shelf, where they stand."""
    op.execute(sa.text(TABLE))
    op.create_index("calibration_by_thing", "calibration", ["of_kind", "of_key", "quantity"])


def downgrade() -> None:
    """A studio file is not taken back."""
    raise NotImplementedError("A studio file is not taken back to an older revision; restore the backup that was made before it.")
