"""The check of a store finds each kind of damage, names the place, and changes nothing."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path

import pytest

from fieldapp.desk.trust.audit import audit
from fieldapp.record.decisions import Basis, Hold, Position
from fieldapp.record.hole import Photo
from fieldapp.store.checking import check_store
from fieldapp.store.driver import sqlite3
from fieldapp.store.journal import Journal
from fieldapp.store.opening import JOURNAL
from fieldapp.store.pictures import save_picture
from fieldapp.store.schema import TRIGGERS
from tests.store.builders import NORTH, SETUP, SOUTH, SimpleProjector, draft, sounding

PICTURE = hashlib.sha256(b"a picture").hexdigest()


@pytest.fixture
def closed(journal: Journal) -> Path:
    save_picture(journal.folder, b"a picture", ".jpg")
    journal.append([draft(SETUP), draft(sounding()), draft(Photo(PICTURE, "the base"))], NORTH)
    journal.append([draft("from the other side", shaft="P1-2")], SOUTH)
    held = Hold(Basis((Position(NORTH, 3), Position(SOUTH, 1)), "ab" * 32), "the base is not shown")
    journal.append([draft(held), draft("last of north")], NORTH)
    journal.close()
    return journal.folder


def wrong_in(folder: Path) -> dict[str, str]:
    return {each.what: each.detail for each in check_store(folder, SimpleProjector()) if not each.ok}


def unguarded(raw: sqlite3.Connection, *statements: str) -> None:
    """What a determined person does: take the guards off, change, put the guards back."""
    for name in TRIGGERS:
        raw.execute(f"DROP TRIGGER {name}")
    raw.execute("PRAGMA ignore_check_constraints = ON")
    for statement in statements:
        raw.execute(statement)
    for sql in TRIGGERS.values():
        raw.execute(sql)


def test_a_sound_store_has_nothing_wrong_and_every_check_is_named(closed: Path) -> None:
    assert wrong_in(closed) == {}
    assert len({each.what for each in check_store(closed, SimpleProjector())}) == 12


DAMAGE: dict[str, tuple[Callable[[sqlite3.Connection, Path], object], dict[str, str]]] = {
    "an edited reading": (
        lambda raw, _: unguarded(
            raw, "UPDATE entries SET sealed = replace(sealed, '61''', '62''') WHERE seq = 2"
        ),
        {
            "every entry opens and equals its columns": f"entry 2 of device {NORTH}: hash differ",
            "every chain holds": f"chain of device {NORTH}, entry 3: it does not follow",
            "read tables equal a rebuild": "soundings: 2 rows",
        },
    ),
    "an edited column": (
        lambda raw, _: unguarded(raw, "UPDATE entries SET author = 'Nobody' WHERE seq = 2"),
        {
            "every entry opens and equals its columns": f"entry 2 of device {NORTH}: author differ",
        },
    ),
    "a text that is no entry": (
        lambda raw, _: unguarded(raw, "UPDATE entries SET sealed = '{}' WHERE seq = 2"),
        {
            "every entry opens and equals its columns": f"entry 2 of device {NORTH} does not open",
            "every chain holds": "entries 2 to 2 are missing",
            "read tables equal a rebuild": "do not have the fields of an entry",
        },
    ),
    "an entry taken out of the middle": (
        lambda raw, _: unguarded(raw, f"DELETE FROM entries WHERE device = '{NORTH}' AND seq = 2"),
        {
            "every chain holds": "entries 2 to 2 are missing",
            "read tables equal a rebuild": "soundings: 2 rows",
        },
    ),
    "the tail of a chain cut off": (
        lambda raw, _: unguarded(raw, f"DELETE FROM entries WHERE device = '{NORTH}' AND seq = 5"),
        {
            "every chain reaches its head": f"chain of device {NORTH} ends at entry 4, its head was entry 5",
            "read tables equal a rebuild": "timeline: 1 rows that should not be there",
        },
    ),
    "a tail cut off together with its head": (
        lambda raw, _: unguarded(
            raw,
            f"DELETE FROM entries WHERE device = '{SOUTH}'",
            f"UPDATE devices SET head_seq = 0, head_hash = printf('%064d', 0) WHERE device = '{SOUTH}'",
        ),
        {
            "what decisions rest on is here": f"rests on entry 1 of device {SOUTH}, which is not here",
            "read tables equal a rebuild": "timeline",
        },
    ),
    "a device without its row": (
        lambda raw, _: unguarded(raw, f"DELETE FROM devices WHERE device = '{SOUTH}'"),
        {
            "tables refer to rows that exist": "a row of entries refers to nothing in devices",
            "every chain reaches its head": f"chain of device {SOUTH} ends at entry 1, its head was entry 0",
        },
    ),
    "a guard taken off": (
        lambda raw, _: raw.execute("DROP TRIGGER entries_are_never_deleted"),
        {"the guards are in place": "the trigger entries_are_never_deleted is missing"},
    ),
    "a trigger that swallows entries": (
        lambda raw, _: raw.execute(
            "CREATE TRIGGER swallow BEFORE INSERT ON entries BEGIN SELECT RAISE(IGNORE); END"
        ),
        {"the guards are in place": "swallow is not one of ours"},
    ),
    "a changed picture": (
        lambda _, folder: (folder / "pictures" / f"{PICTURE}.jpg").write_bytes(b"another"),
        {"every picture is here, unchanged": f"picture {PICTURE} is changed"},
    ),
    "a missing picture": (
        lambda _, folder: (folder / "pictures" / f"{PICTURE}.jpg").unlink(),
        {"every picture is here, unchanged": f"picture {PICTURE} is missing"},
    ),
    "a prettier read table": (
        lambda raw, _: raw.execute("UPDATE shafts SET standing = 'clean' WHERE id = 'P1-1'"),
        {"read tables equal a rebuild": "shafts: 1 rows that should not be there, 1 rows missing"},
    ),
    "a read table gone": (
        lambda raw, _: raw.execute("DROP TABLE findings"),
        {"read tables equal a rebuild": "open the project once"},
    ),
}


@pytest.mark.parametrize("damage", DAMAGE)
def test_damage_is_found_and_named(closed: Path, raw: sqlite3.Connection, damage: str) -> None:
    do, expected = DAMAGE[damage]
    do(raw, closed)
    raw.close()
    before = (closed / JOURNAL).read_bytes()
    found = wrong_in(closed)
    assert set(found) == set(expected)
    for what, words in expected.items():
        assert words in found[what]
    assert (closed / JOURNAL).read_bytes() == before


@pytest.mark.parametrize("column", ["stamp", "seq", "device", "shaft", "kind", "id", "sealed", "hash"])
@pytest.mark.parametrize("content", ["'x'", "x'0102'", "NULL", "1.5"])
def test_a_column_of_another_type_is_reported_not_raised(
    closed: Path, raw: sqlite3.Connection, column: str, content: str
) -> None:
    """No program writes it into such a table; a damaged page can hold anything."""
    raw.execute("PRAGMA writable_schema = ON")
    (strict,) = raw.execute("SELECT sql FROM sqlite_master WHERE name = 'entries'").fetchone()
    loose = strict.replace(") STRICT", ")").replace(" NOT NULL", "")
    raw.execute("UPDATE sqlite_master SET sql = ? WHERE name = 'entries'", (loose,))
    raw.close()
    other = sqlite3.connect(closed / JOURNAL, isolation_level=None)
    unguarded(other, f"UPDATE entries SET {column} = {content} WHERE arrival = 3")
    other.execute("PRAGMA writable_schema = ON")
    other.execute("UPDATE sqlite_master SET sql = ? WHERE name = 'entries'", (strict,))
    other.close()
    assert not all(each.ok for each in audit(closed))


def test_a_damaged_page_is_reported_not_raised(closed: Path) -> None:
    content = bytearray((closed / JOURNAL).read_bytes())
    content[4096 * 3 : 4096 * 12] = b"\xa5" * 4096 * 9
    (closed / JOURNAL).write_bytes(content)
    assert wrong_in(closed)


def test_a_cut_file_is_reported_not_raised(closed: Path) -> None:
    content = (closed / JOURNAL).read_bytes()
    for length in range(0, len(content), 2 * 4096):
        (closed / JOURNAL).write_bytes(content[:length])
        assert wrong_in(closed), length


def test_a_folder_that_is_no_project_is_reported(tmp_path: Path) -> None:
    (finding,) = check_store(tmp_path)
    assert not finding.ok
    assert "not a project folder" in finding.detail


def test_the_check_works_beside_a_writer(journal: Journal) -> None:
    journal.append([draft()], NORTH)
    assert wrong_in(journal.folder) == {}
