"""Appending: durable, once, in order, all or nothing."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fieldapp.record.chain import breaks_in
from fieldapp.record.decisions import Strike
from fieldapp.record.entry import ChainHead, hash_of, open_sealed, seal
from fieldapp.record.hole import Photo
from fieldapp.record.kinds import Values
from fieldapp.record.setup import Instrument
from fieldapp.record.words import InstrumentType
from fieldapp.store.driver import sqlite3
from fieldapp.store.forms import Form
from fieldapp.store.journal import Journal, open_journal
from fieldapp.store.opening import create_store
from fieldapp.store.pictures import save_picture
from fieldapp.store.problems import (
    AnotherProject,
    DiskFull,
    LockedElsewhere,
    PictureMissing,
    RepeatedId,
    StoreProblem,
)
from tests.store.builders import NORTH, SETUP, SOUTH, SimpleProjector, draft, sound, sounding
from tests.support.examples import EXAMPLES

TAPE = Instrument("tape 1", InstrumentType.TAPE, passed=True, check="against a steel tape")


def test_entries_follow_each_other_and_stamps_rise(journal: Journal) -> None:
    first = journal.append([draft("one"), draft("two")], NORTH)
    second = journal.append([draft("three")], SOUTH)
    third = journal.append([draft("four")], NORTH)
    entries = [*first, *second, *third]
    assert [(each.device, each.seq, each.stamp) for each in entries] == [
        (NORTH, 1, 1),
        (NORTH, 2, 2),
        (SOUTH, 1, 3),
        (NORTH, 3, 4),
    ]
    assert tuple(journal.entries()) == tuple(entries)
    assert breaks_in(journal.entries()) == ()
    assert journal.heads() == {
        NORTH: ChainHead(NORTH, 3, third[0].hash),
        SOUTH: ChainHead(SOUTH, 1, second[0].hash),
    }


def test_an_appended_entry_is_in_the_file_when_append_returns(journal: Journal) -> None:
    (entry,) = journal.append([draft()], NORTH)
    from fieldapp.store.opening import reading

    with reading(journal.folder) as other:
        assert other.execute("SELECT hash FROM entries").fetchall() == [(entry.hash,)]


def test_entries_of_a_shaft_and_of_the_project_are_kept_apart(journal: Journal) -> None:
    journal.append([draft(SETUP), draft("a"), draft("b", shaft="P1-2")], NORTH)
    record = journal.record()
    assert [each.shaft for each in record.shafts["P1-2"].entries] == ["P1-2"]
    assert [each.kind for each in record.entries] == ["project set-up"]
    assert list(record.shafts) == ["P1-1", "P1-2"]
    assert record.shaft("P9") is None


def test_a_repeated_id_is_refused_by_name_and_nothing_of_the_batch_is_saved(journal: Journal) -> None:
    known = draft("one")
    journal.append([known], NORTH)
    with pytest.raises(RepeatedId, match=known.id):
        journal.append([draft("new"), known], NORTH)
    twin = draft("twin")
    with pytest.raises(RepeatedId, match=twin.id):
        journal.append([twin, twin], NORTH)
    assert len(journal.entries()) == 1


def test_the_same_draft_again_is_told_apart_from_another_of_its_id(journal: Journal) -> None:
    known = draft("one")
    (entry,) = journal.append([known], NORTH)
    new = draft("two")
    written = journal.append_unknown([known, new], NORTH)
    assert written.known == (entry,)
    assert [each.draft for each in written.added] == [new]
    assert journal.append_unknown([known], SOUTH).added == ()
    with pytest.raises(RepeatedId):
        journal.append_unknown([draft("other words", id=known.id)], NORTH)


def test_an_empty_batch_writes_nothing(journal: Journal) -> None:
    assert journal.append([], NORTH) == ()
    assert journal.devices() == ()


def test_another_project_is_refused(journal: Journal) -> None:
    journal.append([draft()], NORTH)
    with pytest.raises(AnotherProject, match=r"vesker.*larkwater"):
        journal.append([draft(project="vesker")], NORTH)


def test_an_entry_is_refused_until_its_picture_is_on_disk(journal: Journal) -> None:
    digest = hash_of(b"a picture")
    photo = draft(Photo(digest, "the base"))
    with pytest.raises(PictureMissing, match=digest):
        journal.append([photo], NORTH)
    assert save_picture(journal.folder, b"a picture", ".jpg") == digest
    journal.append([photo], NORTH)
    assert sound(journal)


def test_threads_wait_their_turn(journal: Journal) -> None:
    problems: list[Exception] = []

    def work(device: str) -> None:
        try:
            for number in range(25):
                journal.append([draft(f"{device} {number}", shaft=f"P-{device[-5:]}")], device)
        except Exception as problem:  # noqa: BLE001  a thread must hand over whatever went wrong
            problems.append(problem)

    threads = [threading.Thread(target=work, args=(device,)) for device in (NORTH, NORTH, SOUTH)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    assert not problems
    entries = tuple(journal.entries())
    assert sorted(each.stamp for each in entries) == list(range(1, 76))
    assert {device: head.seq for device, head in journal.heads().items()} == {NORTH: 50, SOUTH: 25}
    assert sound(journal)


@pytest.fixture(scope="module")
def shared(tmp_path_factory) -> Journal:
    place = tmp_path_factory.mktemp("store") / "larkwater"
    create_store(place)
    with open_journal(place, SimpleProjector()) as opened:
        yield opened


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    values=st.sampled_from(EXAMPLES),
    author=st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=40).filter(
        lambda text: text.strip()
    ),
)
def test_entries_of_every_kind_come_back_byte_for_byte(shared: Journal, values: Values, author: str) -> None:
    head = shared.heads().get(SOUTH, ChainHead(SOUTH))
    stamp = head.seq + 1
    entry = seal(draft(values, author=author), head, stamp)
    shared.receive([entry.sealed])
    back = shared.entry(entry.id)
    assert back is not None
    assert back.sealed == entry.sealed
    assert back == entry == open_sealed(back.sealed)


def test_a_full_disk_gives_a_sentence_and_loses_nothing(journal: Journal) -> None:
    journal.append([draft("before")], NORTH)
    connection = journal._store.connection
    pages = connection.execute("PRAGMA page_count").fetchone()[0]
    connection.execute(f"PRAGMA max_page_count = {pages + 4}")
    saved = 1
    with pytest.raises(DiskFull, match="Make room"):
        for _ in range(100):
            journal.append([draft("x" * 1500)], NORTH)
            saved += 1
    assert len(journal.entries()) == saved
    assert not connection.in_transaction
    connection.execute("PRAGMA max_page_count = 100000")
    journal.append([draft("after")], NORTH)
    assert len(journal.entries()) == saved + 1
    assert sound(journal)


def test_failing_at_every_step_of_an_append_leaves_all_or_nothing(journal: Journal) -> None:
    """The database is interrupted after k steps of its machine, for every k until an append gets through."""
    journal.append([draft(SETUP), draft(sounding())], NORTH)
    connection = journal._store.connection
    failures = 0
    for allowed in range(1, 2000):
        before = len(journal.entries())
        steps = iter(range(allowed))
        connection.set_progress_handler(lambda steps=steps: next(steps, None) is None, 60)
        try:
            journal.append([draft(sounding(2)), draft("second")], NORTH)
        except StoreProblem:
            failures += 1
            connection.set_progress_handler(None, 0)
            assert len(journal.entries()) == before
            assert not connection.in_transaction
        else:
            connection.set_progress_handler(None, 0)
            break
    assert failures >= 10
    assert len(journal.entries()) == 4
    assert sound(journal)


class StumblingProjector(SimpleProjector):
    """Fails on purpose when a note says so."""

    def shaft_rows(self, project, shaft):
        if any("stumble" in each.sealed.decode() for each in shaft.entries):
            raise ZeroDivisionError("on purpose")
        return super().shaft_rows(project, shaft)


def test_an_error_in_the_read_tables_saves_neither_them_nor_the_entry(folder: Path) -> None:
    with open_journal(folder, StumblingProjector()) as journal:
        journal.append([draft("one")], NORTH)
        with pytest.raises(ZeroDivisionError):
            journal.append([draft("stumble")], NORTH)
        journal.append([draft("two")], NORTH)
        assert [each.seq for each in journal.entries()] == [1, 2]
        assert sound(journal)


def test_a_closed_journal_says_so(journal: Journal) -> None:
    journal.close()
    with pytest.raises(ValueError, match="closed"):
        journal.append([draft()], NORTH)


def test_the_form_that_an_entry_ends_is_forgotten_with_it_or_both_stay_as_they_were(journal: Journal) -> None:
    kept = [Form(key, "P1-1", "{}", "2026-05-12T07:40:00-06:00") for key in ("note P1-1", "round P1-1")]
    for each in kept:
        journal.keep_form(each)
    note = draft("the hole stands")
    journal.append([note], NORTH, "note P1-1")
    assert journal.forms() == (kept[1],)
    with pytest.raises(RepeatedId):
        journal.append([note], NORTH, "round P1-1")
    assert journal.forms() == (kept[1],)


def test_half_typed_forms_are_kept_overwritten_and_dropped(journal: Journal) -> None:
    journal.keep_form(Form("sounding P1-1", "P1-1", '{"depth": "61"}', "2026-05-12T07:40:00-06:00"))
    journal.keep_form(Form("sounding P1-1", "P1-1", '{"depth": "61\' 4"}', "2026-05-12T07:41:00-06:00"))
    journal.keep_form(Form("set-up", None, "{}", "2026-05-12T07:41:00-06:00"))
    journal.close()
    with open_journal(journal.folder, SimpleProjector()) as again:
        assert [each.body for each in again.forms()] == ["{}", '{"depth": "61\' 4"}']
        again.drop_form("set-up")
        again.drop_form("never there")
        assert [each.key for each in again.forms()] == ["sounding P1-1"]
        with pytest.raises(StoreProblem, match="refused"):
            again.keep_form(Form("k", None, "no json", "2026-05-12T07:41:00-06:00"))


def test_a_strike_without_a_shaft_refreshes_the_whole_board(journal: Journal) -> None:
    (tape,) = journal.append([draft(TAPE, shaft=None)], NORTH)
    journal.append([draft("a")], NORTH)
    journal.append([draft(Strike(tape.id, "wrong job"), shaft=None, parents=(tape.id,))], NORTH)
    struck = journal._store.connection.execute("SELECT struck FROM timeline WHERE shaft IS NULL")
    assert struck.fetchall() == [(1,)]
    assert sound(journal)


def test_errors_of_the_driver_are_those_that_sqlite_utils_raises(journal: Journal) -> None:
    with pytest.raises(sqlite3.OperationalError):
        journal._store.connection.execute("SELECT * FROM nowhere")


def test_a_program_that_holds_the_file_gives_a_sentence(journal: Journal, raw: sqlite3.Connection) -> None:
    journal.append([draft("one")], NORTH)
    journal._store.connection.execute("PRAGMA busy_timeout = 50")
    raw.execute("BEGIN IMMEDIATE")
    with pytest.raises(LockedElsewhere, match=r"not saved.*Close the other one"):
        journal.append([draft("two")], NORTH)
    raw.execute("ROLLBACK")
    journal.append([draft("two")], NORTH)
    assert [each.seq for each in journal.entries()] == [1, 2]


def test_an_interrupt_in_the_middle_of_an_append_leaves_no_open_transaction(folder: Path) -> None:
    class Interrupted(SimpleProjector):
        def shaft_rows(self, project, shaft):
            raise KeyboardInterrupt

    with open_journal(folder, Interrupted()) as journal:
        with pytest.raises(KeyboardInterrupt):
            journal.append([draft()], NORTH)
        assert not journal._store.connection.in_transaction
        assert tuple(journal.entries()) == ()
