"""A project goes from tablet to tablet, partly and whole, again and again, and nothing is lost."""

from __future__ import annotations

import shutil
import zipfile
from dataclasses import replace
from datetime import timedelta

import pytest

from fieldapp.desk.travel.arriving import Meant
from fieldapp.desk.travel.looking import look_into
from fieldapp.desk.travel.told import told_of
from fieldapp.desk.trust.audit import audit
from fieldapp.exchange.bundle.refused import BundleRefused
from fieldapp.record.attesting import PaperSigned, Revocation
from fieldapp.record.chain import chains_of
from fieldapp.record.hole import Note
from fieldapp.record.words import PaperKind, Role
from fieldapp.store.backup import back_up
from fieldapp.store.papers import REPORTS, paper_path
from fieldapp.store.pictures import picture_path, save_picture
from fieldapp.store.problems import AlreadyThere, OwnChainElsewhere
from tests.desk.conftest import PLAN_ONLY
from tests.desk.signed_work import ENGINEER, INSPECTOR, person_key, pinned, say
from tests.desk.travel.tablets import Tablet, a_picture


def sealed(tablet: Tablet) -> dict[str, list[bytes]]:
    """Every chain, byte for byte."""
    return {device: [each.sealed for each in chain] for device, chain in chains_of(tablet.entries()).items()}


def wrong(tablet: Tablet) -> list[str]:
    tablet.is_in_hand()
    return [each.detail for each in audit(tablet.folder) if not each.ok]


def detail(tablet: Tablet, what: str) -> str:
    tablet.is_in_hand()
    return next(each.detail for each in audit(tablet.folder) if each.what == what)


ON_THE_WAY = "pictures of other devices, not here yet"
PAPERS_ON_THE_WAY = "signed papers of other devices, not here yet"


def test_a_new_tablet_gets_the_whole_project_and_nothing_is_wrong_with_it(one, two):
    assert sealed(two) == sealed(one)
    assert wrong(two) == []
    assert [each.name for each in two.root.iterdir() if "new" in each.name] == []
    entry = two.notes("from the second tablet")
    assert (entry.device, entry.seq) == ("tablet 2", 1)


def test_a_bundle_that_comes_again_changes_nothing(one, two):
    two.notes("here")
    path = one.sends("again").path
    two.takes(path)
    before = two.as_it_is()
    arrived = two.takes(path)
    assert (arrived.new, arrived.files, arrived.changed) == (0, 0, ())
    assert arrived.known == len(one.entries())
    assert "Everything in it was here already." in told_of(arrived)
    assert two.as_it_is() == before


def test_both_tablets_record_on_one_shaft_and_both_keep_everything(one, two):
    one.notes("from the first")
    two.notes("from the second")
    arrived = two.takes(one.sends("to two").path)
    assert [each.says[0] for each in arrived.changed] == ["Standing as before: not shown."]
    assert arrived.changed[0].entries == 1
    one.takes(two.sends("to one").path)
    assert {each.values.text for each in one.entries() if isinstance(each.values, Note)} == {
        "from the first",
        "from the second",
    }
    two.takes(one.sends("last").path)
    assert sealed(one) == sealed(two)
    assert wrong(one) == wrong(two) == []


def test_an_older_bundle_after_a_newer_one_brings_nothing_and_takes_nothing(one, two):
    old = one.sends("old").path
    one.notes("later")
    two.takes(one.sends("new").path)
    before = two.as_it_is()
    assert two.takes(old).new == 0
    assert two.as_it_is() == before


def test_what_is_shown_before_is_what_comes(one, two):
    digest = one.photographs(a_picture())
    made = one.sends("shown")
    with two.at_work() as place:
        seen = look_into(made.path, place)
    assert (seen.project, seen.device, seen.person, seen.shafts) == ("larkwater", "tablet 1", "", None)
    assert (seen.entries, seen.files, seen.size) == (len(one.entries()), 1, made.path.stat().st_size)
    arrived = two.takes(made.path, Meant(seen.digest))
    assert arrived.new == seen.new == 2  # the photo and the signature of the chain
    assert picture_path(two.folder, digest) is not None
    assert arrived.missing == 0
    assert two.refuses(made.path, BundleRefused, Meant("0" * 64)).find("not the bundle any more") > 0


