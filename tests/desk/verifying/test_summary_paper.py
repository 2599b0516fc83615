"""The summary of a project verified: what it proves alone, what with the project, what a forger can do."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any

import pytest
import rfc8785

from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.papers import signing
from fieldapp.desk.papers.facts import RecordFactName as Asked
from fieldapp.desk.papers.journal import MIME_TYPE
from fieldapp.desk.papers.paper import Paper
from fieldapp.desk.papers.printed import PRINTED_NAME
from fieldapp.desk.papers.printed_rows import NewerPrinted, UnreadablePrinted
from fieldapp.desk.papers.printed_summary import (
    LARGEST_BYTES,
    PrintedSummary,
    printed_summary,
    read_summary,
    written_summary,
)
from fieldapp.desk.papers.record_fact import OF_A_SUMMARY
from fieldapp.desk.papers.signing import countersign, next_role
from fieldapp.desk.papers.summary import summary_facts, write_summary
from fieldapp.desk.papers.verify_text import verdict_json, verdict_text
from fieldapp.desk.papers.verifying import PaperVerdict, verify_file
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.attachments import AttachedFile, attach_file, attached_files
from fieldapp.identity.errors import FieldProblem, WrongOrder
from fieldapp.identity.pdf_signing import prepare_fields, sign_pdf
from fieldapp.identity.people import SignerIdentity
from fieldapp.identity.sign_request import FieldPlace, SignRequest
from fieldapp.identity.signing_order import PROJECT_SUMMARY_ORDER
from fieldapp.identity.verification import Answer, FactName, Verdict
from fieldapp.record.hole import Note
from fieldapp.record.words import PaperKind, Role
from reports.project_summary import project_summary
from tests.desk.signed_papers import new_key, note_signed, signed_entries
from tests.desk.verifying.made_papers import MORNING, Made, wrong
from tests.reports.reading_pdf import text_of

BY = "Designer"


def signed(place: Workplace, made: Made) -> Paper:
    return write_summary(place, MORNING, BY, pen=made.pens[Role.DESIGNER])


def unsigned(place: Workplace) -> bytes:
    return write_summary(place, MORNING, "command line").path.read_bytes()


def says_of(found: PaperVerdict, name: Asked) -> str:
    return next(str(each.says) for each in found.record if each.name is name)


def test_a_summary_signed_by_the_designer_is_valid_with_its_project(made: Made, place: Workplace) -> None:
    paper = signed(place, made)
    assert paper.path.name.startswith("project-summary-20260512-0900-")
    assert paper.path.name.endswith("-signed.pdf")
    entry = signed_entries(place)[-1]
    assert (entry.paper, entry.about, entry.role) == (PaperKind.PROJECT_SUMMARY, "larkwater", Role.DESIGNER)
    found = verify_file(paper.path.read_bytes(), place)
    assert found.verdict is Verdict.VALID, verdict_text(found)
    assert found.kind is PaperKind.PROJECT_SUMMARY
    asked = {each.name for each in found.record}
    assert asked == OF_A_SUMMARY | {Asked.PRINTED, Asked.IN_JOURNAL, Asked.LATEST, Asked.ROLE_THEN}
    assert {each.answer for each in found.record} == {Answer.YES}
    assert [each.signer for each in found.signed.signatures] == [BY]


def test_alone_it_says_who_signed_and_what_is_intact_and_no_more(made: Made, place: Workplace) -> None:
    found = verify_file(signed(place, made).path.read_bytes())
    assert found.verdict is Verdict.UNKNOWN
    assert found.against == ()
    assert [each.signer for each in found.signed.signatures] == [BY]
    assert found.signed.answer(FactName.INTACT) is Answer.YES
    assert found.signed.answer(FactName.SIGNER_KNOWN) is Answer.UNKNOWN
    assert found.answer(Asked.STATED_DIGESTS) is Answer.YES
    assert {found.answer(each) for each in OF_A_SUMMARY - {Asked.STATED_DIGESTS}} == {Answer.UNKNOWN}
    told = json.loads(json.dumps(verdict_json(found)))
    assert told["kind"] == "project summary"
    digests = {each["shaft"]: each["record_digest"] for each in told["summary"]["shafts"]}
    assert digests == {name: place.shaft(name).digest for name in ("P1-1", "P9-1")}


def test_an_unsigned_one_is_unknown_and_not_rejected(place: Workplace) -> None:
    pdf = unsigned(place)
    for found in (verify_file(pdf), verify_file(pdf, place)):
        assert found.verdict is Verdict.UNKNOWN, verdict_text(found)
        assert found.against == ()
        assert found.signed.answer(FactName.SIGNED) is Answer.UNKNOWN
    assert {found.answer(each) for each in OF_A_SUMMARY} == {Answer.YES}, "its pages are still the record's"
    assert Asked.IN_JOURNAL not in {each.name for each in found.record}, "the journal names signatures alone"


def test_what_grew_since_is_told_shaft_by_shaft_and_makes_it_no_false_paper(
    made: Made, place: Workplace
) -> None:
    path = signed(place, made).path
    record_entry(place, Saying("P9-1", Note("rig moved"), "Inspector A"))
    found = verify_file(path.read_bytes(), place)
    assert found.verdict is Verdict.VALID
    assert found.answer(Asked.STILL_SO) is Answer.NO
    assert says_of(found, Asked.STILL_SO) == "Since then the record has changed of P9-1."
    assert found.answer(Asked.PAGES_AS_PROJECT) is Answer.YES, "they are of the record as it was"


def test_signing_any_paper_is_no_other_state_of_the_record(made: Made, place: Workplace) -> None:
    before = place.digest()
    first = signed(place, made)
    assert place.digest() == before
    again = signed(place, made)
    assert (again.path, again.new) == (first.path, False)
    assert len(signed_entries(place)) == 4


def test_a_summary_is_closed_by_its_one_signature(made: Made, place: Workplace) -> None:
    path = signed(place, made).path
    assert next_role(place, path) is None
    with pytest.raises(FieldProblem, match="is signed already"):
        countersign(place, path, made.pens[Role.DESIGNER])
    with pytest.raises(signing.PaperRefused, match="not signed by the inspector"):
        countersign(place, path, made.pens[Role.INSPECTOR])


def test_nobody_but_a_designer_signs_one(made: Made, place: Workplace) -> None:
    with pytest.raises(WrongOrder):
        write_summary(place, MORNING, BY, pen=made.pens[Role.INSPECTOR])
    assert not list(place.folder.glob("reports/project-summary*"))


def test_a_signature_without_its_entry_is_taken_up(
    made: Made, place: Workplace, monkeypatch: pytest.MonkeyPatch
) -> None:
    def dies(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(signing, "record_entry", dies)
        with pytest.raises(KeyboardInterrupt):
            signed(place, made)
    paper = signed(place, made)
    assert not paper.new
    assert verify_file(paper.path.read_bytes(), place).verdict is Verdict.VALID


@dataclass(frozen=True)
class Parts:
    """What a forger may change before he signs: pages, and what is stated."""

    pages: bytes
    printed: PrintedSummary
    places: tuple[FieldPlace, ...]


def parts(place: Workplace, change: Callable[[Any], Any] = lambda facts: facts) -> Parts:
    facts = change(summary_facts(place, MORNING, BY))
    report = project_summary(facts)
    places = tuple(FieldPlace(each.name, each.page_index, each.box_pt, closes=True) for each in report.fields)
    return Parts(report.pdf, printed_summary(facts, None), places)


def asked(place: Workplace, digest: str) -> SignRequest:
    who = SignerIdentity(BY, Role.DESIGNER)
    return SignRequest("Designer", who, "Designer: summary reviewed", place.now(), digest, certify=True)


def forged(place: Workplace, made: Made, made_of: Parts) -> PaperVerdict:
    """The designer himself signs other pages or data with another program, and gets them into the journal."""
    pen, digest = made.pens[Role.DESIGNER], made_of.printed.journal_digest
    data = AttachedFile(PRINTED_NAME, written_summary(made_of.printed))
    pdf = prepare_fields(attach_file(made_of.pages, data, MIME_TYPE), made_of.places)
    pdf = sign_pdf(pdf, asked(place, digest), pen.key, PROJECT_SUMMARY_ORDER)
    note_signed(place, pdf, pen, digest, paper=PaperKind.PROJECT_SUMMARY, about="larkwater", field="Designer")
    return verify_file(pdf, place)


def test_the_true_parts_are_valid_so_that_what_follows_means_something(made: Made, place: Workplace) -> None:
    assert forged(place, made, parts(place)).verdict is Verdict.VALID


def cleaner(facts: Any) -> Any:
    """The facts with the weightiest words of one shaft made better."""
    shaft = facts.shafts[0]
    better = replace(shaft, counts=dict.fromkeys(shaft.counts, 0))
    return replace(facts, shafts=(better, *facts.shafts[1:]))


def test_a_page_that_says_something_else_is_named(made: Made, place: Workplace) -> None:
    false = replace(parts(place), pages=parts(place, cleaner).pages)
    found = forged(place, made, false)
    assert wrong(found) == {Asked.PAGES_AS_PROJECT}
    assert "Laid out anew from the project's journal, these pages are others: " in says_of(
        found, Asked.PAGES_AS_PROJECT
    )


def stating(true: Parts, **changes: str) -> Parts:
    first, *rest = true.printed.shafts
    shafts = (replace(first, **changes), *rest)
    return replace(true, printed=replace(true.printed, shafts=shafts))


@pytest.mark.parametrize(
    ("changes", "named"),
    [
        ({"standing": "clean"}, "standing of P1-1"),
        ({"release": "withdrawn"}, "release of P1-1"),
        ({"strength": "1"}, "strength of P1-1"),
    ],
)
def test_what_it_states_otherwise_than_the_journal_gives_is_named(
    made: Made, place: Workplace, changes: dict[str, str], named: str
) -> None:
    found = forged(place, made, stating(parts(place), **changes))
    assert wrong(found) == {Asked.AS_PROJECT}
    assert named in says_of(found, Asked.AS_PROJECT)


def test_a_stated_record_digest_that_no_page_shows_is_named(made: Made, place: Workplace) -> None:
    found = forged(place, made, stating(parts(place), record_digest="0" * 64))
    assert wrong(found) == {Asked.STATED_DIGESTS, Asked.AS_PROJECT}
    assert says_of(found, Asked.STATED_DIGESTS) == "No page shows the record digest stated of P1-1."


def test_a_journal_digest_of_no_journal_is_no_summary_of_this_project(made: Made, place: Workplace) -> None:
    false = parts(place, lambda facts: replace(facts, journal_digest="1" * 64))
    found = forged(place, made, false)
    assert wrong(found) == {Asked.OF_PROJECT}
    assert "gives the digest" in says_of(found, Asked.OF_PROJECT)


def test_a_head_that_the_chain_does_not_go_through_is_named(made: Made, place: Workplace) -> None:
    true = parts(place)
    head = true.printed.heads[0]
    false = replace(true, printed=replace(true.printed, heads=(replace(head, seq=head.seq + 40),)))
    found = forged(place, made, false)
    assert wrong(found) == {Asked.OF_PROJECT}
    assert "have not arrived here" in says_of(found, Asked.OF_PROJECT)


def test_a_shaft_left_out_is_named(made: Made, place: Workplace) -> None:
    false = parts(place, lambda facts: replace(facts, shafts=facts.shafts[:1]))
    found = forged(place, made, false)
    assert wrong(found) == {Asked.AS_PROJECT, Asked.PAGES_AS_PROJECT}
    assert "P9-1" in says_of(found, Asked.AS_PROJECT)


def test_another_version_leaves_pages_unknown_and_never_right(made: Made, place: Workplace) -> None:
    true = parts(place)
    other = replace(true, printed=replace(true.printed, layout="basenote 99.0, reportlab 1.0"))
    found = forged(place, made, other)
    assert found.verdict is Verdict.UNKNOWN
    assert {each.name for each in found.open} == {Asked.PAGES_AS_PROJECT}
    lied = forged(place, made, stating(other, standing="clean"))
    assert lied.verdict is Verdict.UNKNOWN
    assert "whose rules or words may be others" in says_of(lied, Asked.AS_PROJECT)


def test_one_signed_by_a_key_that_the_journal_does_not_name_is_rejected(made: Made, place: Workplace) -> None:
    true = parts(place)
    stranger = new_key(Role.DESIGNER)
    data = AttachedFile(PRINTED_NAME, written_summary(true.printed))
    pdf = prepare_fields(attach_file(true.pages, data, MIME_TYPE), true.places)
    found = verify_file(
        sign_pdf(pdf, asked(place, true.printed.journal_digest), stranger, PROJECT_SUMMARY_ORDER), place
    )
    assert {Asked.IN_JOURNAL, FactName.SIGNER_KNOWN} <= wrong(found)


def test_a_signed_one_cut_back_or_changed_in_a_byte_is_not_valid(made: Made, place: Workplace) -> None:
    pdf = signed(place, made).path.read_bytes()
    changed = bytearray(pdf)
    changed[len(changed) // 3] ^= 1
    assert verify_file(bytes(changed), place).verdict is Verdict.REJECTED
    assert verify_file(pdf + b"more", place).verdict is Verdict.REJECTED
    cut = pdf[: pdf.rindex(b"%%EOF", 0, len(pdf) - 10) + 6]
    assert verify_file(cut, place).verdict is Verdict.UNKNOWN, "what is left is an unsigned summary"


def changed(printed: PrintedSummary, **fields: Any) -> bytes:
    return rfc8785.dumps({**json.loads(written_summary(printed)), **fields})


def test_what_it_states_is_read_back_and_anything_else_is_refused(place: Workplace) -> None:
    printed = printed_summary(summary_facts(place, MORNING, BY), MORNING - timedelta(hours=1))
    assert read_summary(written_summary(printed)) == printed
    twice = [json.loads(written_summary(printed))["shafts"][0]] * 2
    for fields in (
        {"format": "basenote printed facts"}, {"more": "x"}, {"version": 0}, {"paper": "shaft log"},
        {"shafts": twice}, {"shafts": [{}]}, {"shafts": "x"}, {"heads": [{"device": "x"}]},
        {"heads": [{"device": "x", "seq": True, "hash": "0" * 64}]}, {"journal_digest": "00"},
        {"moment": "2026-05-12T16:36:00-06:00"}, {"recorded_until": 3}, {"project": None},
    ):  # fmt: skip
        with pytest.raises(UnreadablePrinted):
            read_summary(changed(printed, **fields))
    with pytest.raises(UnreadablePrinted, match="larger"):
        read_summary(b" " * (LARGEST_BYTES + 1))
    with pytest.raises(NewerPrinted):
        read_summary(changed(printed, version=2))


@pytest.mark.parametrize(
    ("fields", "answer", "verdict"),
    [
        ({"version": 2}, Answer.UNKNOWN, Verdict.UNKNOWN),
        ({"journal_digest": "00"}, Answer.NO, Verdict.REJECTED),
    ],
)
def test_a_newer_one_is_unknown_and_a_broken_one_rejected(
    place: Workplace, fields: dict[str, Any], answer: Answer, verdict: Verdict
) -> None:
    true = parts(place)
    data = AttachedFile(PRINTED_NAME, changed(true.printed, **fields))
    found = verify_file(attach_file(true.pages, data, MIME_TYPE), place)
    assert found.answer(Asked.PRINTED) is answer
    assert found.verdict is verdict


def test_the_same_record_gives_the_same_bytes_and_says_what_signing_means(place: Workplace) -> None:
    first = unsigned(place)
    (path,) = place.folder.glob("reports/project-summary-*-unsigned.pdf")
    path.unlink()
    assert unsigned(place) == first
    assert [each.name for each in attached_files(first)] == [PRINTED_NAME]
    assert "designer: summary reviewed" in text_of(first)
