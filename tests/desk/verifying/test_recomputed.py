"""What a paper says, worked out anew from its journal: false prints that a rightful key has signed."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
import rfc8785

from fieldapp.criteria.finding import Outcome
from fieldapp.desk.inspector import AskFirst
from fieldapp.desk.papers import anew
from fieldapp.desk.papers.printed import LARGEST_BYTES, PrintedFacts, written_facts
from fieldapp.desk.papers.record_fact import FROM_ITS_JOURNAL
from fieldapp.desk.papers.record_fact import RecordFactName as Asked
from fieldapp.desk.papers.signing import NOT_COMPARED, PaperRefused, countersign
from fieldapp.desk.papers.verifying import verify_file
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.verification import Answer, FactName, Verdict
from fieldapp.record.words import PaperKind, Role
from tests.desk.signed_papers import signed_entries
from tests.desk.verifying import false_papers
from tests.desk.verifying.false_papers import Makings, changed, makings, says_of, signed_and_noted
from tests.desk.verifying.made_papers import Made, wrong

LOG = PaperKind.SHAFT_LOG


@pytest.fixture
def true(place: Workplace) -> Makings:
    return makings(place)


@pytest.mark.parametrize("kind", list(PaperKind)[:3])
def test_what_an_honest_paper_is_made_of_passes_every_question(
    made: Made, place: Workplace, kind: PaperKind
) -> None:
    found = signed_and_noted(place, made, makings(place, kind).prepared(), kind)
    assert found.verdict is Verdict.VALID, [each.says for each in (*found.against, *found.open)]
    assert {found.answer(each) for each in FROM_ITS_JOURNAL} == {Answer.YES}


def test_a_false_finding_printed_and_signed_is_told_by_its_page(
    made: Made, place: Workplace, true: Makings
) -> None:
    first = true.facts.findings[0]
    assert first.outcome is not Outcome.MET or first.measured != "0 in"
    false = (replace(first, outcome=Outcome.MET, measured="0 in"), *true.facts.findings[1:])
    paper = replace(true, facts=replace(true.facts, findings=false))
    found = signed_and_noted(place, made, paper.prepared(), LOG)
    assert wrong(found) == {Asked.PAGES}
    assert found.answer(Asked.RECOMPUTED) is Answer.YES, "what it states as data is true, the pages are not"
    assert "these pages are others: " in says_of(found, Asked.PAGES)


@pytest.mark.parametrize("number", [1, 2])
def test_two_digits_turned_in_the_content_of_a_page_before_signing_name_that_page(
    made: Made, place: Workplace, true: Makings, number: int
) -> None:
    pdf = changed(true.prepared(), false_papers.one_letter(number))
    found = signed_and_noted(place, made, pdf, LOG)
    assert wrong(found) == {Asked.PAGES}
    assert says_of(found, Asked.PAGES).endswith(f"these pages are others: {number}.")


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (false_papers.note_upon(2), "others: 2."),
        (false_papers.note_upon(1, "/Stamp"), "others: 1."),
        (false_papers.moved_field, "pages are others: "),
        (false_papers.cut_page, "others: 2."),
        (false_papers.turned_in_the_tree, "others: 1, 2"),
        (false_papers.page_left_out, "the attached journal gives"),
        (false_papers.other_form, "in place of its pages"),
        (false_papers.script, "in place of its pages"),
    ],
)
def test_what_covers_cuts_or_replaces_a_page_before_signing_is_told(
    made: Made, place: Workplace, true: Makings, change: Callable[[Any], None], says: str
) -> None:
    found = signed_and_noted(place, made, changed(true.prepared(), change), LOG)
    assert Asked.PAGES in wrong(found)
    assert says in says_of(found, Asked.PAGES)
    assert found.answer(Asked.RECOMPUTED) is Answer.YES


def test_a_page_that_is_packed_otherwise_and_draws_the_same_is_the_same(
    made: Made, place: Workplace, true: Makings
) -> None:
    found = signed_and_noted(place, made, changed(true.prepared(), false_papers.same_again), LOG)
    assert found.verdict is Verdict.VALID


def stating(true: Makings, change: Callable[[PrintedFacts], PrintedFacts]) -> Makings:
    assert true.printed is not None
    return replace(true, printed=change(true.printed))


def test_another_outcome_stated_and_signed_by_a_rightful_key_is_named(
    made: Made, place: Workplace, true: Makings
) -> None:
    def lie(printed: PrintedFacts) -> PrintedFacts:
        found = tuple(
            replace(each, outcome="met") if each.outcome != "met" else each for each in printed.findings
        )
        return replace(printed, findings=found)

    found = signed_and_noted(place, made, stating(true, lie).prepared(), LOG)
    assert wrong(found) == {Asked.RECOMPUTED}
    assert true.printed is not None
    lied = next(each for each in true.printed.findings if each.outcome != "met")
    says = says_of(found, Asked.RECOMPUTED)
    assert f"{lied.requirement}, outcome: the paper states 'met', its journal gives '{lied.outcome}'." in says


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda p: replace(p, findings=p.findings[1:]), "the paper states 0 finding(s)"),
        (lambda p: replace(p, findings=(*p.findings, p.findings[0])), "the paper states 2 finding(s)"),
        (lambda p: replace(p, findings=p.findings[::-1]), "findings: the paper states another order"),
        (lambda p: replace(p, standing=replace(p.standing, standing="clean")), "standing, standing: "),
        (lambda p: replace(p, standing=replace(p.standing, reasons=())), "standing, reasons: "),
        (lambda p: replace(p, release=replace(p.release, until="")), "release, until: the paper states noth"),
        (lambda p: replace(p, release=replace(p.release, conditions="none")), "release, conditions: "),
    ],
)
def test_whatever_is_stated_otherwise_is_named(
    made: Made, place: Workplace, true: Makings, change: Callable[[PrintedFacts], PrintedFacts], says: str
) -> None:
    found = signed_and_noted(place, made, stating(true, change).prepared(), LOG)
    assert wrong(found) == {Asked.RECOMPUTED}
    assert says in says_of(found, Asked.RECOMPUTED)


def test_the_data_of_one_kind_of_paper_on_the_pages_of_another_is_told(made: Made, place: Workplace) -> None:
    sheet, log = makings(place, PaperKind.RELEASE_SHEET), makings(place)
    mixed = replace(log, printed=sheet.printed)
    assert {Asked.PAGES, Asked.IN_JOURNAL} <= wrong(signed_and_noted(place, made, mixed.prepared(), LOG))
    alone = verify_file(mixed.prepared())
    assert alone.answer(Asked.PAGES) is Answer.NO
    assert "The paper has" in says_of(alone, Asked.PAGES)
    base = replace(makings(place, PaperKind.BASE_CONDITION), printed=sheet.printed)
    found = signed_and_noted(place, made, base.prepared(), PaperKind.BASE_CONDITION)
    assert {Asked.PAGES, Asked.IN_JOURNAL} <= wrong(found)


def test_a_moved_moment_is_told_and_one_moved_everywhere_does_not_give_the_pages(
    made: Made, place: Workplace, true: Makings
) -> None:
    later = timedelta(hours=2)
    moved = stating(true, lambda p: replace(p, moment=p.moment + later))
    found = signed_and_noted(place, made, moved.prepared(), LOG)
    assert {Asked.PRINTED, Asked.PAGES} <= wrong(found)
    assert "states the moment 2026-05-12T17:00:00+00:00" in says_of(found, Asked.PRINTED)
    everywhere = replace(moved, journal=replace(true.journal, as_of=true.journal.as_of + later))
    found = signed_and_noted(place, made, everywhere.prepared(), LOG)
    assert Asked.PAGES in wrong(found)
    assert found.answer(Asked.PRINTED) is Answer.YES


def test_another_time_or_hand_of_printing_than_on_the_pages_is_told(
    made: Made, place: Workplace, true: Makings
) -> None:
    assert true.printed is not None
    for change in (
        {"printed_at": true.printed.printed_at + timedelta(hours=1)},
        {"printed_by": "Inspector B"},
    ):
        false = stating(true, lambda p, change=change: replace(p, **change))
        assert wrong(signed_and_noted(place, made, false.prepared(), LOG)) == {Asked.PAGES}


def test_data_of_another_shaft_or_record_is_told(made: Made, place: Workplace, true: Makings) -> None:
    for change in ({"shaft": "P9-1"}, {"record_digest": "0" * 64}, {"project": "otherwater"}):
        false = stating(true, lambda p, change=change: replace(p, **change))
        assert Asked.PRINTED in wrong(signed_and_noted(place, made, false.prepared(), LOG))


@pytest.mark.parametrize(
    ("stated", "says"),
    [
        (b"[" * 100_000, "too deeply"),
        (b'{"a":' * 50_000, "too deeply"),
        (b" " * (LARGEST_BYTES + 1), "larger than"),
        (b"{}", "not a basenote printed facts"),
        (b'{"a":1,"a":1}', "stands twice"),
        (b"\xff\xfe", "not JSON"),
    ],
)
def test_printed_facts_that_are_huge_deep_or_touched_reject_the_paper(
    made: Made, place: Workplace, true: Makings, stated: bytes, says: str
) -> None:
    found = signed_and_noted(place, made, true.prepared(stated), LOG)
    assert wrong(found) == {Asked.PRINTED}
    assert says in says_of(found, Asked.PRINTED)
    assert found.answer(Asked.ATTACHED) is Answer.YES, "the journal is whole all the same"


def test_printed_facts_that_stand_twice_reject_the_paper(made: Made, place: Workplace, true: Makings) -> None:
    found = signed_and_noted(place, made, changed(true.prepared(), false_papers.stated_twice), LOG)
    assert wrong(found) == {Asked.PRINTED}
    assert "states 2 times" in says_of(found, Asked.PRINTED)


def test_a_paper_without_printed_facts_is_rejected_where_its_form_has_them(
    made: Made, place: Workplace, true: Makings
) -> None:
    found = signed_and_noted(place, made, replace(true, printed=None).prepared(), LOG)
    assert wrong(found) == {Asked.PRINTED}


def by_another_version(true: Makings) -> Makings:
    """A paper that says to have been laid out by another version of the program."""
    return stating(true, lambda p: replace(p, layout="basenote 99.0, reportlab 1.0"))


def further(place: Workplace, made: Made, prepared: bytes, confirmed: tuple[str, ...] = ()) -> None:
    """The engineer signs a paper that the inspector signed with another program."""
    from tests.desk.signed_papers import note_signed, signed_by_hand

    pen, digest = made.pens[Role.INSPECTOR], place.shaft("P1-1").digest
    pdf = signed_by_hand(place, pen, prepared, digest)
    path = place.folder / "reports" / "by-hand-signed.pdf"
    path.write_bytes(pdf)
    note_signed(place, pdf, pen, digest, file_name=path.name)
    countersign(place, path, made.pens[Role.RESIDENT_ENGINEER], confirmed)


def test_nobody_signs_a_false_print_further_and_an_uncompared_one_only_when_asked(
    made: Made, place: Workplace, true: Makings
) -> None:
    false = changed(true.prepared(), false_papers.one_letter(2))
    with pytest.raises(PaperRefused, match="these pages are others: 2"):
        further(place, made, false)
    count = len(signed_entries(place))
    with pytest.raises(AskFirst) as asked:
        further(place, made, by_another_version(true).prepared())
    assert asked.value.codes == (NOT_COMPARED,)
    assert len(signed_entries(place)) == count + 1, "the inspector's alone"
    further(place, made, by_another_version(true).prepared(), (NOT_COMPARED,))
    assert signed_entries(place)[-1].role is Role.RESIDENT_ENGINEER


def test_pages_of_another_version_are_unknown_and_never_right(
    made: Made, place: Workplace, true: Makings
) -> None:
    other = by_another_version(true)
    found = signed_and_noted(place, made, other.prepared(), LOG)
    assert found.verdict is Verdict.UNKNOWN
    assert {each.name for each in found.open} == {Asked.PAGES}
    assert found.answer(Asked.RECOMPUTED) is Answer.YES, "what it states is the same by any version"
    assert "laid out by basenote 99.0, reportlab 1.0, and this is basenote " in says_of(found, Asked.PAGES)
    lied = stating(other, lambda p: replace(p, standing=replace(p.standing, standing="clean")))
    found = signed_and_noted(place, made, lied.prepared(), LOG)
    assert found.verdict is Verdict.UNKNOWN
    assert "whose rules or words may be others" in says_of(found, Asked.RECOMPUTED)
    assert "the paper states 'clean'" in says_of(found, Asked.RECOMPUTED)


def test_another_layout_of_the_same_program_still_tells_what_is_stated_falsely(
    made: Made, place: Workplace, true: Makings
) -> None:
    assert true.printed is not None
    program = true.printed.layout.partition(", reportlab")[0]
    assert program.count(",") == 1, "the program and its numpy, whose simulated maps are its own"
    lied = stating(
        true,
        lambda p: replace(
            p, layout=f"{program}, reportlab 1.0", standing=replace(p.standing, standing="clean")
        ),
    )
    assert wrong(signed_and_noted(place, made, lied.prepared(), LOG)) == {Asked.RECOMPUTED}


def test_printed_facts_of_a_newer_format_are_unknown(made: Made, place: Workplace, true: Makings) -> None:
    assert true.printed is not None
    newer = rfc8785.dumps({**json.loads(written_facts(true.printed)), "version": 2})
    found = signed_and_noted(place, made, true.prepared(newer), LOG)
    assert found.verdict is Verdict.UNKNOWN
    assert {each.name for each in found.open} == FROM_ITS_JOURNAL


def test_a_journal_that_is_too_long_to_work_out_is_unknown(
    made: Made, place: Workplace, true: Makings, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(anew, "MOST_ENTRIES", len(true.journal.shaft_entries) - 1)
    anew.facts_anew.cache_clear()
    anew.pages_anew.cache_clear()
    found = signed_and_noted(place, made, true.prepared(), LOG)
    assert {each.name for each in found.open} == {Asked.RECOMPUTED, Asked.PAGES}
    assert "nothing was worked out" in says_of(found, Asked.PAGES)


def test_a_journal_from_which_no_paper_can_be_made_is_unknown_and_raises_nothing(
    made: Made, place: Workplace, true: Makings
) -> None:
    office = tuple(each for each in true.journal.entries if each.kind == "project set-up")
    bare = replace(true.journal, entries=tuple(each for each in true.journal.entries if each not in office))
    found = verify_file(replace(true, journal=bare).prepared())
    assert found.answer(Asked.ATTACHED) is Answer.YES
    assert found.answer(Asked.RECOMPUTED) is found.answer(Asked.PAGES) is Answer.UNKNOWN
    assert "could not be worked out anew" in says_of(found, Asked.RECOMPUTED)


@pytest.mark.parametrize(("hours", "answer"), [(0, Answer.UNKNOWN), (10, Answer.NO)])
def test_alone_a_release_is_never_a_yes_and_one_whose_time_is_over_is_no_falsehood(
    made: Made, hours: float, answer: Answer
) -> None:
    found = verify_file(made.papers[2], None, made.at + timedelta(hours=hours))
    assert found.answer(Asked.RELEASE) is answer
    assert found.verdict is Verdict.UNKNOWN
    assert found.signed.answer(FactName.INTACT) is Answer.YES
    assert "only the project can tell" in says_of(found, Asked.RELEASE)