def test_the_persons_key_signs_it_too_and_the_roster_says_whose_it_is(one, two):
    with one.at_work() as place:
        key = person_key(place, ENGINEER, Role.RESIDENT_ENGINEER)
        say(place, pinned(place.setup(), ENGINEER, key), ENGINEER)
    made = one.sends("signed", key=key)
    arrived = two.takes(made.path)
    assert made.signed_by == arrived.sender.person == ENGINEER
    assert arrived.sender.person_fingerprint == key.certificate.fingerprint
    assert f"sent by {ENGINEER}." in told_of(arrived)[0]


def test_some_shafts_first_and_the_whole_afterwards(one, two):
    (one.root / "logs" / "P9-1.log").write_text(PLAN_ONLY, "utf-8")
    one.clock.at += timedelta(days=1)
    with one.at_work() as place:
        from fieldapp.desk.typed_logs import add_logs, read_logs

        add_logs(place, read_logs([one.root / "logs" / "P9-1.log"]))
    red, blue = one.photographs(a_picture("red")), one.photographs(a_picture("blue"), "P9-1")
    arrived = two.takes(one.sends("one shaft", ("P1-1",)).path)
    assert (arrived.files, arrived.missing) == (1, 1)
    assert "not here yet: 1" in told_of(arrived)[-1]
    assert sealed(two) == sealed(one)  # chains are never cut
    assert picture_path(two.folder, red) is not None
    assert picture_path(two.folder, blue) is None
    assert wrong(two) == []
    assert f"picture {blue} (entry " in detail(two, ON_THE_WAY)
    assert two.takes(one.sends("everything").path).files == 1
    assert detail(two, ON_THE_WAY) == ""


def test_a_picture_that_has_not_arrived_keeps_nobody_from_a_backup_and_a_lost_one_does(one, two):
    far = one.photographs(a_picture("red"))
    two.takes(one.sends("no pictures", ()).path)
    two.is_in_hand()
    made = back_up(two.folder, two.root / "copy")
    assert picture_path(made.folder, far) is None
    own = two.photographs(a_picture("blue"))
    lost = picture_path(two.folder, own)
    assert lost is not None
    lost.unlink()
    assert [f"picture {own} is missing" in each for each in wrong(two)] == [True]
    with pytest.raises(Exception, match=f"picture {own} is missing"):
        back_up(two.folder, two.root / "another copy")


def test_a_picture_that_arrived_and_was_changed_is_named_and_mended_by_the_next_bundle(one, two):
    digest = one.photographs(a_picture())
    path = one.sends("with picture").path
    two.takes(path)
    here = picture_path(two.folder, digest)
    assert here is not None
    here.write_bytes(b"something else")
    assert [f"picture {digest} is changed" in each for each in wrong(two)] == [True]
    two.takes(path)
    assert wrong(two) == []


def a_paper(
    tablet: Tablet, content: bytes, name: str = "p1-1-log.pdf", kind: PaperKind = PaperKind.SHAFT_LOG
) -> str:
    """A paper that was signed on this tablet, as its entry tells it."""
    import hashlib

    digest = hashlib.sha256(content).hexdigest()
    with tablet.at_work() as place:
        (place.folder / REPORTS / name).write_bytes(content)
        say(
            place,
            PaperSigned(
                kind,
                "P1-1" if kind is PaperKind.SHAFT_LOG else "larkwater",
                name,
                digest,
                "ab" * 32,
                "inspector",
                Role.INSPECTOR,
                "cd" * 32,
            ),
        )
    return digest


def test_two_papers_of_one_name_are_both_kept(one, two):
    first, second = a_paper(one, b"%PDF of one"), a_paper(two, b"%PDF of two")
    two.takes(one.sends("papers").path)
    one.takes(two.sends("papers back").path)
    for tablet in (one, two):
        for digest, content in ((first, b"%PDF of one"), (second, b"%PDF of two")):
            path = paper_path(tablet.folder, "p1-1-log.pdf", digest)
            assert path is not None
            assert path.read_bytes() == content
        assert wrong(tablet) == []


def test_a_paper_that_has_not_arrived_is_told_from_one_that_was_lost(one, two):
    a_paper(one, b"%PDF of one", "far.pdf")
    two.takes(one.sends("none", ()).path)
    assert wrong(two) == []
    assert "far.pdf (entry" in detail(two, PAPERS_ON_THE_WAY)
    a_paper(two, b"%PDF of two", "own.pdf")
    (two.folder / REPORTS / "own.pdf").unlink()
    assert [each.startswith("own.pdf is missing") for each in wrong(two)] == [True]


