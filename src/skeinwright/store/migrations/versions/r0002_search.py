"""Second revision: folded text to look through lots and colourways quickly, lots in the order of their days, and uses by what was used.

The text is made here by this revision's own rules; what the program writes later may hold more.
"""

import json
import unicodedata

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds the columns and indexes and fills the text of what is there."""
    for table in ("lot", "colourway"):
        with op.batch_alter_table(table) as batch:
            batch.add_column(sa.Column("search", sa.Text, nullable=False, server_default=""))
    op.create_index("lot_by_day", "lot", ["day", "code"])
    op.create_index("use_by_thing", "use", ["kind", "name"])
    connection = op.get_bind()
    for row in connection.execute(sa.text("SELECT id, code, title, colourway_name, notes FROM lot")).all():
        goods = connection.execute(sa.text("SELECT base, mark FROM lot_row WHERE lot = :lot ORDER BY number"), {"lot": row.id}).all()
        _write(connection, "lot", row.id, [row.code, row.title, row.colourway_name, row.notes, *(each.base for each in goods), *(each.mark for each in goods)])
    for row in connection.execute(sa.text("SELECT id, name, notes FROM colourway")).all():
        bases = connection.execute(sa.text("SELECT name FROM colourway_base WHERE owner = :owner ORDER BY position"), {"owner": row.id}).scalars().all()
        said = connection.execute(sa.text("SELECT said FROM colourway_step WHERE owner = :owner ORDER BY position"), {"owner": row.id}).scalars().all()
        values = [str(value) for text in said if text for value in json.loads(text).values()]
        _write(connection, "colourway", row.id, [row.name, row.notes, *bases, *values])


def _write(connection: sa.Connection, table: str, id: int, words: list[str]) -> None:
    text = " ".join(unicodedata.normalize("NFKC", " ".join(words)).casefold().split())
    connection.execute(sa.text(f"UPDATE {table} SET search = :text WHERE id = :id"), {"text": text, "id": id})


def downgrade() -> None:
    """A studio file is not taken back."""
    raise NotImplementedError("A studio file is not taken back to an older revision; restore the backup that was made before it.")
