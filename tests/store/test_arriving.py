"""Chains of other devices taken over: whole, in their order, byte for byte, or not at all."""

from __future__ import annotations

import pytest

from fieldapp.record import chain
from fieldapp.record.attesting import DeviceKey
from fieldapp.record.entry import LARGEST_NUMBER, ChainHead, seal
from fieldapp.store import arriving
from fieldapp.store.arriving import MOST_AHEAD, NotAnEntry
from fieldapp.store.driver import sqlite3
from fieldapp.store.journal import Journal
from fieldapp.store.problems import (
    BrokenLink,
    Damaged,
    FarAhead,
    Forked,
    NothingFollows,
    NotOurDevice,
    OwnChainElsewhere,
)
from fieldapp.store.schema import TRIGGERS
from tests.store.builders import NORTH, SOUTH, chain_of, draft, sound
from tests.support.examples import EXAMPLES


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
