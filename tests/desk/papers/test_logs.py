"""Shaft logs as they are written, with their journal inside."""

from __future__ import annotations

from pathlib import Path

from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.office import shaft_now
from fieldapp.desk.papers.journal import FILE_NAME, read_paper_journal, written
from fieldapp.desk.papers.logs import write_shaft_log
from fieldapp.desk.papers.printed import PRINTED_NAME
from fieldapp.desk.papers.shaft_facts import shaft_facts
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.attachments import attached_files
from fieldapp.record.hole import Note
from fieldapp.record.words import Role
from tests.desk.conftest import PLAN_ONLY
from tests.desk.signed_papers import certified, pin_all


def test_a_log_is_written_once_for_each_state_of_the_record(place: Workplace) -> None:
    at = shaft_now(place, "P1-1").at
    first = write_shaft_log(place, "P1-1", at, "Inspector A")
    again = write_shaft_log(place, "P1-1", at, "Inspector A")
    assert (first.new, again.new, again.path) == (True, False, first.path)
    record_entry(place, Saying("P1-1", Note("something new"), "Inspector A"))
    later = write_shaft_log(place, "P1-1", at, "Inspector A")
    assert later.new
    assert later.path != first.path
    assert first.path.exists()


def test_the_same_record_gives_the_same_file_whatever_was_signed_meanwhile(place: Workplace) -> None:
    at = shaft_now(place, "P1-1").at
    pens = pin_all(place)
    path = write_shaft_log(place, "P1-1", at, "Inspector A").path
    first = path.read_bytes()
    certified(place, pens[Role.INSPECTOR])
    path.unlink()
    assert write_shaft_log(place, "P1-1", at, "Inspector A").new
    assert path.read_bytes() == first


def test_the_journal_of_the_shaft_is_inside_every_log(place: Workplace) -> None:
    pens = pin_all(place)
    at = shaft_now(place, "P1-1").at
    papers = (write_shaft_log(place, "P1-1", at, "Inspector A"), certified(place, pens[Role.INSPECTOR]))
    for paper in papers:
        file, said = attached_files(paper.path.read_bytes())
        assert (file.name, said.name) == (FILE_NAME, PRINTED_NAME)
        journal = read_paper_journal(file.data)
        assert journal.record_digest == place.shaft("P1-1").digest
        assert [each.sealed for each in journal.shaft_entries] == [
            each.sealed for each in place.shaft("P1-1").entries
        ]
        assert "project set-up" in {each.kind for each in journal.entries}
        assert "paper signed" not in {each.kind for each in journal.entries}
        assert written(journal) == file.data
        assert journal.as_of == at


def test_a_shaft_without_a_round_prints_and_says_why_nothing_is_quantified(
    place: Workplace, tmp_path: Path
) -> None:
    path = tmp_path / "P9-1.log"
    path.write_text(PLAN_ONLY, "utf-8")
    add_logs(place, read_logs([path]))
    facts = shaft_facts(place, "P9-1", place.now(), "Inspector A")
    assert facts.worth is not None
    assert facts.worth.credit is None
    assert "the base was not sounded" in facts.worth.missing[0]
    assert facts.outlook is None
    assert write_shaft_log(place, "P9-1", place.now(), "Inspector A").new


def test_a_log_carries_what_the_base_is_worth_and_names_what_the_plan_lacks(place: Workplace) -> None:
    facts = shaft_facts(place, "P1-1", shaft_now(place, "P1-1").at, "Inspector A")
    assert facts.worth is not None
    assert facts.worth.round_title == "Round 1"
    assert facts.worth.credit is None
    assert any("rock modulus" in each for each in facts.worth.missing)
    assert facts.outlook is not None
    assert facts.outlook.from_round == 1
