"""A bundle that deceives is refused whole: the rule is named, and the folder is as it was, file by file."""

from __future__ import annotations

import errno
import hashlib
import json
import shutil
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
import rfc8785

from fieldapp.desk.travel.arriving import NewFolder, begin_from_bundle
from fieldapp.exchange.bundle import reading
from fieldapp.exchange.bundle.manifest import ENTRIES
from fieldapp.exchange.bundle.refused import BundleRefused
from fieldapp.exchange.bundle.signature import SenderSignature
from fieldapp.identity.bundles import Sent, sign_bundle
from fieldapp.identity.certificates import to_pem
from fieldapp.record.chain import heads_of
from fieldapp.record.decisions import Basis, Position, Release
from fieldapp.record.entry import open_sealed
from fieldapp.record.hole import Note, Photo
from fieldapp.record.words import Role
from fieldapp.store.opening import reading as read_only
from fieldapp.store.problems import BrokenLink, DiskTrouble, EntryRefused, Forked, RepeatedId
from tests.desk.signed_work import ENGINEER, INSPECTOR, person_key, pinned, say
from tests.desk.travel.forging import Forger, a_key, as_the_device, in_chains
from tests.desk.travel.tablets import Tablet, a_picture

# Who sent it.


def test_a_signature_by_another_key_in_the_name_of_a_known_device(one, two):
    forger = as_the_device(one)
    forger.signer = a_key(one, one.device)
    said = two.refuses(forger.packs(), BundleRefused)
    assert "Its key is not the one with which device tablet 1 signs its chain." in said


def test_a_device_whose_key_stands_in_no_chain(one, two):
    assert "Its key is not the one" in two.refuses(Forger(one).packs(), BundleRefused)


def test_a_new_device_that_brings_its_key_in_its_own_chain_is_taken_over_and_named(one, two):
    forger = Forger(one)
    forger.brings_key()
    arrived = two.takes(forger.packs())
    assert arrived.first_seen
    assert arrived.sender.device == "forger"


def test_a_certificate_of_another_device(one, two):
    forger = as_the_device(one)
    other = a_key(one, "another")
    forger.sign = lambda digest: SenderSignature(other.certificate, sign_bundle(forger.sent(digest), other))
    assert "does not hold" in two.refuses(forger.packs(), BundleRefused)


@pytest.mark.parametrize("other", [Sent("vesker", "tablet 1", ""), Sent("larkwater", "tablet 2", "")])
def test_a_signature_of_another_project_or_device(one, two, other):
    forger = as_the_device(one)
    signer = forger.signer
    assert signer is not None
    forger.sign = lambda digest: SenderSignature(
        signer.certificate, sign_bundle(replace(other, digest=digest), signer)
    )
    assert "does not hold" in two.refuses(forger.packs(), BundleRefused)


def test_a_signature_of_another_bundle(one, two):
    forger = as_the_device(one)
    path = forger.packs()
    kept: list[SenderSignature] = []
    forger.sign = lambda digest: kept.append(forger.signs(digest)) or kept[-1]  # type: ignore[func-returns-value]
    forger.packs("signed")
    forger.says(Note("more"), device="tablet 1")
    forger.sign = lambda _digest: kept[0]
    assert "does not hold" in two.refuses(forger.packs("changed"), BundleRefused)
    assert two.takes(path).sender.device == "tablet 1"


def test_a_person_who_is_not_on_the_roster(one, two):
    forger = as_the_device(one)
    with one.at_work() as place:
        key = person_key(place, ENGINEER, Role.RESIDENT_ENGINEER)
    forger.made_by = ENGINEER
    forger.sign = lambda digest: replace(
        forger.signs(digest),
        person_certificate=to_pem(key.x509_certificate),
        person_signature=sign_bundle(forger.sent(digest), key),
    )
    assert f"certificate of {ENGINEER} is not on the roster" in two.refuses(forger.packs(), BundleRefused)


