"""Appending and taking over: durable, once, in order, all or nothing."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fieldapp.record import chain
from fieldapp.record.attesting import DeviceKey
from fieldapp.record.chain import breaks_in
from fieldapp.record.decisions import Strike
from fieldapp.record.entry import LARGEST_NUMBER, ChainHead, hash_of, open_sealed, seal
from fieldapp.record.hole import Photo
from fieldapp.record.kinds import Values
from fieldapp.record.setup import Instrument
from fieldapp.record.words import InstrumentType
from fieldapp.store import arriving
from fieldapp.store.arriving import MOST_AHEAD, NotAnEntry
from fieldapp.store.checking import check_store
from fieldapp.store.driver import sqlite3
from fieldapp.store.forms import Form
from fieldapp.store.journal import Journal, open_journal
from fieldapp.store.opening import create_store
from fieldapp.store.pictures import save_picture
from fieldapp.store.problems import (
    AnotherProject,
    BrokenLink,
    Damaged,
    DiskFull,
    FarAhead,
    Forked,
    LockedElsewhere,
    NothingFollows,
    NotOurDevice,
    OwnChainElsewhere,
    PictureMissing,
    RepeatedId,
    StoreProblem,
)
from fieldapp.store.schema import TRIGGERS
from tests.store.builders import NORTH, SETUP, SOUTH, SimpleProjector, draft, sounding
from tests.support.examples import EXAMPLES

TAPE = Instrument("tape 1", InstrumentType.TAPE, passed=True, check="against a steel tape")


def chain_of(device: str, count: int, stamp: int = 1) -> list[bytes]:
    head, sealed = ChainHead(device), []
    for number in range(count):
        entry = seal(draft(f"{device} {number}"), head, stamp + number)
        head = ChainHead(device, entry.seq, entry.hash)
        sealed.append(entry.sealed)
    return sealed


def sound(journal: Journal) -> bool:
    return all(each.ok for each in check_store(journal.folder, SimpleProjector()))


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


def test_received_entries_keep_their_bytes_and_their_chain(journal: Journal) -> None:
    journal.append([draft("ours")], NORTH)
    theirs = chain_of(SOUTH, 3, stamp=40)
    arrival = journal.receive(iter(theirs))
    assert [each.sealed for each in journal.added(arrival)] == theirs
    assert (arrival.new, arrival.known, arrival.whole, arrival.astray) == (3, 0, {SOUTH: 3}, 0)
    again = journal.receive(theirs)
    assert (again.new, again.known, again.whole, again.astray) == (0, 3, {SOUTH: 3}, 0)
    assert (arrival.devices, again.devices) == ({SOUTH}, set())
    assert len(journal.added(again)) == 0
    (ours,) = journal.append([draft("ours again")], NORTH)
    assert ours.stamp == 43
    assert [(each.name, each.here) for each in journal.devices()] == [(NORTH, True), (SOUTH, False)]
    assert sound(journal)


def test_a_received_chain_is_never_extended_here(journal: Journal) -> None:
    journal.receive(chain_of(SOUTH, 1))
    with pytest.raises(NotOurDevice, match=SOUTH):
        journal.append([draft()], SOUTH)


def test_a_gap_in_a_received_chain_takes_over_nothing(journal: Journal) -> None:
    theirs = chain_of(SOUTH, 4)
    with pytest.raises(BrokenLink, match="Entry 4"):
        journal.receive([*theirs[:2], theirs[3]])
    assert tuple(journal.entries()) == ()
    assert journal.devices() == ()


@pytest.mark.parametrize(
    "lost",
    [
        "DELETE FROM entries WHERE seq = 3",
        "UPDATE devices SET head_seq = 0, head_hash = printf('%064d', 0)",
    ],
)
def test_a_chain_whose_end_was_lost_here_is_damaged(
    journal: Journal, raw: sqlite3.Connection, lost: str
) -> None:
    key = next(each for each in EXAMPLES if isinstance(each, DeviceKey))
    entry = seal(draft(key), ChainHead(SOUTH), 1)
    two = [seal(draft("a"), ChainHead(SOUTH, 1, entry.hash), 2)]
    two.append(seal(draft("b"), ChainHead(SOUTH, 2, two[-1].hash), 3))
    journal.receive([entry.sealed, *(each.sealed for each in two)])
    for name in TRIGGERS:
        raw.execute(f"DROP TRIGGER {name}")
    raw.execute(lost)
    with pytest.raises(Damaged, match=SOUTH):
        journal.receive([entry.sealed])


def test_a_stamp_that_does_not_rise_follows_nothing(journal: Journal) -> None:
    first = seal(draft("first"), ChainHead(SOUTH), 7)
    second = seal(draft("second"), ChainHead(SOUTH, 1, first.hash), 7)
    with pytest.raises(BrokenLink):
        journal.receive([first.sealed, second.sealed])
    assert len(journal.entries()) == 0


def test_two_versions_of_one_place_are_refused_as_a_fork(journal: Journal) -> None:
    journal.receive(chain_of(SOUTH, 2))
    with pytest.raises(Forked, match="Entry 1"):
        journal.receive(chain_of(SOUTH, 1))


def test_an_unknown_tail_of_our_own_chain_is_not_swallowed(journal: Journal) -> None:
    (first,) = journal.append([draft()], NORTH)
    lost = seal(draft("lost"), ChainHead(NORTH, 1, first.hash), 2)
    with pytest.raises(OwnChainElsewhere, match="Entry 2"):
        journal.receive([first.sealed, lost.sealed])
    journal.retire_devices()
    arrival = journal.receive([first.sealed, lost.sealed])
    assert [each.sealed for each in journal.added(arrival)] == [lost.sealed]
    with pytest.raises(NotOurDevice):
        journal.append([draft()], NORTH)


def test_bytes_that_are_no_entry_take_over_nothing(journal: Journal) -> None:
    theirs = chain_of(SOUTH, 2)
    with pytest.raises(NotAnEntry, match="canonical") as problem:
        journal.receive([theirs[0], theirs[1].replace(b'"seq":2', b'"seq": 2')])
    assert problem.value.number == 2
    assert tuple(journal.entries()) == ()


def test_a_stamp_that_leaves_no_room_for_others_is_refused_and_work_goes_on(journal: Journal) -> None:
    journal.append([draft("ours")], NORTH)
    with pytest.raises(FarAhead, match="counts further ahead"):
        journal.receive(chain_of(SOUTH, 1, stamp=MOST_AHEAD + 2))
    journal.receive(chain_of(SOUTH, 2, stamp=MOST_AHEAD))
    (ours,) = journal.append([draft("ours again")], NORTH)
    assert ours.stamp == MOST_AHEAD + 2
    assert sound(journal)


def test_after_the_highest_stamp_nothing_is_saved_and_it_is_said(
    journal: Journal, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A journal that took one before such stamps were refused."""
    monkeypatch.setattr(arriving, "MOST_AHEAD", LARGEST_NUMBER)
    journal.receive(chain_of(SOUTH, 1, stamp=LARGEST_NUMBER))
    with pytest.raises(NothingFollows, match="all that is recorded is safe"):
        journal.append([draft("ours")], NORTH)
    assert len(journal.entries()) == 1


def test_entries_that_name_what_nobody_has_are_bounded(
    journal: Journal, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(chain, "MOST_AWAITED", 3)
    nowhere = [f"019e1d46-3180-7fff-904d-00000000000{number}" for number in range(4)]
    following = [draft(f"follows {each}", parents=(each,)) for each in nowhere]
    head, sealed = ChainHead(SOUTH), []
    for number, each in enumerate(following, start=1):
        entry = seal(each, head, number)
        head = ChainHead(SOUTH, entry.seq, entry.hash)
        sealed.append(entry.sealed)
    assert [each.seq for each in journal.receive(sealed).breaks] == [4]


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
