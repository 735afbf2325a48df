-- A studio file of revision 0001, as SQL text: what Skeinwright wrote before lots and colourways had text to search.
PRAGMA application_id=1936420471;
BEGIN TRANSACTION;
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
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0001');
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
INSERT INTO "base" VALUES(1,'Quay Sock','quay sock',0,1,'2026-11-24T09:30:05.000250+01:00',100.0,400000.0,NULL,NULL,'medium',NULL,NULL,NULL,NULL,'',NULL,NULL,NULL,'','',NULL,NULL,NULL,'');
CREATE TABLE base_fibre (
    owner INTEGER NOT NULL,
    position INTEGER NOT NULL,
    name TEXT NOT NULL,
    share FLOAT NOT NULL,
    PRIMARY KEY (owner, position),
    FOREIGN KEY(owner) REFERENCES base (id) ON DELETE CASCADE
);
INSERT INTO "base_fibre" VALUES(1,0,'wool',0.75);
INSERT INTO "base_fibre" VALUES(1,1,'nylon',0.25);
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
CREATE TABLE blend_part (
    owner INTEGER NOT NULL,
    position INTEGER NOT NULL,
    name TEXT NOT NULL,
    share FLOAT NOT NULL,
    PRIMARY KEY (owner, position),
    FOREIGN KEY(owner) REFERENCES blend (id) ON DELETE CASCADE
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
INSERT INTO "change" VALUES(1,'2026-11-24T09:30:05.000250+01:00','Added dye Kelp.','dye',1,NULL,'{"name":"Kelp","maker":"","dye_class":"not known","maker_acid":"","maker_heat":"","strength":1.0,"jar_g":null,"price_minor":null,"on_hand_g":null,"batch":"","supplier_statement":"","safety_sheet":"","notes":"","swatches":[{"depth":0.02,"lab":{"L":40,"a":-10,"b":5,"illuminant":"D65","observer":10},"reading":"typed Lab","base":"Quay Sock","said":"","spectrum":[],"repeats":1,"read_on":null}],"archived":false}',0,NULL);
INSERT INTO "change" VALUES(2,'2026-11-24T09:30:05.000250+01:00','Added base Quay Sock.','base',1,NULL,'{"name":"Quay Sock","fibres":[["wool",0.75],["nylon",0.25]],"skein_g":100,"length_mm":400000.0,"superwash":null,"plies":null,"twist":"medium","round_mm":null,"undyed":null,"price_minor":null,"on_hand":null,"batch":"","maker":"","strike_factor":null,"relax_length":null,"relax_width":null,"notes":"","archived":false}',0,NULL);
INSERT INTO "change" VALUES(3,'2026-11-24T09:30:05.000250+01:00','Added colourway Tidewrack.','colourway',1,NULL,'{"name":"Tidewrack","steps":[{"do":"fill","said":{"volume":"4 l"}},{"do":"add dye","said":{"dye":"Kelp","depth":"0.8 %"}},{"do":"add dye","said":{"recipe":"Kelp 0.5 %, Kelp Deep 0.2 %"}},{"do":"sprinkle","said":{"blend":"Foam","amount":"0.15 g","over":"all"}},{"do":"note","said":{"text":"Kelp smells"}}],"fibre":"2 skeins of 115 g","bases":["Quay Sock","Pier DK"],"water":"Tap","vessel":"Pan","notes":"Grey like the sea.","over":"2026-11-20-A","own_base":null,"own_water":null,"own_vessel":null,"own_dyes":[],"water_volume":"","archived":false}',0,NULL);
INSERT INTO "change" VALUES(4,'2026-11-24T09:30:05.000250+01:00','Added colourway Carried.','colourway',2,NULL,'{"name":"Carried","steps":[{"do":"soak","said":{}}],"fibre":"100 g","bases":[],"water":"","vessel":"","notes":"","over":"","own_base":{"name":"Loose","fibres":[["wool",1.0]],"skein_g":100.0,"length_mm":400000.0,"superwash":null,"plies":null,"twist":"medium","round_mm":null,"undyed":{"L":92,"a":0,"b":8,"illuminant":"D65","observer":10},"price_minor":null,"on_hand":null,"batch":"","maker":"","strike_factor":null,"relax_length":null,"relax_width":null,"notes":""},"own_water":{"name":"Rain","alkalinity_mg_l":5.0,"ph":null,"source":"","measured_on":"2026-01-02","notes":""},"own_vessel":{"name":"Tray","shape":"rectangle","length_mm":500,"width_mm":300,"height_mm":100,"material":"not known","lid":false,"mass_g":null,"notes":""},"own_dyes":[{"name":"Ember","maker":"","dye_class":"not known","maker_acid":"","maker_heat":"","strength":1.0,"jar_g":null,"price_minor":null,"on_hand_g":null,"batch":"","supplier_statement":"","safety_sheet":"","notes":"","swatches":[{"depth":0.02,"lab":{"L":45,"a":50,"b":40,"illuminant":"D65","observer":10},"reading":"hex","base":"","said":"","spectrum":[[400.0,0.1]],"repeats":1,"read_on":null}]}],"water_volume":"1.9 l","archived":false}',0,NULL);
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
INSERT INTO "colourway" VALUES(1,'Tidewrack','tidewrack',0,1,'2026-11-24T09:30:05.000250+01:00','2 skeins of 115 g','Tap','Pan','Grey like the sea.','2026-11-20-A','',NULL,NULL,NULL,'');
INSERT INTO "colourway" VALUES(2,'Carried','carried',0,1,'2026-11-24T09:30:05.000250+01:00','100 g','','','','','1.9 l','{"name":"Loose","fibres":[["wool",1.0]],"skein_g":100.0,"length_mm":400000.0,"superwash":null,"plies":null,"twist":"medium","round_mm":null,"undyed":{"L":92,"a":0,"b":8,"illuminant":"D65","observer":10},"price_minor":null,"on_hand":null,"batch":"","maker":"","strike_factor":null,"relax_length":null,"relax_width":null,"notes":""}','{"name":"Rain","alkalinity_mg_l":5.0,"ph":null,"source":"","measured_on":"2026-01-02","notes":""}','{"name":"Tray","shape":"rectangle","length_mm":500,"width_mm":300,"height_mm":100,"material":"not known","lid":false,"mass_g":null,"notes":""}','[{"name":"Ember","maker":"","dye_class":"not known","maker_acid":"","maker_heat":"","strength":1.0,"jar_g":null,"price_minor":null,"on_hand_g":null,"batch":"","supplier_statement":"","safety_sheet":"","notes":"","swatches":[{"depth":0.02,"lab":{"L":45,"a":50,"b":40,"illuminant":"D65","observer":10},"reading":"hex","base":"","said":"","spectrum":[[400.0,0.1]],"repeats":1,"read_on":null}]}]');
CREATE TABLE colourway_base (
    owner INTEGER NOT NULL,
    position INTEGER NOT NULL,
    name TEXT NOT NULL,
    PRIMARY KEY (owner, position),
    FOREIGN KEY(owner) REFERENCES colourway (id) ON DELETE CASCADE
);
INSERT INTO "colourway_base" VALUES(1,0,'Quay Sock');
INSERT INTO "colourway_base" VALUES(1,1,'Pier DK');
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
INSERT INTO "colourway_step" VALUES(1,0,'fill','{"volume": "4 l"}');
INSERT INTO "colourway_step" VALUES(1,1,'add dye','{"dye": "Kelp", "depth": "0.8 %"}');
INSERT INTO "colourway_step" VALUES(1,2,'add dye','{"recipe": "Kelp 0.5 %, Kelp Deep 0.2 %"}');
INSERT INTO "colourway_step" VALUES(1,3,'sprinkle','{"blend": "Foam", "amount": "0.15 g", "over": "all"}');
INSERT INTO "colourway_step" VALUES(1,4,'note','{"text": "Kelp smells"}');
INSERT INTO "colourway_step" VALUES(2,0,'soak','');
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
INSERT INTO "dye" VALUES(1,'Kelp','kelp',0,1,'2026-11-24T09:30:05.000250+01:00','','not known','','',1.0,NULL,NULL,NULL,'','','','');
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
INSERT INTO "entry" VALUES(1,1,'tick','2026-11-24T09:30:05.000250+01:00','2026-11-24T09:40:05.000250+01:00',1,'Pan',NULL,'',NULL,'','',NULL,NULL,'','');
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
CREATE TABLE leftover_dye (
    owner INTEGER NOT NULL,
    position INTEGER NOT NULL,
    name TEXT NOT NULL,
    share FLOAT NOT NULL,
    PRIMARY KEY (owner, position),
    FOREIGN KEY(owner) REFERENCES leftover (id) ON DELETE CASCADE
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
INSERT INTO "lot" VALUES(1,'2026-11-24-A','2026-11-24','Tidewrack for the fair','Tidewrack','{"name":"Tidewrack","steps":[{"do":"fill","said":{"volume":"4 l"}},{"do":"add dye","said":{"dye":"Kelp","depth":"0.8 %"}},{"do":"add dye","said":{"recipe":"Kelp 0.5 %, Kelp Deep 0.2 %"}},{"do":"sprinkle","said":{"blend":"Foam","amount":"0.15 g","over":"all"}},{"do":"note","said":{"text":"Kelp smells"}}],"fibre":"2 skeins of 115 g","bases":["Quay Sock","Pier DK"],"water":"Tap","vessel":"Pan","notes":"Grey like the sea.","over":"2026-11-20-A","own_base":null,"own_water":null,"own_vessel":null,"own_dyes":[],"water_volume":""}',1,'2026-11-01-A',0,'for Nell','24 November','["The water is 120 mg/L."]','["The pot is small."]','[{"kind":"dye","name":"Kelp","said":"batch 12, 80 %"}]','under way',0.25);
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
INSERT INTO "lot_row" VALUES(1,1,'Quay Sock',3,100.0,'Pan','2 ties','2026-11-20-A');
INSERT INTO "lot_row" VALUES(1,2,'Pier DK',1,115.0,'Pot','','');
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
INSERT INTO "planned" VALUES(1,1,'add dye','{"dye": "Kelp", "depth": "0.8 %"}','Add 0.8 % of Kelp','[{"vessel":"Pan","kind":"dye","name":"Kelp","amount":2.4,"unit":"g","said":"2.40 g"},{"vessel":"Pot","kind":"dye","name":"Kelp","amount":0.92,"unit":"g","said":""}]',12.5,2.0,'["powder"]','[["Pan","heavy"]]','["Assumed 100 %."]');
INSERT INTO "planned" VALUES(1,2,'turn','','Turn the yarn over','',NULL,NULL,'','','');
CREATE TABLE setting (
    "key" TEXT NOT NULL,
    value TEXT NOT NULL,
    PRIMARY KEY ("key")
);
INSERT INTO "setting" VALUES('studio','"An old studio"');
INSERT INTO "setting" VALUES('spoons','"au"');
INSERT INTO "setting" VALUES('drop_ml','0.05');
INSERT INTO "setting" VALUES('currency','""');
INSERT INTO "setting" VALUES('altitude_m','0.0');
INSERT INTO "setting" VALUES('energy_price_minor','null');
INSERT INTO "setting" VALUES('drain_low_ph','6.0');
INSERT INTO "setting" VALUES('drain_high_ph','9.0');
INSERT INTO "setting" VALUES('drain_source','""');
INSERT INTO "setting" VALUES('demo','false');
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
INSERT INTO "swatch" VALUES(1,0,0.02,40.0,-10.0,5.0,'D65',10,'typed Lab','Quay Sock','','',1,NULL);
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
INSERT INTO "use" VALUES(1,1,1,'dye','Kelp',2.4,'g');
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
CREATE INDEX entry_by_lot ON entry (lot, id);
CREATE INDEX use_by_lot ON use (lot, id);
CREATE TRIGGER entry_is_not_changed BEFORE UPDATE ON "entry"
BEGIN SELECT RAISE(ABORT, 'the record of a lot can only be added to'); END;
CREATE TRIGGER entry_is_not_deleted BEFORE DELETE ON "entry"
BEGIN SELECT RAISE(ABORT, 'the record of a lot can only be added to'); END;
CREATE TRIGGER use_is_not_changed BEFORE UPDATE ON "use"
BEGIN SELECT RAISE(ABORT, 'the record of a lot can only be added to'); END;
CREATE TRIGGER use_is_not_deleted BEFORE DELETE ON "use"
BEGIN SELECT RAISE(ABORT, 'the record of a lot can only be added to'); END;
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('acid',0);
INSERT INTO "sqlite_sequence" VALUES('auxiliary',0);
INSERT INTO "sqlite_sequence" VALUES('base',1);
INSERT INTO "sqlite_sequence" VALUES('blend',0);
INSERT INTO "sqlite_sequence" VALUES('change',4);
INSERT INTO "sqlite_sequence" VALUES('colourway',2);
INSERT INTO "sqlite_sequence" VALUES('colourway_set',0);
INSERT INTO "sqlite_sequence" VALUES('dye',1);
INSERT INTO "sqlite_sequence" VALUES('heat',0);
INSERT INTO "sqlite_sequence" VALUES('leftover',0);
INSERT INTO "sqlite_sequence" VALUES('lot',1);
INSERT INTO "sqlite_sequence" VALUES('photo',0);
INSERT INTO "sqlite_sequence" VALUES('solution',0);
INSERT INTO "sqlite_sequence" VALUES('vessel',0);
INSERT INTO "sqlite_sequence" VALUES('water',0);
INSERT INTO "sqlite_sequence" VALUES('entry',1);
INSERT INTO "sqlite_sequence" VALUES('use',1);
COMMIT;