def test_the_certificate_of_a_person_over_a_signature_of_somebody_else(one, two):
    with one.at_work() as place:
        key = person_key(place, ENGINEER, Role.RESIDENT_ENGINEER)
        say(place, pinned(place.setup(), ENGINEER, key), ENGINEER)
        thief = person_key(place, ENGINEER, Role.RESIDENT_ENGINEER)
    forger = as_the_device(one)
    forger.made_by = ENGINEER
    both = to_pem(thief.x509_certificate).replace("CERTIFICATE", "X509 CERTIFICATE")
    for certificate in (to_pem(key.x509_certificate), both + to_pem(key.x509_certificate)):
        forger.sign = lambda digest, pem=certificate: replace(
            forger.signs(digest),
            person_certificate=pem,
            person_signature=sign_bundle(forger.sent(digest), thief),
        )
        two.refuses(forger.packs(), BundleRefused)


def test_a_person_that_the_manifest_names_and_nobody_signed_for(one, two):
    forger = as_the_device(one)
    forger.made_by = ENGINEER
    assert "name different senders" in two.refuses(forger.packs(), BundleRefused)


# Whose project, which chains.


def test_another_project(one, two):
    forger = as_the_device(one)
    forger.project = "vesker"
    said = two.refuses(forger.packs(), BundleRefused)
    assert "It is of project vesker, and this is project larkwater." in said


def test_entries_of_another_project_than_the_bundle_says(one, tmp_path, monkeypatch):
    three = Tablet(tmp_path, 3, monkeypatch)
    forger = as_the_device(one)
    forger.project = "vesker"
    path = forger.packs()
    three.is_in_hand()
    before = sorted(each.name for each in tmp_path.iterdir())
    with pytest.raises(BundleRefused, match="of another project than it says"):
        begin_from_bundle(NewFolder(three.folder, three.clock, three.device), path)
    assert sorted(each.name for each in tmp_path.iterdir()) == before


@pytest.mark.parametrize("how", ["hash", "further", "left out", "unknown", "none"])
def test_heads_that_are_not_those_of_the_chains(one, two, how):
    forger = as_the_device(one)
    heads = dict(heads_of(forger.entries))
    last = heads["tablet 1"]
    if how == "hash":
        heads["tablet 1"] = replace(last, hash="ab" * 32)
    elif how == "further":
        heads["tablet 1"] = replace(last, seq=last.seq + 1)
    elif how == "left out":
        del heads["tablet north"]
    elif how == "unknown":
        heads["nobody"] = replace(last, device="nobody")
    forger.heads = () if how == "none" else tuple(heads.values())
    said = two.refuses(forger.packs(), BundleRefused)
    assert "does not end where it says" in said or "does not hold the entries" in said


def test_a_chain_that_is_left_out_although_it_is_here_already(one, two):
    forger = as_the_device(one)
    forger.lines = in_chains(each for each in forger.entries if each.device != "office")
    assert "does not hold the entries of the chains" in two.refuses(forger.packs(), BundleRefused)


def test_a_chain_with_a_hole(one, two):
    forger = as_the_device(one)
    forger.says(Note("first"), device="tablet 1")
    forger.says(Note("second"), device="tablet 1")
    forger.lines = in_chains([*forger.entries[:-2], forger.entries[-1]])
    two.refuses(forger.packs(), BrokenLink)


def test_a_chain_that_is_another_one_than_here(one, two):
    one.notes("as it was")
    two.takes(one.sends("true").path)
    forger = as_the_device(one)
    place = next(n for n, each in enumerate(forger.entries) if isinstance(each.values, Note))
    before = forger.entries[:place]
    changed = Forger(one, one.device, signer=forger.signer)
    changed.entries = before
    changed.says(Note("as somebody would have it"), device="tablet 1")
    two.refuses(changed.packs(), Forked)


