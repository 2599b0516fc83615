"""Read tables: plain, explained, equal to a rebuild, and rebuilt when they are of another version."""

from __future__ import annotations

from pathlib import Path

import pytest
from sqlite_utils import Database

from fieldapp.record.decisions import Amend, Strike
from fieldapp.store.checking import check_store
from fieldapp.store.driver import sqlite3
from fieldapp.store.journal import Journal, open_journal
from fieldapp.store.light import read_board
from fieldapp.store.opening import create_store
from fieldapp.store.problems import OlderStore
from fieldapp.store.projection import WrongRows, differences
from fieldapp.store.read_tables import READ_TABLES
from tests.store.builders import NORTH, SETUP, SOUTH, SimpleProjector, draft, sounding
from tests.support.examples import EXAMPLES


def fill(journal: Journal) -> None:
    planned = next(each for each in EXAMPLES if each.KIND == "shaft scheduled")
    journal.append([draft(SETUP), draft(planned), draft(planned, shaft="P1-2")], NORTH)
    (round_1,) = journal.append([draft(sounding())], NORTH)
    (note,) = journal.append([draft("slip of the pen")], SOUTH)
    journal.append(
        [
            draft(Amend(round_1.id, sounding(3), "it was the third round"), parents=(round_1.id,)),
            draft(Strike(note.id, "wrong shaft"), parents=(note.id,)),
            draft(sounding(2), shaft="P1-2"),
        ],
        SOUTH,
    )


def test_after_many_appends_they_equal_a_rebuild(journal: Journal) -> None:
    fill(journal)
    assert differences(journal._store.connection, SimpleProjector(), journal.record_proved()) == {}
    before = dump(journal)
    assert journal.bring_up_to_date(always=True)
    assert dump(journal) == before


def test_what_stands_there_already_is_not_written_again(journal: Journal, raw: sqlite3.Connection) -> None:
    fill(journal)
    connection = journal._store.connection
    whole = connection.total_changes
    assert journal.bring_up_to_date(always=True)
    whole = connection.total_changes - whole  # rows of a rebuild: all of them
    before, rows = connection.total_changes, raw.execute("SELECT count(*) FROM timeline").fetchone()[0]
    journal.append([draft("one more")], NORTH)
    written = connection.total_changes - before
    # the entry, the head of its chain, its line of the timeline, and the row of its shaft when that says more
    assert 3 <= written <= 4 < whole
    assert raw.execute("SELECT count(*) FROM timeline").fetchone()[0] == rows + 1
    assert differences(connection, SimpleProjector(), journal.record_proved()) == {}


def test_rows_of_a_shaft_stay_in_the_order_of_folding_when_one_of_them_changes(
    journal: Journal, raw: sqlite3.Connection
) -> None:
    (first, _) = journal.append([draft("first"), draft("second")], NORTH)
    journal.append([draft(Strike(first.id, "wrong shaft"), parents=(first.id,))], NORTH)
    rows = raw.execute("SELECT seq, struck FROM timeline WHERE shaft = 'P1-1'").fetchall()
    assert rows == [(1, 1), (2, 0)]


def dump(journal: Journal) -> dict[str, list]:
    connection = journal._store.connection
    return {
        each.name: sorted(connection.execute(f"SELECT * FROM {each.name}").fetchall(), key=repr)
        for each in READ_TABLES
    }


def test_they_hold_what_was_read_beside_what_was_worked_out(
    journal: Journal, raw: sqlite3.Connection
) -> None:
    fill(journal)
    rows = raw.execute(
        "SELECT point, round, firm_read, thickness_mm, amended FROM soundings "
        "WHERE shaft = 'P1-1' ORDER BY point"
    ).fetchall()
    # 61' 5" less 61' 4 1/2" is half an inch, 12.7 mm; without the firm depth it stays unknown
    assert rows == [("1", 3, "61' 5\"", 12.7, 1), ("2", 3, None, None, 1)]
    last = raw.execute("SELECT shaft, round, point FROM last_soundings ORDER BY shaft, point").fetchall()
    assert last == [("P1-1", 3, "1"), ("P1-1", 3, "2"), ("P1-2", 2, "1"), ("P1-2", 2, "2")]


def test_the_file_explains_every_table_to_a_person_with_a_browser(
    journal: Journal, raw: sqlite3.Connection
) -> None:
    explained = dict(raw.execute("SELECT name, value FROM about"))
    shown = {
        name for (name,) in raw.execute("SELECT name FROM sqlite_master WHERE type IN ('table', 'view')")
    }
    assert shown <= set(explained)
    assert all(text.strip() for text in explained.values())


def test_all_are_strict(journal: Journal) -> None:
    database = Database(journal._store.connection)
    assert all(database[each.name].strict for each in READ_TABLES)


def test_another_version_of_the_rules_rebuilds_them_at_opening(journal: Journal) -> None:
    fill(journal)
    journal.close()
    with open_journal(journal.folder, SimpleProjector("2")) as again:
        assert again.bring_up_to_date() is False
    findings = {each.what: each for each in check_store(journal.folder, SimpleProjector("1"))}
    assert not findings["read tables equal a rebuild"].ok


@pytest.mark.parametrize(
    "statement",
    [
        "DROP TABLE findings",
        "DROP VIEW last_soundings",
        "ALTER TABLE shafts ADD COLUMN x TEXT",
        "DROP TABLE about",
    ],
)
def test_damage_to_them_is_mended_at_opening_and_evidence_is_untouched(
    journal: Journal, raw: sqlite3.Connection, statement: str
) -> None:
    fill(journal)
    before, sealed = dump(journal), [each.sealed for each in journal.entries()]
    journal.close()
    raw.execute("CREATE TABLE my_own_notes (a TEXT)")
    raw.execute(statement)
    with open_journal(journal.folder, SimpleProjector()) as again:
        assert dump(again) == before
        assert [each.sealed for each in again.entries()] == sealed
    assert raw.execute("SELECT count(*) FROM my_own_notes").fetchone() == (0,)


def test_the_board_shows_the_project_and_its_shafts(journal: Journal) -> None:
    assert read_board(journal.folder).name == ""
    fill(journal)
    board = read_board(journal.folder)
    assert (board.project, board.name, board.units) == ("larkwater", "Larkwater crossing", "US")
    assert [(row.id, row.standing) for row in board.shafts] == [("P1-1", "not shown"), ("P1-2", "not shown")]
    assert board.shafts[0].diameter_m == pytest.approx(1.8288)  # 6 ft


def test_a_board_that_was_never_written_asks_to_open_the_project_once(tmp_path: Path) -> None:
    create_store(tmp_path / "new")
    with pytest.raises(OlderStore, match="Open it once"):
        read_board(tmp_path / "new")


class Careless(SimpleProjector):
    def __init__(self, rows) -> None:
        super().__init__()
        self.given = rows

    def project_rows(self, project):
        return {}

    def shaft_rows(self, project, shaft):
        return self.given


@pytest.mark.parametrize(
    ("rows", "why"),
    [
        ({"shaft": []}, "no read table named shaft"),
        ({"shafts": [{"id": "P1-1"}]}, "missing or unknown columns"),
        ({"shafts": [{**dict.fromkeys(READ_TABLES[1].column_names, ""), "id": "P9"}]}, "not asked for"),
    ],
)
def test_rows_that_do_not_fit_are_a_fault_of_the_program(folder: Path, rows, why: str) -> None:
    with open_journal(folder, Careless(rows)) as journal, pytest.raises(WrongRows, match=why):
        journal.append([draft()], NORTH)
