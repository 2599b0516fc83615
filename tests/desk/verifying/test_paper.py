"""Verification by the record: every fact turned to no by a manipulation that somebody could make."""

from __future__ import annotations

import hashlib
import json
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.office import begin_project, shaft_now
from fieldapp.desk.papers.facts import RecordFactName as Asked
from fieldapp.desk.papers.journal import (
    paper_journal,
    written,
)
from fieldapp.desk.papers.logs import write_shaft_log
from fieldapp.desk.papers.paper import Pen
from fieldapp.desk.papers.record_fact import OF_A_SUMMARY
from fieldapp.desk.papers.verify_text import verdict_json, verdict_text
from fieldapp.desk.papers.verifying import BROKEN_RELEASE, EARLIER_STATE, verify_file
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.identity import pdf_signing
from fieldapp.identity.certificates import Term, to_pem
from fieldapp.identity.pdf_signing import sign_pdf
from fieldapp.identity.verification import Answer, FactName, Verdict
from fieldapp.record.attesting import Revocation
from fieldapp.record.decisions import Hold
from fieldapp.record.words import Role
from tests.desk.conftest import SETUP, SiteClock
from tests.desk.signed_papers import (
    PEOPLE,
    basis,
    countersigning,
    insiders_paper,
    new_key,
    note_signed,
    pin,
)
from tests.desk.signed_work import say
from tests.desk.verifying.made_papers import MORNING, Made, insider, wrong
from tests.identity import attacks
from tests.identity.papers import authority_of, key_of
from tests.identity.signers import TERM


def test_the_paper_signed_by_all_is_valid_and_every_fact_is_a_yes(made: Made, place: Workplace) -> None:
    found = verify_file(made.papers[2], place)
    assert found.verdict is Verdict.VALID
    assert {each.name for each in found.record} == set(Asked) - {Asked.OWN_ROSTER} - OF_A_SUMMARY
    assert {each.answer for each in found.record} == {Answer.YES}
    assert found.journal is not None
    assert found.journal.shaft == "P1-1"
    assert not found.open


def test_each_paper_was_valid_before_it_was_signed_further(made: Made, place: Workplace) -> None:
    for pdf in made.papers[:2]:
        found = verify_file(pdf, place)
        assert wrong(found) == {Asked.LATEST}
        assert found.says == EARLIER_STATE
    (fact,) = [each for each in verify_file(made.papers[1], place).record if each.name is Asked.LATEST]
    assert "Designer signed as designer" in fact.says


def test_a_file_cut_back_after_countersigning_is_told_by_the_journal_alone(
    made: Made, place: Workplace
) -> None:
    cut = made.papers[2][: len(made.papers[0])]
    assert verify_file(cut).verdict is Verdict.UNKNOWN, "without the project nobody can notice"
    found = verify_file(cut, place)
    assert wrong(found) == {Asked.LATEST}
    says = next(each.says for each in found.against)
    assert "Resident engineer signed" in says
    assert "Designer signed" in says


def test_without_a_project_it_is_unknown_and_the_papers_own_roster_is_no_trust(made: Made) -> None:
    found = verify_file(made.papers[2], None, made.at)
    assert found.verdict is Verdict.UNKNOWN
    assert found.answer(Asked.ATTACHED) is found.answer(Asked.SAME_DIGEST) is Answer.YES
    assert found.answer(Asked.OWN_ROSTER) is found.answer(Asked.RELEASE) is Answer.UNKNOWN
    own = next(each.says for each in found.record if each.name is Asked.OWN_ROSTER)
    assert "the certificate of Inspector A, Resident engineer, Designer" in own
    assert "that proves nothing by itself" in own
    until = next(each.says for each in found.record if each.name is Asked.RELEASE)
    # contact of the fluid with the bottom ends it before its own time of 18:00
    assert "As far as the attached journal tells: The release holds until 12 May 12:00" in until
    assert "only the project can tell" in until
    assert all(each.answer(FactName.SIGNER_KNOWN) is Answer.UNKNOWN for each in found.signed.signatures)


def test_a_project_that_pinned_nobody_knows_no_signer(made: Made, tmp_path: Path, clock: SiteClock) -> None:
    folder, logs = tmp_path / "bare", tmp_path / "logs"
    logs.mkdir()
    (logs / "project.log").write_text(SETUP, "utf-8")
    begin_project(folder)
    with open_project(folder, clock, device="tablet south") as bare:
        add_logs(bare, read_logs([logs / "project.log"]))
        found = verify_file(made.papers[2], bare)
    assert {FactName.SIGNER_KNOWN, Asked.IN_JOURNAL, Asked.IN_PROJECT} <= wrong(found)