@pytest.mark.parametrize("how", ["doubled", "out of turn", "all twice"])
def test_entries_that_do_not_come_chain_after_chain(one, two, how):
    """They are gone through one by one, so what a bundle states of its chains is held against their order."""
    forger = as_the_device(one)
    lines = in_chains(forger.entries)
    ahead = next(number for number, each in enumerate(lines) if open_sealed(each).seq == 2)
    forger.lines = [*lines, lines[ahead]] if how == "doubled" else [*lines[ahead:], *lines[:ahead]]
    if how == "all twice":
        forger.lines, forger.heads = lines * 2, tuple(heads_of(forger.entries).values()) * 2
    assert "does not hold the entries of the chains" in two.refuses(forger.packs(), BundleRefused)


def test_a_stick_that_is_pulled_out_is_named_and_not_the_project(one, two, monkeypatch):
    path, read = one.sends().path, reading.content_of

    def fails(file, packed):
        yield from (
            (part[:900] for part in read(file, packed)) if packed.name == ENTRIES else read(file, packed)
        )
        if packed.name == ENTRIES:
            raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(reading, "content_of", fails)
    said = two.refuses(path, DiskTrouble)
    assert str(path) in said
    assert str(two.folder) not in said


@pytest.mark.parametrize("whose", ["known", "new"])
def test_an_id_twice(one, two, whose):
    forger = Forger(one)
    forger.brings_key()
    twin = forger.entries[0] if whose == "known" else forger.entries[-1]
    forger.says(Note("twice"), id=twin.id)
    two.refuses(forger.packs(), RepeatedId)


# What the entries say.


def test_a_decision_by_somebody_without_the_role(one, two):
    forger = Forger(one)
    forger.brings_key()
    basis = Basis((Position("tablet north", 2),), "ab" * 32)
    forger.says(Release(basis, one.clock.now("UTC") + timedelta(hours=3)), INSPECTOR)
    assert f"{INSPECTOR} may not make a release" in two.refuses(forger.packs(), EntryRefused)


def test_an_author_whom_nobody_knows(one, two):
    forger = Forger(one)
    forger.brings_key()
    forger.says(Note("hello"), "Somebody")
    two.refuses(forger.packs(), EntryRefused)


@pytest.mark.parametrize(
    ("name", "change"),
    [("kind", "tremie camera"), ("version", 99), ("values", {"text": "x", "more": "y"}), ("seq", 0)],
)
def test_an_entry_of_a_newer_program_or_of_none(one, two, name, change):
    forger = as_the_device(one)
    entry = forger.says(Note("from the future"), device="tablet 1")
    body = {**json.loads(entry.sealed), name: change}
    made = rfc8785.dumps(body)
    forger.lines = [*in_chains(forger.entries[:-1]), made]
    last = heads_of(forger.entries)["tablet 1"]
    forger.heads = (
        *(each for each in heads_of(forger.entries[:-1]).values() if each.device != "tablet 1"),
        replace(last, hash=hashlib.sha256(made).hexdigest()),
    )
    said = two.refuses(forger.packs(), Exception)
    assert "device tablet 1" in said
    if name in {"kind", "version"}:
        assert "newer" in said


def test_bytes_that_are_no_entry(one, two):
    forger = as_the_device(one)
    for line in (b"", b"{}", b"x" * 400, b"[" * 5000, json.dumps({"id": 1.5, "x": "y" * 400}).encode()):
        forger.lines = [*in_chains(forger.entries), line]
        two.refuses(forger.packs(), Exception)


# What else is in it.


def with_picture(one: Tablet, content: bytes, suffix: str = ".png", named: str = "") -> Path:
    forger = as_the_device(one)
    digest = hashlib.sha256(content).hexdigest()
    forger.says(Photo(named or digest, "the base"), device="tablet 1")
    forger.files = [(f"pictures/{digest}{suffix}", content)]
    return forger.packs()


def test_a_file_that_no_entry_names(one, two):
    path = with_picture(one, a_picture(), named="ab" * 32)
    assert "which no entry names" in two.refuses(path, BundleRefused)


