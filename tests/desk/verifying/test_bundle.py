"""A bundle verified without taking it over: honest, touched, forged, and held against a project."""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from fieldapp.cli import run
from fieldapp.commands.asking import NOT_AS_ASKED
from fieldapp.desk.office import shaft_now
from fieldapp.desk.papers.logs import write_shaft_log
from fieldapp.desk.papers.summary import write_summary
from fieldapp.desk.travel.bundle_fact import BundleFactName as Asked
from fieldapp.desk.travel.bundle_fact import BundleVerdict
from fieldapp.desk.travel.bundle_text import bundle_json, bundle_text
from fieldapp.desk.travel.verifying import is_bundle, verify_bundle
from fieldapp.exchange.bundle.signature import SenderSignature
from fieldapp.identity.bundles import sign_bundle
from fieldapp.identity.certificates import to_pem
from fieldapp.identity.verification import Answer, Verdict
from fieldapp.record.chain import heads_of
from fieldapp.record.decisions import Strike
from fieldapp.record.entry import LARGEST_NUMBER, ChainHead, seal
from fieldapp.record.hole import Note
from fieldapp.record.setup import ProjectSetup
from fieldapp.record.words import Role
from tests.desk.signed_papers import new_key, pin
from tests.desk.travel.forging import Forger, as_the_device, in_chains
from tests.desk.travel.tablets import Tablet, a_picture


def no_of(found: BundleVerdict) -> set[Asked]:
    assert all(each.says.endswith(".") for each in found.facts)
    return {each.name for each in found.facts if each.answer is Answer.NO}


def unknown_of(found: BundleVerdict) -> set[Asked]:
    return {each.name for each in found.facts if each.answer is Answer.UNKNOWN}


def says(found: BundleVerdict, name: Asked) -> str:
    return next(each.says for each in found.facts if each.name is name)


def with_project(path: Path, tablet: Tablet) -> BundleVerdict:
    before = tablet.as_it_is()
    with tablet.at_work() as place:
        found = verify_bundle(path, place, place.now())
    assert tablet.as_it_is() == before, "nothing was written"
    return found


def test_alone_everything_of_it_holds_but_who_vouches_for_the_sender(one: Tablet) -> None:
    one.photographs(a_picture())
    sent = one.sends()
    found = verify_bundle(sent.path)
    assert found.verdict is Verdict.UNKNOWN
    assert no_of(found) == set()
    assert unknown_of(found) == {Asked.VOUCHED}
    assert "proves nothing by itself" in says(found, Asked.VOUCHED)
    assert found.inside is not None
    assert (found.inside.project, found.inside.device, found.inside.person) == ("larkwater", "tablet 1", "")
    assert (found.inside.entries, found.inside.pictures) == (sent.entries, 1)
    assert found.inside.shafts == ("P1-1",)
    assert found.inside.missing == 0
    assert found.inside.new_entries is None


def test_with_the_project_the_sender_is_known_and_what_is_new_is_counted(one: Tablet, two: Tablet) -> None:
    first = with_project(one.sends().path, two)
    assert first.verdict is Verdict.VALID
    assert first.inside is not None
    before = {each.hash for each in two.entries()}
    one.notes("sand on the bucket")
    path = one.sends("later").path
    found = with_project(path, two)
    assert found.verdict is Verdict.VALID, [each.says for each in found.facts]
    assert found.inside is not None
    assert found.inside.new_entries == len({each.hash for each in one.entries()} - before) > 0
    two.takes(path)
    again = with_project(path, two)
    assert again.inside is not None
    assert again.inside.new_entries == 0
    assert "has all of its" in says(again, Asked.FITS)


