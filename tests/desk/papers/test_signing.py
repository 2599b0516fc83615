"""Shaft logs signed one after the other, each signature in the journal."""

from __future__ import annotations

import hashlib
from datetime import timedelta
from pathlib import Path

import pytest

from fieldapp.desk.inspector import AskFirst, Saying, record_entry
from fieldapp.desk.office import shaft_now
from fieldapp.desk.papers import signing
from fieldapp.desk.papers.logs import write_shaft_log
from fieldapp.desk.papers.paper import Paper, PaperRefused, Pen
from fieldapp.desk.papers.policy import signatures_up_to
from fieldapp.desk.papers.signing import OLDER_RECORD, countersign, next_role
from fieldapp.desk.papers.verifying import verify_file
from fieldapp.desk.workplace import Workplace, read_project
from fieldapp.identity.errors import (
    ClockProblem,
    FieldProblem,
    NotThisPerson,
    OutsideValidity,
    RevokedKey,
    WrongOrder,
)
from fieldapp.identity.verification import Verdict
from fieldapp.record.attesting import PaperSigned, Revocation
from fieldapp.record.column import HeadReading
from fieldapp.record.hole import Note
from fieldapp.record.reading import Reading
from fieldapp.record.words import Role
from fieldapp.store.problems import OnlyReading
from tests.desk.signed_papers import HAND, PEOPLE, certified, new_key, pin, pin_all, signed_entries


def test_inspector_engineer_and_designer_sign_in_turn_and_the_journal_names_each(
    place: Workplace, clock
) -> None:
    pens = pin_all(place)
    paths = [certified(place, Pen(pens[Role.INSPECTOR].key, Role.INSPECTOR, HAND)).path]
    for role in (Role.RESIDENT_ENGINEER, Role.DESIGNER):
        clock.move(minutes=5)
        assert next_role(place, paths[-1]) is role
        paper = countersign(place, paths[-1], pens[role])
        assert (paper.signed, paper.new, paper.note) == (True, True, "")
        paths.append(paper.path)
    assert next_role(place, paths[-1]) is None
    assert [each.name.rsplit("-signed", 1)[1] for each in paths] == [".pdf", "-2.pdf", "-3.pdf"]
    contents = [each.read_bytes() for each in paths]
    assert contents[2].startswith(contents[1])
    assert contents[1].startswith(contents[0])
    said = signed_entries(place)
    digests = [hashlib.sha256(each).hexdigest() for each in contents]
    assert [each.file_digest for each in said] == digests
    assert [each.follows for each in said] == ["", *digests[:2]]
    assert [each.role for each in said] == list(Role)
    assert [each.field for each in said] == ["Inspector", "ResidentEngineer", "Designer"]
    assert {each.record_digest for each in said} == {place.shaft("P1-1").digest}
    assert said[0].drawn == "0.000,0.200 0.250,0.750 1.000,0.125;0.500,0.500"
    authors = [each.draft.author for each in signatures_up_to(place.record(), digests[2])]
    assert authors == list(PEOPLE.values())
    assert verify_file(contents[2], place).verdict is Verdict.VALID
    with pytest.raises(FieldProblem, match="signed already"):
        countersign(place, paths[-1], pens[Role.INSPECTOR])


def test_the_one_who_looks_only_can_write_a_log_and_not_sign_one(place: Workplace) -> None:
    pens = pin_all(place)
    with read_project(place.folder) as looking:
        at = shaft_now(looking, "P1-1").at
        assert write_shaft_log(looking, "P1-1", at, "Inspector A").new
        with pytest.raises(OnlyReading):
            write_shaft_log(looking, "P1-1", at, "Inspector A", pens[Role.INSPECTOR])
    assert not list((place.folder / "reports").glob("*-signed*"))


