"""First revision: the shelf, colourways, sets, lots with their record, photos, the journal and the settings.

The statements are written out, so that this revision stays what it was however the tables change later.
"""

from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

TABLES = """
CREATE TABLE acid (
    id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    name TEXT NOT NULL,
    name_key TEXT NOT NULL,
    archived BOOLEAN DEFAULT 0 NOT NULL,
    revision INTEGER DEFAULT 1 NOT NULL,
    changed_at TEXT NOT NULL,
    acid TEXT DEFAULT '' NOT NULL,
    strength FLOAT,
    monohydrate BOOLEAN,
    price_minor INTEGER,
    pack_g FLOAT,
    on_hand_g FLOAT,
    notes TEXT DEFAULT '' NOT NULL,
    UNIQUE (name_key)
);

CREATE TABLE auxiliary (
    id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    name TEXT NOT NULL,
    name_key TEXT NOT NULL,
    archived BOOLEAN DEFAULT 0 NOT NULL,
    revision INTEGER DEFAULT 1 NOT NULL,
    changed_at TEXT NOT NULL,
    does TEXT DEFAULT '' NOT NULL,
    pack_g FLOAT,
    price_minor INTEGER,
    on_hand_g FLOAT,
    batch TEXT DEFAULT '' NOT NULL,
    safety_sheet TEXT DEFAULT '' NOT NULL,
    notes TEXT DEFAULT '' NOT NULL,
    UNIQUE (name_key)
);

CREATE TABLE base (
    id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    name TEXT NOT NULL,
    name_key TEXT NOT NULL,
    archived BOOLEAN DEFAULT 0 NOT NULL,
    revision INTEGER DEFAULT 1 NOT NULL,
    changed_at TEXT NOT NULL,
    skein_g FLOAT NOT NULL,
    length_mm FLOAT NOT NULL,
    superwash BOOLEAN,
    plies INTEGER,
    twist TEXT DEFAULT '' NOT NULL,
    round_mm FLOAT,
    "undyed_L" FLOAT,
    undyed_a FLOAT,
    undyed_b FLOAT,
    undyed_illuminant TEXT DEFAULT '' NOT NULL,
    undyed_observer INTEGER,
    price_minor INTEGER,
    on_hand INTEGER,
    batch TEXT DEFAULT '' NOT NULL,
    maker TEXT DEFAULT '' NOT NULL,
    strike_factor FLOAT,
    relax_length FLOAT,
    relax_width FLOAT,
    notes TEXT DEFAULT '' NOT NULL,
    UNIQUE (name_key)
);

CREATE TABLE blend (
    id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    name TEXT NOT NULL,
    name_key TEXT NOT NULL,
    archived BOOLEAN DEFAULT 0 NOT NULL,
    revision INTEGER DEFAULT 1 NOT NULL,
    changed_at TEXT NOT NULL,
    grain_mm FLOAT,
    on_hand_g FLOAT,
    made_on DATE,
    notes TEXT DEFAULT '' NOT NULL,
    UNIQUE (name_key)
);

CREATE TABLE change (
    id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    at TEXT NOT NULL,
    sentence TEXT NOT NULL,
    kind TEXT NOT NULL,
    thing INTEGER NOT NULL,
    "before" TEXT,
    "after" TEXT,
    undone BOOLEAN DEFAULT 0 NOT NULL,
    undoes INTEGER,
    CONSTRAINT change_says_something CHECK (before IS NOT NULL OR after IS NOT NULL),
    FOREIGN KEY(undoes) REFERENCES change (id)
);

CREATE TABLE colourway (
    id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    name TEXT NOT NULL,
    name_key TEXT NOT NULL,
    archived BOOLEAN DEFAULT 0 NOT NULL,
    revision INTEGER DEFAULT 1 NOT NULL,
    changed_at TEXT NOT NULL,
    fibre TEXT DEFAULT '' NOT NULL,
    water TEXT DEFAULT '' NOT NULL,
    vessel TEXT DEFAULT '' NOT NULL,
    notes TEXT DEFAULT '' NOT NULL,
    over TEXT DEFAULT '' NOT NULL,
    water_volume TEXT DEFAULT '' NOT NULL,
    own_base TEXT,
    own_water TEXT,
    own_vessel TEXT,
    own_dyes TEXT DEFAULT '' NOT NULL,
    UNIQUE (name_key)
);

CREATE TABLE colourway_set (
    id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    name TEXT NOT NULL,
    name_key TEXT NOT NULL,
    archived BOOLEAN DEFAULT 0 NOT NULL,
    revision INTEGER DEFAULT 1 NOT NULL,
    changed_at TEXT NOT NULL,
    notes TEXT DEFAULT '' NOT NULL,
    UNIQUE (name_key)
);

CREATE TABLE dye (
    id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    name TEXT NOT NULL,
    name_key TEXT NOT NULL,
    archived BOOLEAN DEFAULT 0 NOT NULL,
    revision INTEGER DEFAULT 1 NOT NULL,
    changed_at TEXT NOT NULL,
    maker TEXT DEFAULT '' NOT NULL,
    dye_class TEXT DEFAULT '' NOT NULL,
    maker_acid TEXT DEFAULT '' NOT NULL,
    maker_heat TEXT DEFAULT '' NOT NULL,
    strength FLOAT NOT NULL,
    jar_g FLOAT,
    price_minor INTEGER,
    on_hand_g FLOAT,
    batch TEXT DEFAULT '' NOT NULL,
    supplier_statement TEXT DEFAULT '' NOT NULL,
    safety_sheet TEXT DEFAULT '' NOT NULL,
    notes TEXT DEFAULT '' NOT NULL,
    UNIQUE (name_key)
);

CREATE TABLE heat (
    id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    name TEXT NOT NULL,
    name_key TEXT NOT NULL,
    archived BOOLEAN DEFAULT 0 NOT NULL,
    revision INTEGER DEFAULT 1 NOT NULL,
    changed_at TEXT NOT NULL,
    does TEXT DEFAULT '' NOT NULL,
    energy TEXT DEFAULT '' NOT NULL,
    power_w FLOAT,
    holds INTEGER NOT NULL,
    circuit TEXT DEFAULT '' NOT NULL,
    notes TEXT DEFAULT '' NOT NULL,
    UNIQUE (name_key)
);

CREATE TABLE leftover (
    id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    name TEXT NOT NULL,
    name_key TEXT NOT NULL,
    archived BOOLEAN DEFAULT 0 NOT NULL,
    revision INTEGER DEFAULT 1 NOT NULL,
    changed_at TEXT NOT NULL,
    volume_ml FLOAT NOT NULL,
    ph FLOAT,
    kept_on DATE,
    from_lot TEXT DEFAULT '' NOT NULL,
    notes TEXT DEFAULT '' NOT NULL,
    UNIQUE (name_key)
);

CREATE TABLE lot (
    id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    code TEXT NOT NULL,
    day DATE NOT NULL,
    title TEXT DEFAULT '' NOT NULL,
    colourway_name TEXT DEFAULT '' NOT NULL,
    colourway TEXT,
    unplanned BOOLEAN NOT NULL,
    copied_from TEXT DEFAULT '' NOT NULL,
    old BOOLEAN NOT NULL,
    notes TEXT DEFAULT '' NOT NULL,
    when_said TEXT DEFAULT '' NOT NULL,
    assumed TEXT DEFAULT '' NOT NULL,
    warnings TEXT DEFAULT '' NOT NULL,
    shelf TEXT DEFAULT '' NOT NULL,
    status TEXT DEFAULT 'planned' NOT NULL,
    done FLOAT DEFAULT 0 NOT NULL,
    UNIQUE (code)
);

CREATE TABLE photo (
    id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    file TEXT NOT NULL,
    preview TEXT NOT NULL,
    width_px INTEGER NOT NULL,
    height_px INTEGER NOT NULL,
    size_bytes INTEGER NOT NULL,
    added_at TEXT NOT NULL,
    said_name TEXT DEFAULT '' NOT NULL,
    UNIQUE (file)
);

CREATE TABLE setting (
    "key" TEXT NOT NULL,
    value TEXT NOT NULL,
    PRIMARY KEY ("key")
);

CREATE TABLE solution (
    id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    name TEXT NOT NULL,
    name_key TEXT NOT NULL,
    archived BOOLEAN DEFAULT 0 NOT NULL,
    revision INTEGER DEFAULT 1 NOT NULL,
    changed_at TEXT NOT NULL,
    strength FLOAT NOT NULL,
    volume_ml FLOAT,
    on_hand_ml FLOAT,
    made_on DATE,
    keeps_days INTEGER NOT NULL,
    acid TEXT DEFAULT '' NOT NULL,
    batch TEXT DEFAULT '' NOT NULL,
    notes TEXT DEFAULT '' NOT NULL,
    UNIQUE (name_key)
);

CREATE TABLE vessel (
    id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    name TEXT NOT NULL,
    name_key TEXT NOT NULL,
    archived BOOLEAN DEFAULT 0 NOT NULL,
    revision INTEGER DEFAULT 1 NOT NULL,
    changed_at TEXT NOT NULL,
    shape TEXT DEFAULT '' NOT NULL,
    length_mm FLOAT NOT NULL,
    width_mm FLOAT,
    height_mm FLOAT NOT NULL,
    material TEXT DEFAULT '' NOT NULL,
    lid BOOLEAN,
    mass_g FLOAT,
    notes TEXT DEFAULT '' NOT NULL,
    UNIQUE (name_key)
);

CREATE TABLE water (
    id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    name TEXT NOT NULL,
    name_key TEXT NOT NULL,
    archived BOOLEAN DEFAULT 0 NOT NULL,
    revision INTEGER DEFAULT 1 NOT NULL,
    changed_at TEXT NOT NULL,
    alkalinity_mg_l FLOAT,
    ph FLOAT,
    source TEXT DEFAULT '' NOT NULL,
    measured_on DATE,
    notes TEXT DEFAULT '' NOT NULL,
    UNIQUE (name_key)
);

CREATE TABLE base_fibre (
    owner INTEGER NOT NULL,
    position INTEGER NOT NULL,
    name TEXT NOT NULL,
    share FLOAT NOT NULL,
    PRIMARY KEY (owner, position),
    FOREIGN KEY(owner) REFERENCES base (id) ON DELETE CASCADE
);

CREATE TABLE blend_part (
    owner INTEGER NOT NULL,
    position INTEGER NOT NULL,
    name TEXT NOT NULL,
    share FLOAT NOT NULL,
    PRIMARY KEY (owner, position),
    FOREIGN KEY(owner) REFERENCES blend (id) ON DELETE CASCADE
);

CREATE TABLE colourway_base (
    owner INTEGER NOT NULL,
    position INTEGER NOT NULL,
    name TEXT NOT NULL,
    PRIMARY KEY (owner, position),
    FOREIGN KEY(owner) REFERENCES colourway (id) ON DELETE CASCADE
);

CREATE TABLE colourway_set_member (
    owner INTEGER NOT NULL,
    position INTEGER NOT NULL,
    name TEXT NOT NULL,
    PRIMARY KEY (owner, position),
    FOREIGN KEY(owner) REFERENCES colourway_set (id) ON DELETE CASCADE
);

CREATE TABLE colourway_step (
    owner INTEGER NOT NULL,
    position INTEGER NOT NULL,
    do TEXT NOT NULL,
    said TEXT DEFAULT '' NOT NULL,
    PRIMARY KEY (owner, position),
    FOREIGN KEY(owner) REFERENCES colourway (id) ON DELETE CASCADE
);

CREATE TABLE entry (
    id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    lot INTEGER NOT NULL,
    what TEXT NOT NULL,
    at TEXT NOT NULL,
    entered_at TEXT NOT NULL,
    step INTEGER,
    vessel TEXT DEFAULT '' NOT NULL,
    "row" INTEGER,
    about TEXT DEFAULT '' NOT NULL,
    value FLOAT,
    unit TEXT DEFAULT '' NOT NULL,
    text TEXT DEFAULT '' NOT NULL,
    photo INTEGER,
    replaces INTEGER,
    said TEXT DEFAULT '' NOT NULL,
    doses TEXT DEFAULT '' NOT NULL,
    FOREIGN KEY(lot) REFERENCES lot (id),
    FOREIGN KEY(photo) REFERENCES photo (id),
    FOREIGN KEY(replaces) REFERENCES entry (id)
);

CREATE INDEX entry_by_lot ON entry (lot, id);

CREATE TABLE leftover_dye (
    owner INTEGER NOT NULL,
    position INTEGER NOT NULL,
    name TEXT NOT NULL,
    share FLOAT NOT NULL,
    PRIMARY KEY (owner, position),
    FOREIGN KEY(owner) REFERENCES leftover (id) ON DELETE CASCADE
);

CREATE TABLE lot_row (
    lot INTEGER NOT NULL,
    number INTEGER NOT NULL,
    base TEXT DEFAULT '' NOT NULL,
    skeins INTEGER NOT NULL,
    skein_g FLOAT NOT NULL,
    vessel TEXT DEFAULT '' NOT NULL,
    mark TEXT DEFAULT '' NOT NULL,
    over TEXT DEFAULT '' NOT NULL,
    PRIMARY KEY (lot, number),
    FOREIGN KEY(lot) REFERENCES lot (id)
);

CREATE TABLE planned (
    lot INTEGER NOT NULL,
    number INTEGER NOT NULL,
    do TEXT NOT NULL,
    said TEXT DEFAULT '' NOT NULL,
    sentence TEXT DEFAULT '' NOT NULL,
    doses TEXT DEFAULT '' NOT NULL,
    start_min FLOAT,
    minutes FLOAT,
    cautions TEXT DEFAULT '' NOT NULL,
    cautions_in TEXT DEFAULT '' NOT NULL,
    notes TEXT DEFAULT '' NOT NULL,
    PRIMARY KEY (lot, number),
    FOREIGN KEY(lot) REFERENCES lot (id)
);

CREATE TABLE solution_part (
    owner INTEGER NOT NULL,
    position INTEGER NOT NULL,
    name TEXT NOT NULL,
    share FLOAT NOT NULL,
    PRIMARY KEY (owner, position),
    FOREIGN KEY(owner) REFERENCES solution (id) ON DELETE CASCADE
);

CREATE TABLE swatch (
    owner INTEGER NOT NULL,
    position INTEGER NOT NULL,
    depth FLOAT NOT NULL,
    "L" FLOAT NOT NULL,
    a FLOAT NOT NULL,
    b FLOAT NOT NULL,
    illuminant TEXT DEFAULT '' NOT NULL,
    observer INTEGER NOT NULL,
    reading TEXT DEFAULT '' NOT NULL,
    base TEXT DEFAULT '' NOT NULL,
    said TEXT DEFAULT '' NOT NULL,
    spectrum TEXT DEFAULT '' NOT NULL,
    repeats INTEGER NOT NULL,
    read_on DATE,
    PRIMARY KEY (owner, position),
    FOREIGN KEY(owner) REFERENCES dye (id) ON DELETE CASCADE
);

CREATE TABLE use (
    id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    entry INTEGER NOT NULL,
    lot INTEGER NOT NULL,
    kind TEXT DEFAULT '' NOT NULL,
    name TEXT DEFAULT '' NOT NULL,
    amount FLOAT NOT NULL,
    unit TEXT DEFAULT '' NOT NULL,
    FOREIGN KEY(entry) REFERENCES entry (id),
    FOREIGN KEY(lot) REFERENCES lot (id)
);

CREATE INDEX use_by_lot ON use (lot, id);
"""

TRIGGERS = """
CREATE TRIGGER {table}_is_not_changed BEFORE UPDATE ON {quoted}
BEGIN SELECT RAISE(ABORT, 'the record of a lot can only be added to'); END;

CREATE TRIGGER {table}_is_not_deleted BEFORE DELETE ON {quoted}
BEGIN SELECT RAISE(ABORT, 'the record of a lot can only be added to'); END;
"""


def upgrade() -> None:
    """Makes all tables and the triggers that keep the record append-only."""
    for statement in TABLES.split(";\n"):
        if statement.strip():
            op.execute(statement)
    for table in ("entry", "use"):
        for trigger in TRIGGERS.format(table=table, quoted=f'"{table}"').split("\n\n"):
            op.execute(trigger)


def downgrade() -> None:
    """There is nothing before the first revision."""
    raise NotImplementedError("A studio file is not taken back to an older revision; restore the backup that was made before it.")