def test_a_device_that_the_project_never_saw_is_unknown_and_said_so(
    one: Tablet, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    three = Tablet(tmp_path, 3, monkeypatch)
    three.takes(one.sends().path)
    three.notes("looked in")
    found = with_project(three.sends("from three").path, one)
    assert no_of(found) == set()
    assert unknown_of(found) == {Asked.VOUCHED}
    assert "does not know device tablet 3 yet" in says(found, Asked.VOUCHED)


def test_a_bundle_of_another_project_does_not_fit(one: Tablet, two: Tablet) -> None:
    with two.at_work() as place:
        (setup, *_) = [each for each in place.entries() if isinstance(each.values, ProjectSetup)]
    forger = Forger(one, project="otherwater")
    forger.entries.clear()
    forger.says(setup.values, "Resident engineer")
    forger.brings_key()
    found = with_project(forger.packs(), two)
    assert Asked.FITS in no_of(found)
    assert "It is of project otherwater, and this is project larkwater." in says(found, Asked.FITS)


def test_an_entry_that_the_project_has_otherwise_is_named(one: Tablet, two: Tablet) -> None:
    forger = as_the_device(one)
    forger.says(Note("clean"), device=one.device)
    path = forger.packs()
    one.notes("sand on the bucket")
    two.takes(one.sends().path)
    found = with_project(path, two)
    assert Asked.FITS in no_of(found)
    assert f"of {one.device} is another one in the project's journal" in says(found, Asked.FITS)


def changed_in(path: Path, name: str, old: bytes, new: bytes) -> Path:
    """The same bundle with one member changed, packed again as bundles are."""
    out = io.BytesIO()
    with zipfile.ZipFile(path) as source, zipfile.ZipFile(out, "w") as target:
        for each in source.infolist():
            content = source.read(each)
            target.writestr(each, content.replace(old, new, 1) if each.filename == name else content)
    changed = path.with_name("changed.bundle.zip")
    changed.write_bytes(out.getvalue())
    return changed


def test_a_changed_entry_is_told_by_hash_and_by_signature(one: Tablet) -> None:
    path = changed_in(one.sends().path, "entries.jsonl", b"29' 11 1/2", b"29' 11 1/4")
    found = verify_bundle(path)
    assert {Asked.WHOLE, Asked.DEVICE} <= no_of(found)


def test_a_file_cut_off_or_of_nothing_is_rejected_and_raises_nothing(one: Tablet, tmp_path: Path) -> None:
    whole = one.sends().path.read_bytes()
    for number, content in enumerate(
        (whole[:-40], whole[: len(whole) // 2], b"PK\x03\x04", b"PK\x03\x04" * 99)
    ):
        path = tmp_path / f"cut {number}"
        path.write_bytes(content)
        assert is_bundle(path)
        found = verify_bundle(path)
        assert found.verdict is Verdict.REJECTED
        assert no_of(found) == {Asked.WHOLE}
        assert bundle_text(found).startswith("rejected: ")


def test_bytes_flipped_one_by_one_are_all_noticed(one: Tablet, tmp_path: Path) -> None:
    whole = one.sends().path.read_bytes()
    path, missed = tmp_path / "flipped.bundle.zip", []
    for position in range(0, len(whole), max(1, len(whole) // 60)):
        changed = bytearray(whole)
        changed[position] ^= 1 << position % 8
        path.write_bytes(changed)
        if verify_bundle(path).verdict is not Verdict.REJECTED:
            missed.append(position)
    assert missed == []


def test_a_forged_device_a_missing_key_and_a_chain_cut_short_are_named(one: Tablet) -> None:
    keyless = Forger(one)
    keyless.says(Note("clean"))
    assert no_of(verify_bundle(keyless.packs())) == {Asked.DEVICE_KEY}
    short = as_the_device(one)
    del short.entries[-2:]
    short.heads = tuple(heads_of(one.entries()).values())
    assert Asked.CHAINS in no_of(verify_bundle(short.packs("short")))


def with_a_hole(forger: Forger) -> str:
    forger.says(Note("first"))
    forger.says(Note("second"))
    del forger.entries[-2]
    return "Entry 3 of device forger does not follow entry 1."


def with_an_id_twice(forger: Forger) -> str:
    forger.says(Note("twice"), id=forger.entries[-1].id)
    return f"It holds the entry {forger.entries[-1].id} twice."


def with_a_fork(forger: Forger) -> str:
    (key,) = forger.entries[-1:]
    forger.lines = in_chains(forger.entries)
    forger.entries[-1:] = []
    forger.says(Note("another one in its place"))
    forger.lines.append(forger.entries[-1].sealed)
    forger.entries[-1] = key
    return "It holds entry 1 of device forger in two versions."


def with_a_stamp_far_ahead(forger: Forger) -> str:
    last = forger.says(Note("the last one ever"))
    head = ChainHead(last.device, last.seq - 1, last.prev)
    forger.entries[-1] = seal(last.draft, head, LARGEST_NUMBER)
    return "Entry 2 of device forger counts further ahead than any project has entries."


def with_another_project(forger: Forger) -> str:
    forger.says(Note("elsewhere"), project="vesker")
    return "Its entries are of two projects, larkwater and vesker."


def with_an_entry_before_its_cause(forger: Forger) -> str:
    next_id = f"019e1d46-3180-7fff-904d-{len(forger.entries) + 1:012x}"
    early = forger.says(Strike(next_id, "not the base"), parents=(next_id,))
    assert forger.says(Note("what was struck")).id == next_id
    return f"chain of device forger, entry {early.seq}: it stands before the entry that it follows."


def with_a_stamp_that_does_not_rise(forger: Forger) -> str:
    late = forger.says(Note("late"))
    forger.entries[-1] = seal(late.draft, ChainHead(late.device, late.seq - 1, late.prev), 1)
    return "Entry 2 of device forger does not follow entry 1."


def with_every_chain_twice(forger: Forger) -> str:
    forger.lines = in_chains(forger.entries) * 2
    forger.heads = tuple(heads_of(forger.entries).values()) * 2
    return "It does not hold the entries of the chains that it states."


@pytest.mark.parametrize(
    "change",
    [
        with_a_hole,
        with_an_id_twice,
        with_a_fork,
        with_another_project,
        with_an_entry_before_its_cause,
        with_a_stamp_that_does_not_rise,
        with_a_stamp_far_ahead,
        with_every_chain_twice,
    ],
)
def test_entries_that_are_no_journal_are_named(one: Tablet, change: Callable[[Forger], str]) -> None:
    forger = Forger(one)
    forger.brings_key()
    expected = change(forger)
    found = verify_bundle(forger.packs())
    assert Asked.CHAINS in no_of(found)
    assert says(found, Asked.CHAINS) == expected


def test_an_entry_by_somebody_without_the_role_is_named(one: Tablet) -> None:
    forger = Forger(one)
    forger.brings_key()
    forger.says(Note("clean"), author="Nobody B")
    found = verify_bundle(forger.packs())
    assert no_of(found) == {Asked.ROLES}
    assert "of forger: " in says(found, Asked.ROLES)


def test_a_file_that_no_entry_names_and_a_picture_that_is_none_are_named(one: Tablet) -> None:
    forger = as_the_device(one)
    content = b"%PDF-1.4\nstartxref\n9\n%%EOF\n"
    forger.files = [(f"papers/{hashlib.sha256(content).hexdigest()}.pdf", content)]
    found = verify_bundle(forger.packs())
    assert no_of(found) == {Asked.FILES}
    assert "which no entry names" in says(found, Asked.FILES)
    (paper,) = found.papers
    assert paper.verdict is Verdict.REJECTED


def signed_by_engineer(one: Tablet) -> tuple[Path, SenderSignature]:
    key = new_key(Role.RESIDENT_ENGINEER)
    with one.at_work() as place:
        pin(place, Role.RESIDENT_ENGINEER, key)
    sent = one.sends("signed", key=key)
    assert sent.signed_by == "Resident engineer"
    return sent.path, SenderSignature("", "", to_pem(key.x509_certificate), "")


def test_a_persons_signature_counts_by_the_projects_own_roster_only(one: Tablet, two: Tablet) -> None:
    path, _ = signed_by_engineer(one)
    alone = verify_bundle(path)
    assert alone.answer(Asked.PERSON) is Answer.YES
    assert "own roster names the certificate of Resident engineer" in says(alone, Asked.VOUCHED)
    assert alone.verdict is Verdict.UNKNOWN
    unknown = with_project(path, two)
    assert unknown_of(unknown) == {Asked.VOUCHED}, "the pin stands in the bundle, and not here yet"
    two.takes(path)
    assert with_project(path, two).verdict is Verdict.VALID


def test_a_look_alike_key_of_a_person_is_told(one: Tablet, two: Tablet) -> None:
    path, _ = signed_by_engineer(one)
    two.takes(path)
    forger, false = as_the_device(one), new_key(Role.RESIDENT_ENGINEER)
    forger.made_by = "Resident engineer"

    def sign(digest: str) -> SenderSignature:
        sent = forger.sent(digest)
        assert forger.signer is not None
        mine = sign_bundle(sent, forger.signer)
        theirs = to_pem(false.x509_certificate), sign_bundle(sent, false)
        return SenderSignature(forger.signer.certificate, mine, *theirs)

    forger.sign = sign
    found = with_project(forger.packs(), two)
    assert found.verdict is not Verdict.VALID
    assert "certificate of Resident engineer is not on the roster" in says(found, Asked.VOUCHED)


def test_a_summary_inside_is_called_by_what_it_is(one: Tablet) -> None:
    with one.at_work() as place:
        write_summary(place, place.now(), "Designer", pen=pin(place, Role.DESIGNER, new_key(Role.DESIGNER)))
    text = bundle_text(verify_bundle(one.sends("with summary").path))
    assert "project summary: Signed by Designer." in text
    assert "papers/" not in text
    assert "pictures and attached files: 0; papers: 1" in text


def test_each_paper_inside_has_its_verdict_in_one_line(one: Tablet, two: Tablet) -> None:
    with one.at_work() as place:
        pen = pin(place, Role.INSPECTOR, new_key(Role.INSPECTOR))
        write_shaft_log(place, "P1-1", shaft_now(place, "P1-1").at, "Inspector A", pen)
    path = one.sends("with paper").path
    (alone,) = verify_bundle(path).papers
    assert (alone.paper, alone.shaft, alone.verdict) == ("shaft log", "P1-1", Verdict.UNKNOWN)
    found = with_project(path, two)
    (paper,) = found.papers
    assert paper.verdict is Verdict.VALID, "its entry and the certificate travel with it"
    assert "Signed by Inspector A." in paper.says
    assert "valid" in bundle_text(found)
    data = json.loads(json.dumps(bundle_json(found)))
    assert data["papers"][0]["shaft"] == "P1-1"
    assert {each["answer"] for each in data["bundle"]} == {"yes"}


def test_the_command_tells_a_bundle_by_its_content_and_writes_nothing(
    one: Tablet, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "looks like.pdf"
    path.write_bytes(one.sends().path.read_bytes())
    before = sorted(each.name for each in tmp_path.iterdir())
    assert run(["verify", str(path)]) == NOT_AS_ASKED
    text = capsys.readouterr().out
    assert text.startswith("unknown: Nothing speaks against this bundle")
    assert "project  larkwater" in text
    assert run(["verify", str(path), "--json"]) == NOT_AS_ASKED
    data = json.loads(capsys.readouterr().out)
    assert data["inside"]["project"] == "larkwater"
    assert sorted(each.name for each in tmp_path.iterdir()) == before
