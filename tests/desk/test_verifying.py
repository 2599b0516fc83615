"""Verification by the record: every fact turned to no by a manipulation that somebody could make."""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
import rfc8785

from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.office import begin_project, shaft_now
from fieldapp.desk.paper import Pen
from fieldapp.desk.paper_facts import RecordFactName as Asked
from fieldapp.desk.paper_journal import (
    NewerJournal,
    UnreadableJournal,
    paper_journal,
    read_paper_journal,
    written,
)
from fieldapp.desk.paper_signing import countersign
from fieldapp.desk.papers import write_shaft_log
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.verify_text import verdict_json, verdict_text
from fieldapp.desk.verifying import BROKEN_RELEASE, EARLIER_STATE, PaperVerdict, verify_file
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.identity import pdf_signing
from fieldapp.identity.attachments import attached_files
from fieldapp.identity.certificates import Term, to_pem
from fieldapp.identity.pdf_signing import sign_pdf
from fieldapp.identity.verification import Answer, FactName, Verdict
from fieldapp.record.attesting import Revocation, StretchSigned
from fieldapp.record.decisions import Hold
from fieldapp.record.entry import ChainHead, seal
from fieldapp.record.hole import Note
from fieldapp.record.words import Role
from tests.desk.conftest import HOLE, SETUP, SiteClock
from tests.desk.signed_papers import (
    PEOPLE,
    basis,
    countersigning,
    insiders_paper,
    new_key,
    note_signed,
    pin,
    pin_all,
    release,
)
from tests.desk.signed_work import say
from tests.desk.test_papers import PLAN_ONLY
from tests.identity import attacks
from tests.identity.papers import authority_of, key_of
from tests.identity.signers import TERM

MORNING = datetime(2026, 5, 12, 9, 0, tzinfo=ZoneInfo("America/Denver"))


@dataclass(frozen=True)
class Made:
    """A closed project with a log signed by all three, and the clock as it stood then."""

    folder: Path
    pens: dict[Role, Pen]
    papers: tuple[bytes, bytes, bytes]
    at: datetime
    ids: int


@pytest.fixture(scope="module", autouse=True)
def home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patched:
        patched.setenv("XDG_CONFIG_HOME", str(tmp_path_factory.mktemp("home")))
        yield


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Made:
    logs = tmp_path_factory.mktemp("logs")
    for name, text in (("project", SETUP), ("P1-1", HOLE), ("P9-1", PLAN_ONLY)):
        (logs / f"{name}.log").write_text(text, "utf-8")
    folder = tmp_path_factory.mktemp("made") / "larkwater"
    clock = SiteClock(MORNING)
    begin_project(folder)
    with open_project(folder, clock, device="tablet south") as place:
        add_logs(place, read_logs(list(logs.glob("*.log"))))
        pens = pin_all(place)
        release(place)
        paths = [
            write_shaft_log(
                place, "P1-1", shaft_now(place, "P1-1").at, "Inspector A", pens[Role.INSPECTOR]
            ).path
        ]
        for role in (Role.RESIDENT_ENGINEER, Role.DESIGNER):
            clock.move(minutes=5)
            paths.append(countersign(place, paths[-1], pens[role]).path)
    first, second, third = (each.read_bytes() for each in paths)
    return Made(folder, pens, (first, second, third), clock.at, clock.made)


@pytest.fixture
def clock(made: Made) -> SiteClock:
    clock = SiteClock(made.at)
    clock.made = made.ids
    return clock


@pytest.fixture
def place(made: Made, tmp_path: Path, clock: SiteClock) -> Iterator[Workplace]:
    """A copy of the project, to be changed at will."""
    folder = tmp_path / "larkwater"
    shutil.copytree(made.folder, folder)
    with open_project(folder, clock, device="tablet south") as opened:
        yield opened


def wrong(found: PaperVerdict) -> set[object]:
    """What speaks against a paper; each has a sentence."""
    assert all(each.says.endswith(".") for each in found.record)
    assert found.verdict is Verdict.REJECTED
    return {each.name for each in found.against}


def test_the_paper_signed_by_all_is_valid_and_every_fact_is_a_yes(made: Made, place: Workplace) -> None:
    found = verify_file(made.papers[2], place)
    assert found.verdict is Verdict.VALID
    assert {each.name for each in found.record} == set(Asked) - {Asked.OWN_ROSTER}
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
    assert "a release until 12 May 18:00 by Resident engineer" in until
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


def insider(place: Workplace, made: Made, journal: bytes | None) -> PaperVerdict:
    """What is found of a paper that the inspector made himself, signed and journalled, with this inside."""
    digest = place.shaft("P1-1").digest
    pdf = insiders_paper(place, made.pens[Role.INSPECTOR], journal, digest)
    return verify_file(pdf, place)


