"""Files in and out: a preview before anything is written, errors row by row, and what was written out reads back as the same."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from skeinwright.core.foundations.errors import BadInput, Conflict, ManyBadInputs
from skeinwright.core.shelf.items import KINDS
from skeinwright.files.documents import read_document, write_document
from skeinwright.files.names import file_name
from skeinwright.files.tables import guarded, read_table, unguarded, write_table
from skeinwright.services.add_swatch import add_swatch
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.export_shelf import export_shelf
from skeinwright.services.get_from_shelf import get_from_shelf
from skeinwright.services.import_shelf import import_shelf
from skeinwright.services.list_changes import list_changes
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.preview_shelf_import import ShelfFile, preview_shelf_import
from skeinwright.services.studio import Studio
from skeinwright.services.undo_change import undo_change
from skeinwright.store.store import Store

DYES = """name;Strength;jar_g;notes
Kelp;80 %;50 g;"with; a semicolon"
Ember;150 % ;50 g;
Rosehip;;50;no unit
;100 %;50 g;no name
Kelp;70 %;20 g;twice
"""


def test_preview_says_what_each_row_would_do_and_writes_nothing(studio: Studio) -> None:
    add_to_shelf(studio, "dye", {"name": "Kelp", "strength": "100 %", "maker": "stays"})
    preview = preview_shelf_import(studio, ShelfFile(data=DYES.encode(), name="dyes.csv"))
    assert [(row.number, row.name, row.status) for row in preview.rows] == [
        (2, "Kelp", "changed"),
        (3, "Ember", "new"),
        (4, "Rosehip", "wrong"),
        (5, "", "wrong"),
        (6, "Kelp", "wrong"),
    ]
    kelp = preview.rows[0]
    assert kelp.thing is not None
    assert kelp.thing.maker == "stays"
    assert "Strength: 100 % -> 80 %" in kelp.differs
    assert [{problem.where for problem in row.problems} for row in preview.rows[2:]] == [{"jar_g"}, {"name"}, {"name"}]
    assert (preview.count("new"), preview.count("wrong")) == (1, 3)
    assert len(list_changes(studio)) == 1


def test_a_wrong_row_stops_the_whole_import_unless_it_is_left_out(studio: Studio) -> None:
    file = ShelfFile(data=DYES.encode(), name="dyes.csv")
    with pytest.raises(ManyBadInputs) as wrong:
        import_shelf(studio, file)
    assert [problem.where for problem in wrong.value.problems] == ["dyes.csv, line 4, jar_g", "dyes.csv, line 5, name", "dyes.csv, line 6, name"]
    assert list_shelf(studio, "dye") == []
    done = import_shelf(studio, file, leave_out_wrong=True)
    assert [kept.thing.name for kept in list_shelf(studio, "dye")] == ["Ember", "Kelp"]
    assert get_from_shelf(studio, "dye", "Kelp").thing.notes == "with; a semicolon"
    assert import_shelf(studio, file, leave_out_wrong=True).changes == ()  # all the same now
    for change in reversed(done.changes):
        undo_change(studio, change.id)
    assert list_shelf(studio, "dye") == []


def test_a_file_that_does_not_say_what_it_is_asks(studio: Studio) -> None:
    with pytest.raises(BadInput, match="Say what the rows are"):
        preview_shelf_import(studio, ShelfFile(data=b"name,strength\nKelp,80 %\n", name="list.csv"))
    assert preview_shelf_import(studio, ShelfFile(data=b"name,strength\nKelp,80 %\n", name="list.csv", kind="dye")).count("new") == 1
    assert (
        preview_shelf_import(studio, ShelfFile(data=b"kind,name,shape,length_mm,height_mm\nvessel,Pot,round,30 cm,20 cm\n", name="list.csv")).rows[0].kind
        == "vessel"
    )


SWATCHES = """dye,depth_pct,L,a,b,base
Kelp,0.5,70.1,-8.2,3,Quay Sock
Kelp,2,41.2,-20,5,Quay Sock
Ember,1,55,48,40,Quay Sock
,0,92,0,8,Quay Sock
,0,91,0,9,
Ember,x,55,48,40,Quay Sock
Ember,30,55,48,40,Quay Sock
"""


def test_swatch_tables_make_and_fill_dyes_and_bases(studio: Studio) -> None:
    add_to_shelf(studio, "base", {"name": "Quay Sock", "fibres": "100 % wool", "skein_g": "100 g", "length_mm": "400 m"})
    file = ShelfFile(data=SWATCHES.encode("utf-16"), name="mine.csv")
    preview = preview_shelf_import(studio, file)
    assert {(row.kind, row.name, row.status) for row in preview.rows} == {
        ("dye", "Kelp", "new"),
        ("dye", "Ember", "new"),
        ("base", "Quay Sock", "changed"),
        ("dye", "Ember", "wrong"),
    }
    assert len(preview.notes) == 1
    import_shelf(studio, file, leave_out_wrong=True)
    kelp = get_from_shelf(studio, "dye", "Kelp").thing
    assert [(swatch.depth, swatch.lab.values, swatch.lab.observer) for swatch in kelp.swatches] == [
        (0.005, (70.1, -8.2, 3.0), 10),
        (0.02, (41.2, -20.0, 5.0), 10),
    ]
    assert get_from_shelf(studio, "base", "Quay Sock").thing.undyed.values == (92.0, 0.0, 8.0)
    assert {row.status for row in preview_shelf_import(studio, file).rows} == {"same", "wrong"}


def test_measured_spectra_and_hex_come_in(studio: Studio) -> None:
    bands = ",".join(f"R{nm}" for nm in range(400, 701, 20))
    grey = ",".join("0.184187" for _ in range(400, 701, 20))
    import_shelf(studio, ShelfFile(data=f"dye,depth_pct,{bands}\nKelp,1,{grey}\n".encode(), name="spectra.csv"))
    (swatch,) = get_from_shelf(studio, "dye", "Kelp").thing.swatches
    assert len(swatch.spectrum) == 16
    # a spectrum flat at 0.184187 has Y/Yn = 0.184187, so L = 116 * 0.184187^(1/3) - 16 = 50.000 and a = b = 0 under any light
    assert swatch.lab.values == pytest.approx((50.0, 0.0, 0.0), abs=0.001)
    import_shelf(studio, ShelfFile(data=b"dye,depth_pct,hex\nEmber,1,#ffffff\n", name="hex.csv"))
    assert get_from_shelf(studio, "dye", "Ember").thing.swatches[0].lab.values == pytest.approx((100, 0, 0), abs=0.05)


def full_shelf(studio: Studio) -> None:
    said = {
        "dye": {"name": "Kelp", "strength": "80 %", "jar_g": "50 g", "notes": "=1+1\nsecond line", "maker": "+49 'quoted' \"twice\""},
        "solution": {"name": "Kelp 1 %", "parts": "3 Kelp : 1 Ember", "strength": "1 %", "made_on": "2026-11-01", "volume_ml": "1/3 cup"},
        "blend": {"name": "Foam", "parts": "2 Kelp : 1 Ember", "grain_mm": "0.12 mm"},
        "auxiliary": {"name": "Salt", "does": "salt", "pack_g": "1 kg"},
        "leftover": {"name": "Dregs", "volume_ml": "0.9 l", "dyes_g": "Kelp 0.2 g", "ph": "4.5"},
        "base": {
            "name": "Quay Sock",
            "fibres": "75 % wool, 25 % nylon",
            "skein_g": "115 g",
            "length_mm": "437 yd",
            "plies": "4",
            "undyed": "92, 0, 8",
            "superwash": "yes",
        },
        "acid": {"name": "White", "acid": "vinegar", "strength": "5 %"},
        "water": {"name": "Tap", "alkalinity_mg_l": "7 dH", "ph": "7.5"},
        "vessel": {"name": "Pan", "shape": "rectangle", "length_mm": "50 cm", "width_mm": "12 in", "height_mm": "10 cm", "lid": "no"},
        "heat": {"name": "Left", "does": "burner", "power_w": "2 kW", "holds": "1"},
    }
    assert set(said) == set(KINDS)
    for kind, words in said.items():
        add_to_shelf(studio, kind, words)
    add_swatch(studio, "Kelp", {"depth": "1/3 %", "colour": "41.2, -8, -20", "read_on": "2026-10-31", "base": "Quay Sock", "repeats": "2"})
    add_swatch(studio, "Kelp", {"depth": "2 %", "colour": "#3a5f7b"})


def on_shelf(studio: Studio) -> dict:
    return {kind: [kept.thing for kept in list_shelf(studio, kind)] for kind in KINDS}


@pytest.fixture
def empty(tmp_path: Path):
    path = tmp_path / "other" / "studio.skeinwright"
    store = Store.open(path)
    yield lambda now: Studio(path=path, store=store, photos=path.parent / "photos", now=now)
    store.close()


def test_one_toml_carries_the_whole_shelf(studio: Studio, empty) -> None:
    full_shelf(studio)
    there = empty(studio.now)
    written = export_shelf(studio)
    import_shelf(there, ShelfFile(data=written.data, name=written.name))
    assert on_shelf(there) == on_shelf(studio)
    assert {row.status for row in preview_shelf_import(studio, ShelfFile(data=written.data, name=written.name)).rows} == {"same"}


def test_csv_files_carry_the_shelf_kind_by_kind(studio: Studio, empty) -> None:
    full_shelf(studio)
    there = empty(studio.now)
    for what in (*KINDS, "swatches"):
        written = export_shelf(studio, what)
        import_shelf(there, ShelfFile(data=written.data, name=written.name))
    assert on_shelf(there) == on_shelf(studio)


def test_no_cell_of_an_export_is_run_by_a_spreadsheet(studio: Studio) -> None:
    full_shelf(studio)
    for line in read_raw(export_shelf(studio, "dye").data.decode("utf-8-sig")):
        assert not any(cell.startswith(("=", "+", "-", "@", "\t", "\r")) for cell in line), line


def read_raw(text: str) -> list[list[str]]:
    import csv
    import io

    return list(csv.reader(io.StringIO(text, newline="")))


@pytest.mark.parametrize(
    ("text", "cell"),
    [
        ("=1+1", "'=1+1"),
        ("+49", "+49"),
        ("-8.2", "-8.2"),
        ("-8.2 and", "'-8.2 and"),
        ("@x", "'@x"),
        ("\tx", "'\tx"),
        ("\rx", "'\rx"),
        ("'=x", "''=x"),
        ("'tis", "'tis"),
        ("", ""),
        (-3.5, -3.5),
        (None, ""),
    ],
)
def test_guarding(text: object, cell: object) -> None:
    assert guarded(text) == cell
    if isinstance(text, str):
        assert unguarded(str(cell)) == text


tricky = st.text(st.sampled_from(list("=+-@\t\r\n'\",;: aä0")), max_size=6)


@settings(max_examples=150, deadline=None, database=None)
@given(st.lists(st.tuples(tricky, tricky), max_size=3))
def test_any_table_reads_back(rows: list[tuple[str, str]]) -> None:
    written = write_table(["one", "two"], [{"one": one, "two": two} for one, two in rows])
    back = [(row.cells.get("one", ""), row.cells.get("two", "")) for row in read_table(written).rows]
    assert back == [(one.strip(), two.strip()) for one, two in rows if guarded(one).strip() or guarded(two).strip()]


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_tables_are_read_however_they_were_saved(separator: str, encoding: str) -> None:
    text = separator.join(["name", "Größe"]) + "\r\n\r\n" + separator.join(["Käfer", '"a,b;c"']) + "\r\n"
    table = read_table(text.encode(encoding))
    assert table.columns == ("name", "Größe")
    assert [(row.number, dict(row.cells)) for row in table.rows] == [(3, {"name": "Käfer", "Größe": "a,b;c"})]


@pytest.mark.parametrize(
    ("text", "says"), [("", "empty"), ("a,a\n1,2\n", "twice"), ("a,b\n1,2,3\n", "3 cells"), ('a,b\n"1,2\n', "quotation"), ("a\0,b\n", "text")]
)
def test_tables_that_cannot_be_read_say_where(text: str, says: str) -> None:
    with pytest.raises(BadInput, match=says) as wrong:
        read_table(text.encode(), name="mine.csv")
    assert (wrong.value.where or "").startswith("mine.csv")


plain = st.text(st.characters(codec="utf-8", exclude_categories=("Cs",)), max_size=8)
scalars = plain | st.booleans() | st.integers(-(2**53), 2**53) | st.floats(allow_nan=False, allow_infinity=False) | st.dates()
documents = st.recursive(
    st.dictionaries(plain, scalars | st.lists(scalars, max_size=3), max_size=4),
    lambda inner: st.dictionaries(plain, scalars | inner | st.lists(inner, min_size=1, max_size=2), max_size=3),
    max_leaves=8,
)


@settings(max_examples=120, deadline=None, database=None)
@given(documents)
def test_any_document_reads_back(document: dict) -> None:
    assert read_document(write_document(document)) == document


def test_a_wrong_document_names_line_and_column() -> None:
    with pytest.raises(BadInput) as wrong:
        read_document(b'name = "Tidewrack"\n[fibre\n', name="tidewrack.toml")
    assert wrong.value.where == "tidewrack.toml, line 2, column 7"


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("Tide & Wrack/2", "Tide-Wrack-2.toml"),
        ("..", "skeinwright.toml"),
        ("Åre", "Åre.toml"),
        ("con", "con-.toml"),
        ("x" * 300, "x" * 80 + ".toml"),
        ("../../etc/passwd", "etc-passwd.toml"),
    ],
)
def test_file_names_are_valid_everywhere(title: str, name: str) -> None:
    assert file_name(title, "toml") == name


def test_a_row_for_a_thing_with_a_taken_name_in_another_case_changes_it(studio: Studio) -> None:
    add_to_shelf(studio, "dye", {"name": "Kelp"})
    import_shelf(studio, ShelfFile(data=b"name,strength\nKELP,80 %\n", name="dye.csv"))
    (kept,) = list_shelf(studio, "dye")
    assert (kept.thing.name, kept.thing.strength, kept.revision) == ("KELP", 0.8, 2)
    with pytest.raises(Conflict):
        add_to_shelf(studio, "dye", {"name": "kelp"})