def test_a_swapped_attachment_is_noticed_by_the_bytes_and_by_the_journal(
    made: Made, place: Workplace
) -> None:
    other = written(paper_journal(place.entries(), "P9-1", MORNING))
    found = verify_file(attacks.swapped_file(made.papers[2], other), place)
    assert {FactName.WHOLE_FILE, FactName.LATER_CHANGES, Asked.SAME_DIGEST, Asked.IN_JOURNAL} <= wrong(found)
    fact = next(each for each in found.record if each.name is Asked.IN_JOURNAL)
    assert f"The first {len(made.papers[2])} bytes are the paper that Designer signed" in fact.says
    assert found.signed.answer(FactName.EXPECTED) is Answer.YES


def test_the_same_record_signed_again_outside_the_journal_is_not_its_file(
    made: Made, place: Workplace
) -> None:
    key = made.pens[Role.RESIDENT_ENGINEER].key
    again = sign_pdf(made.papers[0], countersigning(place, made.at), key)
    found = verify_file(again, place)
    assert wrong(found) == {Asked.IN_JOURNAL, FactName.EXPECTED}


def test_a_look_alike_certificate_is_not_known_though_the_journal_names_the_file(
    made: Made, place: Workplace
) -> None:
    true = written(paper_journal(place.entries(), "P1-1", MORNING))
    false = Pen(new_key(Role.INSPECTOR), Role.INSPECTOR)
    pdf = insiders_paper(place, false, true, place.shaft("P1-1").digest)
    found = verify_file(pdf, place)
    assert wrong(found) == {FactName.SIGNER_KNOWN}
    assert "forged, or replaced" in next(each.says for each in found.against)


@pytest.mark.parametrize(("minutes", "rejected"), [(-1, True), (0, True), (1, False)])
def test_a_revocation_counts_from_its_moment_on(
    made: Made, place: Workplace, minutes: int, rejected: bool
) -> None:
    signed_at = verify_file(made.papers[2], place).signed.signatures[1].signed_at
    assert signed_at is not None
    pen = made.pens[Role.RESIDENT_ENGINEER]
    lost = Revocation(
        PEOPLE[pen.role],
        pen.key.certificate.fingerprint,
        signed_at + timedelta(minutes=minutes),
        "tablet lost",
    )
    record_entry(place, Saying(None, lost, "Designer"))
    found = verify_file(made.papers[2], place)
    assert (found.signed.answer(FactName.NOT_REVOKED) is Answer.NO) is rejected
    assert found.answer(Asked.IN_JOURNAL) is found.answer(Asked.IN_PROJECT) is Answer.YES


def test_a_certificate_of_the_projects_authority_counts_until_it_is_revoked(
    made: Made, place: Workplace
) -> None:
    authority = authority_of("Larkwater crossing")
    setup = place.setup()
    with_authority = replace(setup, authority=to_pem(authority.certificate))
    record_entry(place, Saying(None, with_authority, "Resident engineer"))
    key = key_of(made.pens[Role.INSPECTOR].key.certificate, authority)
    true = written(paper_journal(place.entries(), "P1-1", MORNING))
    pdf = insiders_paper(place, Pen(key, Role.INSPECTOR), true, place.shaft("P1-1").digest)
    assert verify_file(pdf, place).verdict is Verdict.VALID
    lost = Revocation(PEOPLE[Role.INSPECTOR], key.certificate.fingerprint, made.at, "tablet lost")
    record_entry(place, Saying(None, lost, "Designer"))
    assert wrong(verify_file(pdf, place)) == {FactName.NOT_REVOKED}


def test_an_expired_certificate_is_rejected(made: Made, place: Workplace) -> None:
    old = new_key(Role.INSPECTOR, Term(TERM.valid_from, made.at - timedelta(days=1)))
    pen = pin(place, Role.INSPECTOR, old)
    wide = replace(old, certificate=replace(old.certificate, valid_until=TERM.valid_until))
    true = written(paper_journal(place.entries(), "P1-1", MORNING))
    pdf = insiders_paper(place, Pen(wide, pen.role), true, place.shaft("P1-1").digest)
    assert wrong(verify_file(pdf, place)) == {FactName.IN_TIME}


def test_a_clock_set_back_between_two_signatures_is_rejected(
    made: Made, place: Workplace, monkeypatch: pytest.MonkeyPatch
) -> None:
    # what refuses such a time is taken out: another program has no such look at the clock
    monkeypatch.setattr(pdf_signing, "check_clock", lambda *_: None)
    digest = place.shaft("P1-1").digest
    pen = made.pens[Role.RESIDENT_ENGINEER]
    pdf = sign_pdf(made.papers[0], countersigning(place, MORNING - timedelta(hours=1)), pen.key)
    follows = hashlib.sha256(made.papers[0]).hexdigest()
    note_signed(place, pdf, pen, digest, field="ResidentEngineer", follows=follows)
    assert wrong(verify_file(pdf, place)) == {FactName.TIME_ORDER}