def test_an_insiders_paper_with_the_true_journal_inside_passes_for_its_pages_are_his_word(
    made: Made, place: Workplace
) -> None:
    true = written(paper_journal(place.entries(), "P1-1", MORNING))
    assert insider(place, made, true).verdict is Verdict.VALID


def test_a_journal_of_another_shaft_does_not_give_the_digest(made: Made, place: Workplace) -> None:
    found = insider(place, made, written(paper_journal(place.entries(), "P9-1", MORNING)))
    assert wrong(found) == {Asked.SAME_DIGEST, Asked.IN_JOURNAL}


def test_a_page_without_the_digest_is_named(made: Made, place: Workplace) -> None:
    true = written(paper_journal(place.entries(), "P1-1", MORNING))
    pdf = insiders_paper(place, made.pens[Role.INSPECTOR], true, place.shaft("P1-1").digest, on_page="0" * 64)
    found = verify_file(pdf, place)
    assert wrong(found) == {Asked.SAME_DIGEST}
    assert "page 1 does not show it" in next(each.says for each in found.against)


def test_a_paper_without_its_journal_or_with_a_broken_one_is_rejected(made: Made, place: Workplace) -> None:
    assert wrong(insider(place, made, None)) == {Asked.ATTACHED}
    assert wrong(insider(place, made, b"{}")) == {Asked.ATTACHED}


def test_an_entry_left_out_of_the_attached_journal_is_named(made: Made, place: Workplace) -> None:
    true = paper_journal(place.entries(), "P1-1", MORNING)
    tape = next(each for each in true.entries if each.kind == "instrument")
    less = replace(true, entries=tuple(each for each in true.entries if each is not tape))
    found = insider(place, made, written(less))
    assert wrong(found) == {Asked.IN_PROJECT}
    assert f"Entry {tape.seq} of {tape.device} is left out" in next(each.says for each in found.against)


def test_an_entry_that_the_project_has_otherwise_or_not_at_all_is_named(
    made: Made, place: Workplace, tmp_path: Path
) -> None:
    true = paper_journal(place.entries(), "P1-1", MORNING)
    last = max((each for each in true.entries if each.device == "office"), key=lambda each: each.seq)
    before = ChainHead("office", last.seq - 1, last.prev)
    twin = seal(replace(last.draft, author="Designer"), before, last.stamp)
    heads = tuple(
        ChainHead("office", twin.seq, twin.hash) if each.device == "office" else each for each in true.heads
    )
    entries = tuple(twin if each is last else each for each in true.entries)
    found = insider(place, made, written(replace(true, entries=entries, heads=heads)))
    assert Asked.IN_PROJECT in wrong(found)
    assert any("is another one in the project's journal" in each.says for each in found.against)
    more = seal(
        replace(last.draft, id="019e1d46-3180-75b4-904d-00000000ffff", shaft="P1-1", values=Note("clean")),
        ChainHead("tablet x"),
        last.stamp + 90,
    )
    with_more = replace(
        true, entries=(*true.entries, more), heads=(*true.heads, ChainHead("tablet x", 1, more.hash))
    )
    pdf = insiders_paper(place, made.pens[Role.INSPECTOR], written(with_more), with_more.record_digest)
    found = verify_file(pdf, place)
    assert wrong(found) == {Asked.IN_PROJECT}
    assert "lacks entry 1 of tablet x" in next(each.says for each in found.against)


def test_a_paper_of_another_project_is_named(made: Made, place: Workplace) -> None:
    theirs = tuple(
        seal(
            replace(each.draft, project="otherwater"),
            ChainHead(each.device, each.seq - 1, "0" * 64),
            each.stamp,
        )
        for each in place.entries()
        if each.seq == 1 and each.shaft in {None, "P1-1"}
    )
    journal = paper_journal(theirs, "P1-1", MORNING)
    pdf = insiders_paper(place, made.pens[Role.INSPECTOR], written(journal), journal.record_digest)
    found = verify_file(pdf, place)
    assert wrong(found) == {Asked.IN_PROJECT}
    assert "of the project otherwater, not of larkwater" in next(each.says for each in found.against)


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
    assert "The paper shows a release, and now it is held. sand near the base" in verdict_text(found)


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
    looking = replace(place, until=until, _record=None, _entries=())
    paper = write_shaft_log(looking, "P1-1", until, "Inspector A", made.pens[Role.INSPECTOR])
    found = verify_file(paper.path.read_bytes(), place)
    assert found.verdict is Verdict.VALID
    assert found.journal is not None
    assert [each.kind for each in found.journal.shaft_entries] == ["shaft scheduled", "excavation stage"]