def test_a_picture_under_the_ending_of_something_else(one, two):
    assert "which no entry names" in two.refuses(with_picture(one, a_picture(), ".exe"), BundleRefused)


def test_a_picture_that_is_none(one, two):
    said = two.refuses(with_picture(one, b"MZ this is no picture"), BundleRefused)
    assert "is not one to keep" in said
    assert "not a picture that can be read" in said


def test_a_picture_that_explodes_when_it_is_opened(one, two):
    """A PNG of a few kilobytes that says it has 12,000 times 12,000 pixels."""
    import struct
    import zlib

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    size = 12_000
    head = struct.pack(">IIBBBBB", size, size, 8, 2, 0, 0, 0)
    rows = zlib.compress(b"\0" * 1_000_000, 9)
    bomb = b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")
    assert len(bomb) < 3000
    assert "million pixels" in two.refuses(with_picture(one, bomb), BundleRefused)


def test_a_paper_whose_entry_leads_out_of_the_reports(one, two):
    from fieldapp.record.attesting import PaperSigned
    from fieldapp.record.words import PaperKind

    content = b"%PDF evil"
    digest = hashlib.sha256(content).hexdigest()
    for name in ("../journal.db", "/etc/passwd", "nul.pdf", "a/b.pdf", ".hidden.pdf"):
        forger = as_the_device(one)
        forger.says(
            PaperSigned(
                PaperKind.SHAFT_LOG, "P1-1", name, digest, "ab" * 32, "inspector", Role.INSPECTOR, "cd" * 32
            ),
            device="tablet 1",
        )
        forger.files = [(f"papers/{digest}.pdf", content)]
        assert "which no entry names" in two.refuses(forger.packs(), BundleRefused)


@pytest.mark.parametrize("share", [0, 1, 30, 60, 99])
def test_a_file_that_was_cut_off(one, two, share):
    path = one.sends("cut").path
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) * share // 100])
    two.refuses(path, BundleRefused)


@pytest.mark.parametrize("place", [40, 400, 900, -900, -400, -30])
def test_a_byte_that_was_changed(one, two, place):
    one.notes("changed on the way")
    path = one.sends("changed").path
    whole = bytearray(path.read_bytes())
    whole[place] ^= 4
    path.write_bytes(whole)
    two.refuses(path, BundleRefused)


def test_a_file_that_is_not_there_or_is_a_folder(one, two):
    two.refuses(one.root / "nothing.bundle.zip", Exception)
    (one.root / "folder.bundle.zip").mkdir()
    two.refuses(one.root / "folder.bundle.zip", Exception)


def test_links_in_the_folder_lead_nothing_out_of_it(one, two):
    """A name that a new file is to get is a link to somewhere else: the link goes, its aim stays."""
    digest = one.photographs(a_picture())
    path = one.sends("links").path
    aim = two.root / "aim"
    aim.write_bytes(b"mine")
    (two.folder / "pictures" / f"{digest}.png").symlink_to(aim)
    two.takes(path)
    here = two.folder / "pictures" / f"{digest}.png"
    assert not here.is_symlink()
    assert here.read_bytes() == a_picture()
    assert aim.read_bytes() == b"mine"


def test_a_new_project_of_a_bad_bundle_leaves_no_folder(one, tmp_path, monkeypatch):
    three = Tablet(tmp_path, 3, monkeypatch)
    path = with_picture(one, b"no picture")
    three.refuses(path, BundleRefused)
    assert not three.folder.exists()


def test_the_journal_holds_what_came_byte_for_byte(one, two):
    one.notes("bytes")
    two.takes(one.sends("bytes").path)
    shutil.copytree(two.folder, two.root / "copy")
    with read_only(two.root / "copy") as connection:
        rows = connection.execute("SELECT sealed, hash FROM entries").fetchall()
    assert {open_sealed(sealed.encode()).hash for sealed, _ in rows} == {each.hash for each in one.entries()}
    assert all(hashlib.sha256(sealed.encode()).hexdigest() == digest for sealed, digest in rows)
