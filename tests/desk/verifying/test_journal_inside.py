"""Verification by the record: the journal inside a paper, touched, forged, or of something else."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
import rfc8785

from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.papers.facts import RecordFactName as Asked
from fieldapp.desk.papers.journal import (
    FILE_NAME,
    VERSION,
    NewerJournal,
    UnreadableJournal,
    paper_journal,
    read_paper_journal,
    written,
)
from fieldapp.desk.papers.verifying import verify_file
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.attachments import attached_files
from fieldapp.identity.verification import Answer, Verdict
from fieldapp.record.attesting import StretchSigned
from fieldapp.record.entry import ChainHead, seal
from fieldapp.record.hole import Note
from fieldapp.record.words import Role
from tests.desk.signed_papers import (
    insiders_paper,
)
from tests.desk.verifying.made_papers import MORNING, Made, insider, wrong


def test_an_insiders_paper_passes_only_with_the_pages_that_its_true_journal_gives(
    made: Made, place: Workplace
) -> None:
    true = written(paper_journal(place.entries(), "P1-1", MORNING))
    assert insider(place, made, true).verdict is Verdict.VALID
    digest = place.shaft("P1-1").digest
    own_page = insiders_paper(place, made.pens[Role.INSPECTOR], true, digest, on_page=digest)
    assert wrong(verify_file(own_page, place)) == {Asked.PRINTED}


def test_a_journal_of_another_shaft_does_not_give_the_digest(made: Made, place: Workplace) -> None:
    found = insider(place, made, written(paper_journal(place.entries(), "P9-1", MORNING)))
    assert wrong(found) == {Asked.SAME_DIGEST, Asked.IN_JOURNAL}


def test_a_page_without_the_digest_is_named(made: Made, place: Workplace) -> None:
    true = written(paper_journal(place.entries(), "P1-1", MORNING))
    pdf = insiders_paper(place, made.pens[Role.INSPECTOR], true, place.shaft("P1-1").digest, on_page="0" * 64)
    found = verify_file(pdf, place)
    assert wrong(found) == {Asked.SAME_DIGEST, Asked.PRINTED}
    assert any("page 1 does not show it" in each.says for each in found.against)


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
    bearing = tuple(each for each in true.bearing if each.device != "office")
    found = insider(place, made, written(replace(true, entries=entries, heads=heads, bearing=bearing)))
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


def attached(made: Made) -> bytes:
    (file,) = (each for each in attached_files(made.papers[0]) if each.name == FILE_NAME)
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
    newer = changed(attached(made), version=VERSION + 1)
    with pytest.raises(NewerJournal):
        read_paper_journal(newer)
    found = insider(place, made, newer)
    assert found.verdict is Verdict.UNKNOWN
    assert found.answer(Asked.ATTACHED) is Answer.UNKNOWN


def test_a_journal_in_a_form_that_never_was_is_refused_and_rejects_the_paper(
    made: Made, place: Workplace
) -> None:
    body = json.loads(attached(made))
    del body["bearing_entries"]
    older = rfc8785.dumps({**body, "version": VERSION - 1})
    with pytest.raises(UnreadableJournal, match="fields of its format"):
        read_paper_journal(older)
    assert Asked.ATTACHED in wrong(insider(place, made, older))


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
