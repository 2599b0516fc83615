"""Papers of every kind go one way: written, certified by whom their order asks, journalled, verified."""

from __future__ import annotations

import hashlib

import pytest

from fieldapp.desk.office import shaft_now
from fieldapp.desk.papers import signing
from fieldapp.desk.papers.enclosed import enclosed
from fieldapp.desk.papers.facts import RecordFactName
from fieldapp.desk.papers.forms import FORMS, SHORT
from fieldapp.desk.papers.paper import Paper, Pen
from fieldapp.desk.papers.signing import countersign, next_role
from fieldapp.desk.papers.verifying import verify_file
from fieldapp.desk.papers.writing import Wanted, write_paper
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.errors import IdentityProblem, WrongOrder
from fieldapp.identity.signing_order import ORDERS
from fieldapp.identity.verification import Answer, Verdict
from fieldapp.record.words import PaperKind, Role
from tests.desk.signed_papers import note_signed, pin_all, signed_entries
from tests.reports.reading_pdf import reader, text_of
from tests.reports.story import facts_us

ONE_STEP = (PaperKind.RELEASE_SHEET, PaperKind.BASE_CONDITION)


def written_paper(place: Workplace, kind: PaperKind, pen: Pen | None = None) -> Paper:
    wanted = Wanted(FORMS[kind], "P1-1", shaft_now(place, "P1-1").at, "Inspector A")
    return write_paper(place, wanted, pen)


def pen_for(pens: dict[Role, Pen], kind: PaperKind) -> Pen:
    return pens[FORMS[kind].first_role]


@pytest.mark.parametrize("kind", list(FORMS))
def test_every_kind_has_an_order_a_meaning_for_each_step_and_boxes_of_just_those_fields(
    kind: PaperKind,
) -> None:
    form = FORMS[kind]
    assert SHORT[form.short] is kind
    assert set(form.meaning) == {each.role for each in form.order.steps}
    report = form.lays_out(facts_us())
    assert tuple(each.name for each in report.fields) == form.order.fields
    text = text_of(report.pdf)
    for each in form.order.steps:
        assert form.meaning[each.role].split(":")[1] in text, "the paper says what the signature means"


def test_the_orders_are_those_that_the_readers_need() -> None:
    roles = {kind: [each.role for each in order.steps] for kind, order in ORDERS.items()}
    assert roles == {
        PaperKind.SHAFT_LOG: [Role.INSPECTOR, Role.RESIDENT_ENGINEER, Role.DESIGNER],
        PaperKind.RELEASE_SHEET: [Role.RESIDENT_ENGINEER],
        PaperKind.BASE_CONDITION: [Role.DESIGNER],
        PaperKind.PROJECT_SUMMARY: [Role.DESIGNER],
    }


@pytest.mark.parametrize("kind", ONE_STEP)
def test_a_paper_of_one_step_is_certified_closed_journalled_and_valid(
    place: Workplace, kind: PaperKind
) -> None:
    pens = pin_all(place)
    pen = pen_for(pens, kind)
    paper = written_paper(place, kind, pen)
    assert (paper.signed, paper.new) == (True, True)
    digest = place.shaft("P1-1").digest
    at = shaft_now(place, "P1-1").at
    assert paper.path.name == f"p1-1-{FORMS[kind].short}-{at:%Y%m%d-%H%M}-{digest[:12]}-signed.pdf"
    (entry,) = signed_entries(place)
    assert (entry.paper, entry.about, entry.role) == (kind, "P1-1", pen.role)
    assert entry.file_digest == hashlib.sha256(paper.path.read_bytes()).hexdigest()
    found = verify_file(paper.path.read_bytes(), place)
    assert found.verdict is Verdict.VALID, found.says
    assert found.kind is kind
    assert next_role(place, paper.path) is None
    for role in Role:
        with pytest.raises(IdentityProblem) as refused:
            countersign(place, paper.path, pens[role])
        assert "Nothing was signed" in str(refused.value) or "signed already" in str(refused.value)
    assert len(signed_entries(place)) == 1


@pytest.mark.parametrize("kind", ONE_STEP)
def test_somebody_else_than_the_order_asks_certifies_nothing(place: Workplace, kind: PaperKind) -> None:
    pens = pin_all(place)
    for role in set(Role) - {FORMS[kind].first_role}:
        with pytest.raises(WrongOrder):
            written_paper(place, kind, pens[role])
    assert not list((place.folder / "reports").iterdir())
    assert signed_entries(place) == []


@pytest.mark.parametrize("kind", list(FORMS))
def test_without_a_project_a_signed_paper_of_any_kind_is_unknown_and_nothing_is_wrong(
    place: Workplace, kind: PaperKind
) -> None:
    pens = pin_all(place)
    found = verify_file(written_paper(place, kind, pen_for(pens, kind)).path.read_bytes())
    assert found.verdict is Verdict.UNKNOWN
    assert found.against == ()
    assert found.kind is kind


@pytest.mark.parametrize("kind", ONE_STEP)
def test_a_signature_without_its_entry_is_taken_up(
    place: Workplace, kind: PaperKind, monkeypatch: pytest.MonkeyPatch
) -> None:
    pens = pin_all(place)

    def dies(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(signing, "record_entry", dies)
        with pytest.raises(KeyboardInterrupt):
            written_paper(place, kind, pen_for(pens, kind))
    assert signed_entries(place) == []
    paper = written_paper(place, kind, pen_for(pens, kind))
    assert not paper.new
    (entry,) = signed_entries(place)
    assert entry.paper is kind
    assert verify_file(paper.path.read_bytes(), place).verdict is Verdict.VALID


def test_a_file_that_the_journal_names_as_another_kind_is_rejected(place: Workplace) -> None:
    pens = pin_all(place)
    pen = pens[Role.DESIGNER]
    path = written_paper(place, PaperKind.BASE_CONDITION, pen).path
    other = path.read_bytes()
    (entry,) = signed_entries(place)
    # a second paper of the same bytes plus nothing, which an insider notes as a release sheet
    copy = other + b"\n"
    note_signed(place, copy, pen, entry.record_digest, paper=PaperKind.RELEASE_SHEET, field="Designer")
    found = verify_file(copy, place)
    named = next(each for each in found.record if each.name is RecordFactName.IN_JOURNAL)
    assert named.answer is Answer.NO
    assert "names this file as a release sheet, and it calls itself a base condition report" in named.says


@pytest.mark.parametrize("kind", list(FORMS))
def test_the_same_record_gives_the_same_bytes_of_every_kind_twice(place: Workplace, kind: PaperKind) -> None:
    path = written_paper(place, kind).path
    first = path.read_bytes()
    assert not written_paper(place, kind).new
    path.unlink()
    assert written_paper(place, kind).new
    assert path.read_bytes() == first
    document = reader(first)
    assert document.trailer["/Root"]["/Lang"] == "en-US"
    assert str(kind).rsplit(" ", maxsplit=1)[-1] in document.metadata.title
    inside = enclosed(first, {})
    assert inside.kind is kind
    assert inside.printed is not None
    assert inside.printed.record_digest == place.shaft("P1-1").digest
