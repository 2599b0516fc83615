"""All papers of all sample shafts: how many pages, and what they say worked out anew from themselves."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from fieldapp.criteria.finding import Outcome
from fieldapp.desk.office import moment_of
from fieldapp.desk.papers.attached import attached_place
from fieldapp.desk.papers.enclosed import enclosed
from fieldapp.desk.papers.forms import FORMS
from fieldapp.desk.papers.journal import paper_journal, read_paper_journal, written
from fieldapp.desk.papers.printed import printed_facts
from fieldapp.desk.papers.shaft_facts import shaft_facts
from fieldapp.desk.papers.writing import Wanted, write_paper
from fieldapp.desk.workplace import Workplace
from fieldapp.record.words import PaperKind
from tests.desk.papers.samples import SHAFTS, sample_project
from tests.reports.reading_pdf import text_of


@pytest.fixture(scope="module", params=sorted(SHAFTS))
def place(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory):
    with sample_project(tmp_path_factory.mktemp("samples"), request.param) as made:
        assert tuple(made.record().shafts) == SHAFTS[request.param]
        yield made


def paper_of(place: Workplace, shaft: str, kind: PaperKind) -> Path:
    at = moment_of(place, shaft)
    return write_paper(place, Wanted(FORMS[kind], shaft, at, "Resident engineer")).path


def test_every_release_sheet_is_one_page_and_names_all_that_is_not_met_or_not_shown(place: Workplace) -> None:
    for shaft in place.record().shafts:
        path = paper_of(place, shaft, PaperKind.RELEASE_SHEET)
        assert f"{shaft.lower()}-release-" in path.name
        pdf = path.read_bytes()
        assert len(PdfReader(BytesIO(pdf)).pages) == 1, shaft
        text = text_of(pdf)
        facts = shaft_facts(place, shaft, moment_of(place, shaft), "x", PaperKind.RELEASE_SHEET)
        for each in facts.findings:
            if each.outcome in {Outcome.NOT_MET, Outcome.NOT_SHOWN}:
                assert each.requirement in text, (shaft, each.requirement)
                assert (each.measured or str(each.says).rstrip(".")) in text, (shaft, each.requirement)
        assert str(facts.standing.standing).capitalize() in text
        assert facts.record_digest in text


def test_what_a_paper_says_is_worked_out_anew_from_its_attached_journal_alone(place: Workplace) -> None:
    for shaft in place.record().shafts:
        path = paper_of(place, shaft, PaperKind.BASE_CONDITION)
        inside = enclosed(path.read_bytes(), {})
        assert inside.journal is not None
        assert inside.printed is not None
        alone = attached_place(inside.journal, inside.printed.printed_at)
        facts = shaft_facts(alone, shaft, inside.printed.moment, inside.printed.printed_by, inside.kind)
        assert printed_facts(facts, inside.kind) == inside.printed, shaft
        # nothing else of the project is needed, and the same journal comes out of it
        again = paper_journal(alone.entries(), shaft, inside.journal.as_of)
        assert written(again) == written(inside.journal)


def test_the_pages_are_laid_out_again_from_the_attached_journal_byte_for_byte(place: Workplace) -> None:
    shaft = next(iter(place.record().shafts))
    for kind, form in FORMS.items():
        pdf = paper_of(place, shaft, kind).read_bytes()
        inside = enclosed(pdf, {})
        assert inside.journal is not None
        assert inside.printed is not None
        alone = attached_place(inside.journal, inside.printed.printed_at)
        facts = shaft_facts(alone, shaft, inside.printed.moment, inside.printed.printed_by, kind)
        pages = form.lays_out(facts).pdf
        assert pdf.startswith(pages)  # what is attached follows as later revisions


def test_a_journal_read_from_a_paper_keeps_what_bears_on_its_shaft(place: Workplace) -> None:
    shaft = next(iter(place.record().shafts))
    journal = paper_journal(place.entries(), shaft, moment_of(place, shaft))
    assert read_paper_journal(written(journal)) == journal
    assert {each.device for each in journal.heads} == {each.device for each in journal.everything}