def test_a_signature_without_its_entry_is_taken_up_from_the_file(
    place: Workplace, clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    pens = pin_all(place)
    first = None
    for role in Role:

        def sign(role: Role = role, before: Path | None = first) -> Paper:
            if before is None:
                return certified(place, pens[role])
            return countersign(place, before, pens[role])

        with monkeypatch.context() as patched:
            patched.setattr(signing, "record_entry", _dies)
            with pytest.raises(KeyboardInterrupt):
                sign()
        names = sorted(each.name for each in (place.folder / "reports").iterdir())
        assert len(names) == list(Role).index(role) + 1
        content = {each: each.read_bytes() for each in (place.folder / "reports").iterdir()}
        clock.move(minutes=1)
        paper = sign()
        assert not paper.new
        assert {each: each.read_bytes() for each in (place.folder / "reports").iterdir()} == content
        (entry,) = [each for each in place.entries() if _is_of(each.values, paper.path)]
        assert entry.draft.author == PEOPLE[role]
        assert entry.draft.observed_at == clock.at - timedelta(minutes=1)
        assert not sign().new
        first = paper.path
    assert len(signed_entries(place)) == 3
    assert verify_file(first.read_bytes(), place).verdict is Verdict.VALID


def _dies(*_: object) -> None:
    raise KeyboardInterrupt


def _is_of(values: object, path: Path) -> bool:
    digest = hashlib.sha256(path.read_bytes()).hexdigest()
    return isinstance(values, PaperSigned) and values.file_digest == digest


def test_an_interrupted_signature_leaves_the_earlier_file_and_no_other(
    place: Workplace, monkeypatch: pytest.MonkeyPatch
) -> None:
    pens = pin_all(place)
    path = certified(place, pens[Role.INSPECTOR]).path
    before = path.read_bytes()
    for name in ("sign_pdf", "save_paper"):
        with monkeypatch.context() as patched:
            patched.setattr(signing, name, _dies)
            with pytest.raises(KeyboardInterrupt):
                countersign(place, path, pens[Role.RESIDENT_ENGINEER])
    assert list((place.folder / "reports").iterdir()) == [path]
    assert path.read_bytes() == before
    assert countersign(place, path, pens[Role.RESIDENT_ENGINEER]).new


def test_a_strange_file_in_the_place_of_the_signed_one_is_left_and_named(place: Workplace) -> None:
    pens = pin_all(place)
    path = certified(place, pens[Role.INSPECTOR]).path
    other = path.with_name(path.name.replace("-signed", "-signed-2"))
    stranger = Pen(new_key(Role.INSPECTOR), Role.INSPECTOR)
    for content in (b"%PDF-1.4 something", path.read_bytes(), path.read_bytes() + b"\n"):
        other.write_bytes(content)
        with pytest.raises(PaperRefused, match="is there already"):
            countersign(place, path, pens[Role.RESIDENT_ENGINEER])
        assert other.read_bytes() == content
    path.unlink()
    path.write_bytes(b"%PDF-1.4 something")
    with pytest.raises(PaperRefused, match="is there already and is not this paper"):
        certified(place, stranger)


def test_a_paper_of_an_older_record_is_asked_about_and_signed_when_confirmed(place: Workplace) -> None:
    pens = pin_all(place)
    path = certified(place, pens[Role.INSPECTOR]).path
    record_entry(place, Saying("P1-1", Note("cage in"), "Inspector A"))
    with pytest.raises(AskFirst) as asked:
        countersign(place, path, pens[Role.RESIDENT_ENGINEER])
    assert "1 entry since: note. Sign" in str(asked.value)
    record_entry(place, Saying("P1-1", Note("rig moved"), "Inspector A"))
    record_entry(place, Saying("P1-1", HeadReading(Reading("3' 2\"", "ft-in")), "Inspector A"))
    with pytest.raises(AskFirst) as asked:
        countersign(place, path, pens[Role.RESIDENT_ENGINEER])
    assert asked.value.codes == (OLDER_RECORD,)
    assert str(asked.value) == (
        "The record of shaft P1-1 has changed since this paper was made. 3 entries since: note (2), head "
        "reading. Sign the older state all the same?"
    )
    assert len(signed_entries(place)) == 1
    paper = countersign(place, path, pens[Role.RESIDENT_ENGINEER], asked.value.codes)
    assert paper.new
    assert tuple(place.entries())[-1].draft.confirmed == (OLDER_RECORD,)
    assert verify_file(paper.path.read_bytes(), place).verdict is Verdict.VALID


def test_wrong_order_wrong_role_and_a_strange_key_sign_nothing(place: Workplace) -> None:
    pens = pin_all(place)
    inspector, engineer, designer = (pens[each] for each in Role)
    with pytest.raises(WrongOrder):
        certified(place, engineer)
    path = certified(place, inspector).path
    with pytest.raises(WrongOrder, match="resident engineer must sign before the designer"):
        countersign(place, path, designer)
    with pytest.raises(PaperRefused, match="Inspector A is to sign as resident engineer, and is inspector"):
        countersign(place, path, Pen(inspector.key, Role.RESIDENT_ENGINEER))
    with pytest.raises(NotThisPerson):
        countersign(place, path, Pen(new_key(Role.RESIDENT_ENGINEER), Role.RESIDENT_ENGINEER))
    assert list((place.folder / "reports").iterdir()) == [path]
    assert len(signed_entries(place)) == 1


def test_who_signed_further_is_named_when_the_earlier_file_is_taken(place: Workplace) -> None:
    pens = pin_all(place)
    path = certified(place, pens[Role.INSPECTOR]).path
    later = countersign(place, path, pens[Role.RESIDENT_ENGINEER]).path
    assert not countersign(place, path, pens[Role.RESIDENT_ENGINEER]).new
    with pytest.raises(PaperRefused, match="sign that file instead"):
        countersign(place, path, pens[Role.DESIGNER])
    later.unlink()
    with pytest.raises(PaperRefused, match=f"Resident engineer has signed this paper further.*{later.name}"):
        countersign(place, path, pens[Role.RESIDENT_ENGINEER])


def test_a_changed_paper_and_one_the_journal_does_not_name_are_not_signed(place: Workplace) -> None:
    pens = pin_all(place)
    path = certified(place, pens[Role.INSPECTOR]).path
    unsigned = write_shaft_log(place, "P1-1", shaft_now(place, "P1-1").at, "Inspector A").path
    changed = bytearray(path.read_bytes())
    changed[len(changed) // 2] ^= 1
    path.write_bytes(changed)
    for each, why in ((path, "does not name this file"), (unsigned, "The paper is not signed")):
        with pytest.raises(PaperRefused, match=why):
            countersign(place, each, pens[Role.RESIDENT_ENGINEER])
    assert len(list((place.folder / "reports").iterdir())) == 2


def test_a_clock_set_back_an_expired_and_a_revoked_key_sign_nothing(place: Workplace, clock) -> None:
    pens = pin_all(place)
    path = certified(place, pens[Role.INSPECTOR]).path
    engineer = pens[Role.RESIDENT_ENGINEER]
    clock.move(minutes=-11)
    with pytest.raises(ClockProblem, match="set the clock"):
        countersign(place, path, engineer)
    clock.move(days=3000)
    with pytest.raises(OutsideValidity):
        countersign(place, path, engineer)
    clock.move(days=-3000, minutes=30)
    lost = Revocation(
        PEOPLE[Role.RESIDENT_ENGINEER], engineer.key.certificate.fingerprint, clock.at, "tablet lost"
    )
    record_entry(place, Saying(None, lost, "Designer"))
    with pytest.raises(RevokedKey):
        countersign(place, path, engineer)
    assert list((place.folder / "reports").iterdir()) == [path]
    again = pin(place, Role.RESIDENT_ENGINEER, new_key(Role.RESIDENT_ENGINEER))
    assert countersign(place, path, again).new


def test_strokes_that_the_journal_cannot_hold_are_refused_before_anything_is_signed(place: Workplace) -> None:
    pens = pin_all(place)
    line = tuple((step / 2000, 0.5) for step in range(2000))
    with pytest.raises(PaperRefused, match="too long"):
        certified(place, Pen(pens[Role.INSPECTOR].key, Role.INSPECTOR, (line,)))
    assert not list((place.folder / "reports").iterdir())
