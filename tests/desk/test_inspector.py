"""What the inspector does at the desk: durable before it returns, refused or asked about beforehand."""

from __future__ import annotations

from datetime import timedelta

import pytest

from fieldapp.desk.inspector import (
    AskFirst,
    Refused,
    Saying,
    amend,
    drop_form,
    keep_form,
    kept_form,
    record_entry,
    strike,
)
from fieldapp.desk.office import shaft_now
from fieldapp.desk.trust.audit import audit
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.record.column import HeadReading
from fieldapp.record.hole import Note
from fieldapp.record.reading import Reading
from tests.support.examples import feet


def level(read: str) -> HeadReading:
    return HeadReading(fluid_level=feet(read))


def test_an_entry_is_in_the_file_when_the_call_returns(place: Workplace) -> None:
    entry = record_entry(place, Saying("P1-1", level("2' 0\""), "Inspector A"))
    assert (entry.device, entry.seq) == ("tablet south", 1)
    assert tuple(place.entries())[-1] == entry
    assert entry.draft.observed_at == place.now()


def test_an_impossible_entry_is_refused_and_nothing_is_written(place: Workplace) -> None:
    before = tuple(place.entries())
    with pytest.raises(Refused, match="roster"):
        record_entry(place, Saying("P1-1", Note("x"), "Somebody"))
    with pytest.raises(Refused, match="before shaft P1-1 was scheduled"):
        record_entry(place, Saying("P1-1", Note("x"), "Inspector A", place.now() - timedelta(days=99)))
    assert tuple(place.entries()) == before


def test_an_unlikely_entry_is_asked_about_and_recorded_when_confirmed(place: Workplace) -> None:
    record_entry(place, Saying("P1-1", level("2' 0\""), "Inspector A"))
    with pytest.raises(AskFirst) as asked:
        record_entry(place, Saying("P1-1", level("14' 0\""), "Inspector A"))
    assert asked.value.codes == ("level-jump",)
    entry = record_entry(place, Saying("P1-1", level("14' 0\""), "Inspector A", confirmed=asked.value.codes))
    assert entry.draft.confirmed == ("level-jump",)


def test_amending_and_striking_keep_every_version(place: Workplace) -> None:
    first = record_entry(place, Saying("P1-1", level("2' 0\""), "Inspector A"))

    def line() -> object:
        return next(each for each in place.shaft("P1-1").lines if each.id == first.id)

    amend(place, line(), level("2' 1\""), "read the wrong mark", "Inspector A")  # type: ignore[arg-type]
    assert line().values == level("2' 1\"")  # type: ignore[attr-defined]
    strike(place, line(), "wrong shaft", "Inspector A")  # type: ignore[arg-type]
    assert line().struck  # type: ignore[attr-defined]
    assert len(line().changes) == 2  # type: ignore[attr-defined]
    assert line().original == first  # type: ignore[attr-defined]


def test_a_half_typed_form_outlives_the_program(place: Workplace) -> None:
    keep_form(place, "round P1-1", "P1-1", {"C": {"firm": "30' 0\""}})
    place.journal.close()
    with open_project(place.folder, place.clock) as again:
        assert kept_form(again, "round P1-1") == {"C": {"firm": "30' 0\""}}
        assert kept_form(again, "round P9-9") is None
        drop_form(again, "round P1-1")
        assert kept_form(again, "round P1-1") is None


def test_the_read_tables_follow_every_entry(place: Workplace) -> None:
    for minutes in range(3):
        place.clock.move(minutes=minutes)  # type: ignore[attr-defined]
        record_entry(place, Saying("P1-1", level(f"2' {minutes}\""), "Inspector A"))
    assert [each for each in audit(place.folder) if not each.ok] == []


def test_a_round_grows_stale_as_the_clock_goes_on(place: Workplace) -> None:
    def outcome(name: str) -> str:
        now = shaft_now(place, "P1-1", place.now())
        return next(each.outcome for each in now.findings if each.requirement == name)

    assert outcome("sounding to concrete") == "met"
    place.clock.move(hours=5)  # type: ignore[attr-defined]
    assert outcome("sounding to concrete") != "met"


def test_a_reading_is_kept_as_it_was_read(place: Workplace) -> None:
    entry = record_entry(place, Saying("P1-1", level("2' 0 1/2\""), "Inspector A"))
    assert entry.values.fluid_level == Reading("2' 0 1/2\"", "ft-in")  # type: ignore[union-attr]
    assert b"2' 0 1/2" in entry.sealed
