"""The first signature on an unsigned paper: on what was read, of the present record, or not at all."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from fieldapp.desk.inspector import AskFirst, Saying, record_entry
from fieldapp.desk.office import shaft_now
from fieldapp.desk.papers.certifying import OLDER_MOMENT, certify, first_role
from fieldapp.desk.papers.forms import FORMS
from fieldapp.desk.papers.paper import PaperRefused, Pen
from fieldapp.desk.papers.summary import write_summary
from fieldapp.desk.papers.verifying import UNSIGNED_COPY, verify_file
from fieldapp.desk.papers.writing import Wanted, write_paper
from fieldapp.desk.turning_point import Stopped, TurningPoint
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.verification import Verdict
from fieldapp.record.hole import Note
from fieldapp.record.words import PaperKind, Role
from tests.desk.signed_papers import pin_all, signed_entries
from tests.reports.reading_pdf import text_of

SHEET, BASE, SUMMARY = PaperKind.RELEASE_SHEET, PaperKind.BASE_CONDITION, PaperKind.PROJECT_SUMMARY
FIRST = {SHEET: Role.RESIDENT_ENGINEER, BASE: Role.DESIGNER, SUMMARY: Role.DESIGNER}


def unsigned(place: Workplace, kind: PaperKind) -> Path:
    at = shaft_now(place, "P1-1").at
    if kind is SUMMARY:
        return write_summary(place, at, "Inspector A").path
    return write_paper(place, Wanted(FORMS[kind], "P1-1", at, "Inspector A")).path


def refused(kind: type[Exception], act: Callable[[], Any], place: Workplace) -> str:
    """What is said of a refusal that makes neither file nor entry."""
    files, entries = sorted(place.folder.glob("reports/*")), tuple(place.entries())
    with pytest.raises(kind) as problem:
        act()
    assert sorted(place.folder.glob("reports/*")) == files
    assert tuple(place.entries()) == entries
    return str(problem.value)


@pytest.mark.parametrize("kind", list(FIRST))
def test_what_was_read_is_signed_as_of_its_moment_and_is_valid(place: Workplace, kind: PaperKind) -> None:
    pens = pin_all(place)
    path = unsigned(place, kind)
    copy = verify_file(path.read_bytes(), place)
    assert first_role(copy) is FIRST[kind]
    assert copy.verdict is (Verdict.UNKNOWN if kind is SUMMARY else Verdict.REJECTED)
    assert (copy.says == UNSIGNED_COPY) is (kind is not SUMMARY)
    paper = certify(place, path, pens[FIRST[kind]])
    assert paper.path.name == path.name.replace("-unsigned", "-signed")
    assert path.exists()
    found = verify_file(paper.path.read_bytes(), place)
    assert found.verdict is Verdict.VALID, found.says
    assert first_role(found) is None
    assert signed_entries(place)[-1].paper is kind
    digest = signed_entries(place)[-1].record_digest
    assert digest in text_of(path.read_bytes())
    assert digest in text_of(paper.path.read_bytes())


@pytest.mark.parametrize("kind", list(FIRST))
def test_another_role_a_stop_and_a_changed_record_sign_nothing(place: Workplace, kind: PaperKind) -> None:
    pens = pin_all(place)
    path, pen = unsigned(place, kind), pens[FIRST[kind]]
    for role in set(Role) - {FIRST[kind]}:
        says = refused(PaperRefused, lambda role=role: certify(place, path, pens[role]), place)
        assert f"is not signed by the {role}" in says
    turning = TurningPoint()
    turning.stop()
    refused(Stopped, lambda: certify(place, path, pen, (), turning), place)
    record_entry(place, Saying("P1-1", Note("rig moved"), "Inspector A"))
    says = refused(PaperRefused, lambda: certify(place, path, pen), place)
    summary = kind is PaperKind.PROJECT_SUMMARY
    since = "The record is another for: P1-1." if summary else "1 entry since: note."
    assert says == (
        f"The record has changed since this paper was made. {since} "
        "Nothing was signed; make the paper anew and read it."
    )


def test_somebody_who_has_not_the_role_on_the_roster_signs_nothing(place: Workplace) -> None:
    pens = pin_all(place)
    path = unsigned(place, BASE)
    pen = Pen(pens[Role.INSPECTOR].key, Role.DESIGNER)
    assert "is inspector on the project's roster" in refused(
        PaperRefused, lambda: certify(place, path, pen), place
    )


def test_a_changed_page_is_not_signed(place: Workplace) -> None:
    pens = pin_all(place)
    path = unsigned(place, SHEET)
    pdf = bytearray(path.read_bytes())
    pdf[len(pdf) // 4] ^= 1
    path.write_bytes(bytes(pdf))
    says = refused(PaperRefused, lambda: certify(place, path, pens[Role.RESIDENT_ENGINEER]), place)
    assert says.startswith("This paper is not as the project's record has it: ")
    assert first_role(verify_file(bytes(pdf), place)) is None


def test_a_log_is_signed_where_the_record_is_signed_off(place: Workplace) -> None:
    pens = pin_all(place)
    path = unsigned(place, PaperKind.SHAFT_LOG)
    assert first_role(verify_file(path.read_bytes(), place)) is None
    says = refused(PaperRefused, lambda: certify(place, path, pens[Role.INSPECTOR]), place)
    assert "where its record is signed off" in says


def test_a_signed_one_is_not_signed_first_again(place: Workplace) -> None:
    pens = pin_all(place)
    pen = pens[Role.RESIDENT_ENGINEER]
    paper = certify(place, unsigned(place, SHEET), pen)
    assert "signed already" in refused(PaperRefused, lambda: certify(place, paper.path, pen), place)
    again = certify(place, unsigned(place, SHEET), pen)
    assert (again.path, again.new) == (paper.path, False)


def test_what_time_alone_has_changed_is_asked_first(place: Workplace, clock: Any) -> None:
    pens = pin_all(place)
    path, pen = unsigned(place, SHEET), pens[Role.RESIDENT_ENGINEER]
    clock.move(hours=30)
    asked = pytest.raises(AskFirst)
    with asked as problem:
        certify(place, path, pen)
    assert problem.value.codes == (OLDER_MOMENT,)
    assert "by time alone it is otherwise now: " in str(problem.value)
    assert signed_entries(place) == []
    paper = certify(place, path, pen, (OLDER_MOMENT,))
    assert verify_file(paper.path.read_bytes(), place).printed is not None
    assert signed_entries(place)[-1].paper is SHEET
