"""A long journal is gone through by pages: in one walk, and small in memory whatever somebody sent."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldapp.record.entry import ChainHead, Entry, seal
from fieldapp.store import entries, rows
from fieldapp.store.entries import Some
from fieldapp.store.scratch import scratch_journal
from tests.store.builders import SOUTH, draft


def a_chain(count: int, confirmed: str = "") -> list[Entry]:
    made: list[Entry] = []
    for number in range(count):
        head = ChainHead(SOUTH, made[-1].seq, made[-1].hash) if made else ChainHead(SOUTH)
        made.append(seal(draft(f"note {number}", confirmed=(confirmed,)), head, number + 1))
    return made


def test_a_page_is_full_by_its_text_and_all_of_them_hold_everything(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(entries, "_PAGE", 2_000)
    made = a_chain(30)
    with scratch_journal((each.sealed for each in made), Path("sent")) as (journal, arrival):
        page = journal._read(lambda connection: entries.page_of(connection, (0, "", 0), 2_000, Some()))
        assert 1 < len(page) < 10
        assert list(journal.entries()) == made
        assert list(journal.chain(journal.heads()[SOUTH])) == [each.sealed for each in made]
        assert list(journal.chain(ChainHead(SOUTH, 7, made[6].hash))) == [each.sealed for each in made[:7]]
        assert arrival.whole == {SOUTH: 30}


def test_a_large_entry_is_not_kept_open() -> None:
    rows.open_once.cache_clear()
    large, small = a_chain(1, "x" * 500_000)[0], a_chain(1)[0]
    assert rows.entry_from(large.sealed.decode()) == large
    assert rows.open_once.cache_info().currsize == 0
    assert rows.entry_from(small.sealed.decode()) == small
    assert rows.open_once.cache_info().currsize == 1


@pytest.mark.parametrize("some", [Some(), Some(("note",)), Some(arrived_after=9, most=90_000)])
def test_no_page_puts_the_whole_journal_in_order_again(some: Some) -> None:
    told: list[str] = []
    with scratch_journal([], Path("sent")) as (journal, _):

        def ask(connection: entries.sqlite3.Connection) -> None:
            connection.set_trace_callback(told.append)
            entries.page_of(connection, (0, "", 0), 2_000, some)
            connection.set_trace_callback(None)
            plan = connection.execute(f"EXPLAIN QUERY PLAN {told[-1]}").fetchall()
            assert [each[-1] for each in plan] == [
                "SEARCH entries USING INDEX entries_in_order ((stamp,device,seq)>(?,?,?))"
            ]

        journal._read(ask)
