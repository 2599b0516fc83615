"""Every kind of entry as a table: one header, readings as read and in SI, and nothing that would run."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import math
import re
import sys
from dataclasses import fields, replace
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldapp.exchange.tables.entry_tables import entry_tables, tables_of_kind
from fieldapp.exchange.tables.files import csv_bytes, is_named_in, json_bytes, schema_bytes
from fieldapp.exchange.tables.found_tables import CREDITS, FINDINGS, SHAFTS
from fieldapp.exchange.tables.table import UNIT_ENDINGS, Cell, Column, Filled, Table, snake
from fieldapp.exchange.tables.workbook import workbook_bytes
from fieldapp.record.codec import field_types
from fieldapp.record.decisions import Amend, Strike
from fieldapp.record.entry import ChainHead, Draft, seal
from fieldapp.record.fold import Line
from fieldapp.record.hole import Note
from fieldapp.record.kinds import KINDS, PROJECT_KINDS
from fieldapp.record.reading import Impossible
from tests.support.examples import EXAMPLES, MORNING

TEXT = Table("t", "one text", (Column("text", "string", "a text"),))


def entries():
    """Every example as an entry of one chain."""
    head = ChainHead("tablet north")
    for number, values in enumerate(EXAMPLES, 1):
        about = None if values.KIND in PROJECT_KINDS else "P1-1"
        name = f"019e1d46-3180-75b4-904d-{number:012x}"
        draft = Draft(name, "larkwater", about, values, MORNING, MORNING, "Inspector A")
        entry = seal(draft, head, number)
        head = ChainHead(head.device, entry.seq, entry.hash)
        yield entry


def filled() -> dict[str, Filled]:
    made = list(entries())
    lines = [Line(each, each.values, MORNING) for each in made if not isinstance(each.values, Amend | Strike)]
    changes = [each for each in made if isinstance(each.values, Amend | Strike)]
    return {each.table.name: each for each in entry_tables(lines, changes)}


def read(content: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(content.decode("utf-8"), newline=""), strict=True))


def test_every_kind_has_a_table_and_every_example_a_row():
    found = filled()
    assert {snake(kind) for kind in KINDS} <= set(found)
    assert {each.KIND for each in EXAMPLES} == set(KINDS)
    for values in EXAMPLES:
        assert found[snake(values.KIND)].rows, values.KIND


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_every_field_of_a_kind_stands_in_its_table_or_in_one_under_it(kind):
    tables = tables_of_kind(kind)
    for table in tables:
        names = [each.name for each in table.columns]
        assert len(set(names)) == len(names)
        assert all(each.says.strip() and each.name == each.name.lower() for each in table.columns)
    columns = {each.name for each in tables[0].columns}
    beside = {each.name for each in tables[1:]}
    for each in fields(KINDS[kind]):
        own = f"{snake(kind)}_{each.name}"
        told = any(name == each.name or name.startswith(f"{each.name}_") or name == own for name in columns)
        assert told or own in beside, f"{each.name} of {kind}"
    assert field_types(KINDS[kind])


def test_a_reading_is_told_as_it_was_read_and_in_metres():
    """61' 5" is 61 5/12 ft of 0.3048 m each (exact by definition, NIST SP 811): 18.7198 m."""
    (row,) = filled()["excavation_stage"].rows
    assert (row["to_depth_read"], row["to_depth_unit"]) == ("61' 5\"", "ft-in")
    assert math.isclose(float(row["to_depth_m"] or 0), 18.7198, rel_tol=1e-12)
    assert math.isclose(float(row["from_depth_m"] or 0), 12.192, rel_tol=1e-12)


def test_csv_read_by_any_reader_says_the_same_as_the_json():
    found = tuple(filled().values())
    told = json.loads(json_bytes(found))
    for each in found:
        rows = read(csv_bytes(each))
        assert len(rows) == len(told[each.table.name])
        for by_csv, by_json in zip(rows, told[each.table.name], strict=True):
            shown = {name: cell.removeprefix("'") for name, cell in by_csv.items()}
            assert {name: as_written(cell) for name, cell in by_json.items()} == shown


def as_written(cell: Cell) -> str:
    """A JSON cell as it stands in CSV when it is no text that a spreadsheet could run."""
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return str(cell).lower()
    return repr(cell) if isinstance(cell, float) else str(cell)