def test_two_hundred_bytes_changed_one_by_one_are_all_noticed_by_signature_and_by_journal(
    made: Made, place: Workplace
) -> None:
    pdf = made.papers[0]
    missed = []
    for position in range(0, len(pdf), len(pdf) // 200):
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


def attached(made: Made) -> bytes:
    (file,) = attached_files(made.papers[0])
    return file.data


def test_the_attached_journal_reads_back_as_it_was_written(made: Made, place: Workplace) -> None:
    data = attached(made)
    journal = read_paper_journal(data)
    assert written(journal) == data
    assert {each.id: each.sealed for each in journal.entries}.items() <= {
        each.id: each.sealed for each in place.entries()
    }.items()


def changed(data: bytes, **fields: object) -> bytes:
    return rfc8785.dumps({**json.loads(data), **fields})


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda data: data[:-1], "not JSON"),
        (lambda data: b"\xff" + data, "not JSON"),
        (lambda data: data + b"\n", "one way"),
        (lambda data: b"[]", "not a basenote journal"),
        (lambda data: b"[" * 100_000, "too deeply"),
        (lambda data: b'{"a":1.5}', "1.5"),
        (lambda data: b'{"a":NaN}', "NaN"),
        (lambda data: b'{"a":1,"a":1}', "stands twice"),
        (lambda data: changed(data, more=1), "fields of its format"),
        (lambda data: changed(data, format="another"), "not a basenote journal"),
        (lambda data: changed(data, record_digest="0" * 64), "not the one of its entries"),
        (lambda data: changed(data, project="otherwater"), "about something else"),
        (lambda data: changed(data, shaft="P9-1"), "about something else"),
        (lambda data: changed(data, heads=[]), "does not end where it says"),
        (lambda data: changed(data, shaft_entries=[]), "no entry of the shaft"),
        (lambda data: changed(data, shaft_entries="none"), "not a list"),
        (lambda data: changed(data, heads=[{"device": "x", "seq": 0, "hash": ""}]), "no number"),
        (lambda data: changed(data, as_of="noon"), "as of"),
        (lambda data: data.replace(b"29' 11 3/4", b"29' 11 1/4"), "not the one of its hash"),
        (lambda data: data.replace(b'"sealed":"{', b'"sealed":"{{', 1), "not an entry"),
        (lambda data: data.replace(b"office", b"off\\ud800", 1), ""),
        (lambda data: b" " * (33 * 2**20), "larger than"),
    ],
)
def test_an_attached_journal_that_was_touched_is_refused_in_words(made: Made, change, said: str) -> None:
    data = attached(made)
    assert change(data) != data
    with pytest.raises(UnreadableJournal) as refused:
        read_paper_journal(change(data))
    assert said in str(refused.value)
    assert str(refused.value)


def test_entries_out_of_order_or_twice_are_refused(made: Made) -> None:
    body = json.loads(attached(made))
    turned = [*reversed(body["shaft_entries"])]
    twice = [*body["shaft_entries"], body["shaft_entries"][-1]]
    for rows in (turned, twice):
        with pytest.raises(UnreadableJournal):
            read_paper_journal(changed(attached(made), shaft_entries=rows))


def test_a_journal_of_a_newer_program_is_unknown_and_not_false(made: Made, place: Workplace) -> None:
    newer = changed(attached(made), version=2)
    with pytest.raises(NewerJournal):
        read_paper_journal(newer)
    found = insider(place, made, newer)
    assert found.verdict is Verdict.UNKNOWN
    assert found.answer(Asked.ATTACHED) is Answer.UNKNOWN


def test_the_signed_stretches_that_vouch_for_the_shaft_are_attached_and_no_others(
    made: Made, place: Workplace
) -> None:
    stretches = []
    for shaft in ("P1-1", "P9-1"):
        entry = record_entry(place, Saying(shaft, Note("rig moved"), "Inspector A"))
        values = StretchSigned(entry.seq, entry.hash, "30" * 71)
        draft = replace(entry.draft, id=place.clock.new_id(), shaft=None, values=values)
        stretches += place.append([draft])
    journal = paper_journal(place.entries(), "P1-1", MORNING)
    assert [each for each in journal.entries if each.kind == "stretch signed"] == [stretches[0]]
    assert read_paper_journal(written(journal)) == journal
    assert insider(place, made, written(journal)).answer(Asked.IN_PROJECT) is Answer.YES
    more = replace(journal, entries=(*journal.entries, stretches[1]))
    with pytest.raises(UnreadableJournal, match="does not belong to its paper"):
        read_paper_journal(written(more))