def test_a_role_that_was_taken_away_before_signing_is_rejected(made: Made, place: Workplace) -> None:
    setup = place.setup()
    people = tuple(
        replace(each, roles=(Role.DESIGNER,)) if each.name == "Inspector A" else each for each in setup.people
    )
    record_entry(place, Saying(None, replace(setup, people=people), "Resident engineer"))
    assert verify_file(made.papers[2], place).verdict is Verdict.VALID, "what was signed before stays"
    true = written(paper_journal(place.entries(), "P1-1", MORNING))
    assert wrong(insider(place, made, true)) == {Asked.ROLE_THEN}


def test_a_release_that_holds_no_more_is_told_apart_from_a_false_paper(made: Made, place: Workplace) -> None:
    say(place, Hold(basis(place), "sand near the base"), "Resident engineer")
    found = verify_file(made.papers[2], place)
    assert wrong(found) == {Asked.RELEASE}
    assert found.says == BROKEN_RELEASE
    assert "The paper shows a release, and now it is held. Reason: sand near the base" in verdict_text(found)


def test_a_release_whose_time_is_over_holds_no_more(made: Made, place: Workplace, clock: SiteClock) -> None:
    clock.move(hours=10)
    assert wrong(verify_file(made.papers[2], place)) == {Asked.RELEASE}


def test_a_paper_that_shows_no_release_is_not_false_for_that(
    made: Made, place: Workplace, clock: SiteClock
) -> None:
    clock.move(hours=10)
    at = shaft_now(place, "P1-1", place.now()).at
    path = write_shaft_log(place, "P1-1", at, "Inspector A", made.pens[Role.INSPECTOR]).path
    found = verify_file(path.read_bytes(), place)
    assert found.verdict is Verdict.VALID
    assert found.answer(Asked.RELEASE) is Answer.NO


def test_a_log_of_an_earlier_moment_is_whole_against_the_record_of_now(made: Made, place: Workplace) -> None:
    until = datetime(2026, 5, 12, 8, 20, tzinfo=ZoneInfo("America/Denver"))
    looking = replace(place, until=until)
    paper = write_shaft_log(looking, "P1-1", until, "Inspector A", made.pens[Role.INSPECTOR])
    found = verify_file(paper.path.read_bytes(), place)
    assert found.verdict is Verdict.VALID
    assert found.journal is not None
    assert [each.kind for each in found.journal.shaft_entries] == ["shaft scheduled", "excavation stage"]


@pytest.mark.parametrize("places", [40, pytest.param(200, marks=pytest.mark.long_walk)])
def test_bytes_changed_one_by_one_are_all_noticed_by_signature_and_by_journal(
    made: Made, place: Workplace, places: int
) -> None:
    pdf = made.papers[0]
    missed = []
    for position in range(0, len(pdf), len(pdf) // places):
        changed = bytearray(pdf)
        changed[position] ^= 1 << position % 8
        found = verify_file(bytes(changed), place)
        if found.signed.verdict is not Verdict.REJECTED or found.answer(Asked.IN_JOURNAL) is not Answer.NO:
            missed.append(position)
    assert missed == []


def test_what_is_no_paper_gets_a_verdict_and_never_raises(place: Workplace) -> None:
    for junk in (b"", b"%PDF-1.4", b"%PDF-1.4\nstartxref\n9\n%%EOF\n", b"x" * 1000):
        for project in (place, None):
            found = verify_file(junk, project)
            assert found.verdict is Verdict.REJECTED
            assert "do not rely on it" in verdict_text(found)


def test_text_and_json_hold_every_fact(made: Made, place: Workplace) -> None:
    found = verify_file(made.papers[2], place)
    text, data = verdict_text(found), json.loads(json.dumps(verdict_json(found)))
    assert text.startswith("valid: ")
    facts = [*data["paper"], *(fact for each in data["signatures"] for fact in each["facts"])]
    assert {each["answer"] for each in [*facts, *data["record"]]} == {"yes"}
    assert len(facts) == len(found.signed.all_facts)
    assert [each["signer"] for each in data["signatures"]] == list(PEOPLE.values())
    assert data["file_digest"] == hashlib.sha256(made.papers[2]).hexdigest()
    flat = " ".join(text.split())
    assert all(" ".join(each["says"].split()) in flat for each in [*facts, *data["record"]])
    assert "signature 2. resident engineer: Resident engineer" in flat
    assert "Resident engineer: signed at " in flat
    assert "ResidentEngineer" not in text  # the name of the field is for programs
    assert data["signatures"][1]["field"] == "ResidentEngineer"