def test_every_column_is_in_the_schema_and_nothing_else():
    found = [each.table for each in filled().values()] + [SHAFTS, FINDINGS, CREDITS]
    lines = b'{"an":"entry"}\n'
    schema = schema_bytes("Larkwater Crossing+2", "says", found, ("journal.jsonl", lines))
    package = json.loads(schema)
    assert package["name"] == "larkwater-crossing-2"
    assert package["journal"]["hash"] == f"sha256:{hashlib.sha256(lines).hexdigest()}"
    assert is_named_in(schema, "journal.jsonl", lines) is True
    assert is_named_in(schema, "journal.jsonl", lines[:-1]) is False
    assert is_named_in(schema, "another.jsonl", lines) is None
    assert is_named_in(b"{}", "journal.jsonl", lines) is None
    assert is_named_in(b"[1.5", "journal.jsonl", lines) is None
    named = {
        each["name"]: [field["name"] for field in each["schema"]["fields"]] for each in package["resources"]
    }
    assert named == {each.name: [column.name for column in each.columns] for each in found}


def test_a_column_in_si_ends_in_its_unit():
    endings = set(UNIT_ENDINGS.values()) | {"si", "mn"}
    for kind in KINDS:
        for table in tables_of_kind(kind):
            for column in (each for each in table.columns if each.type == "number"):
                assert any(column.name.endswith(f"_{each}") for each in endings), column.name


# --- what a spreadsheet would run -------------------------------------------------------------------------

HOSTILE = [
    "=1+1", "+1+cmd|' /C calc'!A0", "-2+3+cmd|' /C calc'!A0", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "＝1+1",
    "'=1", "--1", "=HYPERLINK(\"http://x\",\"y\")",
]  # fmt: skip


@pytest.mark.parametrize("text", HOSTILE)
def test_a_text_that_would_run_stands_behind_an_apostrophe(text):
    (row,) = read(csv_bytes(Filled(TEXT, ({"text": text},))))
    assert row["text"] == f"'{text}"


@pytest.mark.parametrize("text", ["-0.5", "-1' 3 1/2\"", "+12", "sand, 4 %", "5032.50", "a=b", "P1-1"])
def test_what_is_read_on_site_stays_as_it_is(text):
    (row,) = read(csv_bytes(Filled(TEXT, ({"text": text},))))
    assert row["text"] == text


@given(st.text(max_size=60))
def test_any_text_comes_back_and_none_runs(text):
    (row,) = read(csv_bytes(Filled(TEXT, ({"text": text},)))) or ({"text": ""},)
    shown = row["text"]
    back = shown.removeprefix("'") if shown.startswith("'") else shown
    assert back == text
    if shown and shown[0] in "=+-@\t\r\n＝＋－＠":
        assert set(shown) <= set("+-0123456789.,'\"/ ")


def test_a_workbook_holds_the_same_and_no_formula():
    hostile = Filled(TEXT, tuple({"text": each} for each in HOSTILE if "\r" not in each))
    found = [*filled().values(), hostile]
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(found)))
    with_rows = [each for each in found if each.rows]
    assert len(book.sheetnames) == len(with_rows) + 1
    for sheet, each in zip(book.worksheets[1:], with_rows, strict=True):
        names = [column.name for column in each.table.columns]
        assert [cell.value for cell in sheet[1]] == names
        for line, row in enumerate(each.rows, 2):
            for place, name in enumerate(names, 1):
                cell = sheet.cell(line, place)
                assert cell.data_type != "f"
                assert cell.hyperlink is None
                wanted = row.get(name) if row.get(name) != "" else None
                if isinstance(wanted, float):  # a workbook keeps 16 digits
                    assert math.isclose(cell.value, wanted, rel_tol=1e-15), (name, line)
                else:
                    assert cell.value == wanted, (name, line)


def test_a_note_keeps_the_letters_of_every_script(tmp_path):
    text = 'Größe, μέγεθος, размер; "quoted", a\nnew line'
    (entry,) = (each for each in entries() if isinstance(each.values, Note))
    line = Line(replace(entry), Note(text), MORNING)
    table = next(each for each in entry_tables([line], []) if each.table.name == "note")
    assert read(csv_bytes(table))[0]["text"] == text
    assert json.loads(json_bytes([table]))["note"][0]["text"] == text


def test_without_the_library_the_workbook_says_how_to_install_it(monkeypatch):
    monkeypatch.setitem(sys.modules, "xlsxwriter", None)  # as if it were not installed
    how = ".venv/bin/pip install '.[xlsx]'"
    with pytest.raises(Impossible, match=re.escape(how)):
        workbook_bytes([])
    assert how in (Path(__file__).parents[3] / "README.md").read_text("utf-8")