def test_a_device_that_was_revoked_sends_what_counts_for_nothing_and_that_is_said(one, two):
    first = two.sends("from two").path
    one.takes(first)
    key = next(each for each in two.entries() if each.device == "tablet 2" and each.kind == "device key")
    from fieldapp.record.revoked import fingerprint_of

    one.clock.at += timedelta(hours=1)
    with one.at_work() as place:
        mark = fingerprint_of(key.values.certificate)
        say(place, Revocation("tablet 2", mark, place.now(), "tablet lost"), ENGINEER)
    two.clock.at += timedelta(hours=2)
    two.notes("from the thief")
    arrived = one.takes(two.sends("afterwards").path)
    assert arrived.new == 2  # in whatever order it comes, the journal is the same
    assert "certificate of tablet 2 is revoked since" in arrived.cautions[0]
    assert "certificate of tablet 2 is revoked" in told_of(arrived)[-1]


def test_a_summary_is_about_all_shafts_and_goes_with_every_bundle(one, two):
    a_paper(one, b"%PDF of P1-1", "log.pdf")
    digest = a_paper(one, b"%PDF of all", "summary.pdf", PaperKind.PROJECT_SUMMARY)
    two.takes(one.sends("of no shaft", ()).path)
    path = paper_path(two.folder, "summary.pdf", digest)
    assert path is not None
    assert path.read_bytes() == b"%PDF of all"
    assert not (two.folder / REPORTS / "log.pdf").exists(), "the papers of a shaft stay behind"


def test_what_this_device_has_lost_comes_back_only_when_asked_and_under_a_new_name(one, two):
    kept = one.root / "kept"
    shutil.copytree(one.folder, kept)
    one.notes("lost with the disk")
    two.takes(one.sends("before").path)
    shutil.rmtree(one.folder)
    shutil.copytree(kept, one.folder)
    back = two.sends("back").path
    assert "arrived from elsewhere" in one.refuses(back, OwnChainElsewhere)
    arrived = one.takes(back, Meant(own_came_back=True))
    assert arrived.new == 4  # the note and its signature; the key of the second, and its signature
    assert sealed(one) == sealed(two)
    with pytest.raises(Exception, match="not continued here"):
        one.notes("under the old name")


def test_a_project_is_made_in_an_empty_folder_and_never_in_one_with_something_in_it(
    one, tmp_path, monkeypatch
):
    three = Tablet(tmp_path, 3, monkeypatch)
    path = one.sends("for three").path
    three.folder.mkdir()
    from fieldapp.desk.travel.arriving import NewFolder, begin_from_bundle

    three.is_in_hand()
    begin_from_bundle(NewFolder(three.folder, three.clock, three.device), path)
    assert sealed(three) == sealed(one)
    other = tmp_path / "full"
    other.mkdir()
    (other / "notes.txt").write_text("mine")
    with pytest.raises(AlreadyThere):
        begin_from_bundle(NewFolder(other, three.clock, three.device), path)
    assert [each.name for each in other.iterdir()] == ["notes.txt"]


def test_any_zip_tool_reads_what_is_sent(one):
    digest = one.photographs(a_picture())
    with zipfile.ZipFile(one.sends("zip").path) as whole:
        assert whole.testzip() is None
        assert whole.namelist() == [
            "entries.jsonl",
            f"pictures/{digest}.png",
            "bundle.json",
            "signature.json",
        ]
        assert whole.read("entries.jsonl").splitlines() == [
            each for chain in sealed(one).values() for each in chain
        ]


def test_nothing_is_sent_that_nobody_would_take(one, two):
    one.photographs(b"no picture at all")
    with one.at_work() as place:
        odd = save_picture(place.folder, b"\x7fELF", ".exe")
        say(place, replace(Note("odd"), attached=odd, attached_name="odd.exe"), INSPECTOR)
    made = one.sends("odd")
    assert [each.why for each in made.left_out] == [
        "The picture is not a picture that can be read. Nothing was saved. Choose a JPEG, PNG or WebP file."
    ]
    two.takes(made.path)
    here = picture_path(two.folder, odd)
    assert here is not None
    assert here.suffix == ".bin"
