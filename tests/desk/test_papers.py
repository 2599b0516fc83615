"""Shaft logs: with their journal inside, signed one after the other, each signature in the journal."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import threading
from datetime import timedelta
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path

import pytest

from fieldapp.desk import paper_signing
from fieldapp.desk.inspector import AskFirst, Saying, record_entry
from fieldapp.desk.office import shaft_now
from fieldapp.desk.paper import Paper, PaperRefused, Pen
from fieldapp.desk.paper_journal import FILE_NAME, read_paper_journal, written
from fieldapp.desk.paper_policy import signatures_up_to
from fieldapp.desk.paper_signing import NO_TIMESTAMP, OLDER_RECORD, countersign, next_role
from fieldapp.desk.papers import log_facts, write_shaft_log
from fieldapp.desk.people import key_file, make_key, unlock_key
from fieldapp.desk.settings import Settings, read_settings, settings_file
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.verifying import verify_file
from fieldapp.desk.workplace import Workplace, read_project
from fieldapp.identity.attachments import attached_files
from fieldapp.identity.errors import (
    ClockProblem,
    FieldProblem,
    NotThisPerson,
    OutsideValidity,
    RevokedKey,
    WeakPassphrase,
    WrongOrder,
    WrongPassphrase,
)
from fieldapp.identity.verification import Verdict
from fieldapp.record.attesting import PaperSigned, Revocation
from fieldapp.record.hole import Note
from fieldapp.record.reading import Impossible
from fieldapp.record.words import Role
from fieldapp.store.problems import OnlyReading
from tests.desk.signed_papers import HAND, PEOPLE, new_key, pin, pin_all
from tests.identity.signers import TERM
from tests.identity.test_timestamps import authority

PASSPHRASE = "seven quiet herons on the bank"
needs_pdfsig = pytest.mark.skipif(
    shutil.which("pdfsig") is None and not os.environ.get("CI"), reason="pdfsig (poppler-utils) is not here"
)


@pytest.fixture(autouse=True)
def settings_of_this_device(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))
    return settings_file()


def verdict(path: Path) -> str:
    """What an independent program says of the signatures of a file."""
    done = subprocess.run(
        ["pdfsig", "-nocert", str(path)],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "LC_ALL": "C"},
    )
    return done.stdout + done.stderr


def certified(place: Workplace, pen: Pen) -> Paper:
    return write_shaft_log(place, "P1-1", shaft_now(place, "P1-1").at, "Inspector A", pen)


def signed_entries(place: Workplace) -> list[PaperSigned]:
    return [each.values for each in place.entries() if isinstance(each.values, PaperSigned)]


@needs_pdfsig
def test_an_independent_program_calls_the_signature_valid_and_a_flipped_byte_not(place: Workplace) -> None:
    make_key(place, "Inspector A", PASSPHRASE)
    path = certified(place, Pen(unlock_key(place, "Inspector A", PASSPHRASE), Role.INSPECTOR)).path
    said = verdict(path)
    assert "Signature is Valid" in said
    assert "Inspector A" in said
    assert "ETSI.CAdES.detached" in said
    pdf = bytearray(path.read_bytes())
    for position in (len(pdf) // 5, len(pdf) // 3, len(pdf) // 2):
        changed = pdf.copy()
        changed[position] ^= 1
        other = path.with_name("changed.pdf")
        other.write_bytes(changed)
        assert "Signature is Valid" not in verdict(other)


def test_a_log_is_written_once_for_each_state_of_the_record(place: Workplace) -> None:
    at = shaft_now(place, "P1-1").at
    first = write_shaft_log(place, "P1-1", at, "Inspector A")
    again = write_shaft_log(place, "P1-1", at, "Inspector A")
    assert (first.new, again.new, again.path) == (True, False, first.path)
    record_entry(place, Saying("P1-1", Note("something new"), "Inspector A"))
    later = write_shaft_log(place, "P1-1", at, "Inspector A")
    assert later.new
    assert later.path != first.path
    assert first.path.exists()


def test_the_same_record_gives_the_same_file_whatever_was_signed_meanwhile(place: Workplace) -> None:
    at = shaft_now(place, "P1-1").at
    pens = pin_all(place)
    path = write_shaft_log(place, "P1-1", at, "Inspector A").path
    first = path.read_bytes()
    certified(place, pens[Role.INSPECTOR])
    path.unlink()
    assert write_shaft_log(place, "P1-1", at, "Inspector A").new
    assert path.read_bytes() == first


def test_the_journal_of_the_shaft_is_inside_every_log(place: Workplace) -> None:
    pens = pin_all(place)
    at = shaft_now(place, "P1-1").at
    papers = (write_shaft_log(place, "P1-1", at, "Inspector A"), certified(place, pens[Role.INSPECTOR]))
    for paper in papers:
        (file,) = attached_files(paper.path.read_bytes())
        assert file.name == FILE_NAME
        journal = read_paper_journal(file.data)
        assert journal.record_digest == place.shaft("P1-1").digest
        assert [each.sealed for each in journal.shaft_entries] == [
            each.sealed for each in place.shaft("P1-1").entries
        ]
        assert "project set-up" in {each.kind for each in journal.entries}
        assert "paper signed" not in {each.kind for each in journal.entries}
        assert written(journal) == file.data
        assert journal.as_of == at


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
            patched.setattr(paper_signing, "record_entry", _dies)
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
    for name in ("sign_pdf", "save_bytes"):
        with monkeypatch.context() as patched:
            patched.setattr(paper_signing, name, _dies)
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
    assert asked.value.codes == (OLDER_RECORD,)
    assert "Sign the older state all the same?" in str(asked.value)
    assert len(signed_entries(place)) == 1
    paper = countersign(place, path, pens[Role.RESIDENT_ENGINEER], asked.value.codes)
    assert paper.new
    assert place.entries()[-1].draft.confirmed == (OLDER_RECORD,)
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
    for each in (path, unsigned):
        with pytest.raises(PaperRefused, match="does not name this file"):
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


def test_the_roster_pins_the_certificate_and_the_journal_learns_no_secret(place: Workplace) -> None:
    make_key(place, "Inspector A", PASSPHRASE)
    person = place.setup().person("Inspector A")
    assert person is not None
    assert "BEGIN CERTIFICATE" in person.certificate
    path = certified(place, Pen(unlock_key(place, "Inspector A", PASSPHRASE), Role.INSPECTOR)).path
    everything = b"".join(each.sealed for each in place.entries()) + path.read_bytes()
    everything += attached_files(path.read_bytes())[0].data
    assert b"PRIVATE" not in everything
    assert PASSPHRASE.encode() not in everything
    assert PASSPHRASE.encode() not in key_file(place, "Inspector A").read_bytes()


def test_a_wrong_or_weak_passphrase_and_a_stranger_are_refused(place: Workplace) -> None:
    with pytest.raises(WeakPassphrase):
        make_key(place, "Inspector A", "short")
    assert not key_file(place, "Inspector A").exists()
    with pytest.raises(Impossible, match="Inspector A"):
        make_key(place, "Somebody", PASSPHRASE)
    with pytest.raises(Impossible, match="no key"):
        unlock_key(place, "Designer", PASSPHRASE)
    make_key(place, "Inspector A", PASSPHRASE)
    with pytest.raises(WrongPassphrase):
        unlock_key(place, "Inspector A", PASSPHRASE + "s")
    with pytest.raises(Impossible, match="stays as it is"):
        make_key(place, "Inspector A", PASSPHRASE)


class Desk(BaseHTTPRequestHandler):
    """A timestamp server on this machine."""

    asked = 0
    authority = authority(TERM.valid_from + timedelta(days=131, hours=17))

    def do_POST(self) -> None:
        Desk.asked += 1
        reply = self.authority.reply_to(self.rfile.read(int(self.headers["Content-Length"])))
        self.send_response(200)
        self.end_headers()
        self.wfile.write(reply)

    def log_message(self, *_: object) -> None:
        pass


def test_a_trusted_timestamp_is_asked_for_when_a_server_is_set_up_and_never_needed(
    place: Workplace, clock, settings_of_this_device: Path
) -> None:
    pens = pin_all(place)
    folder = settings_of_this_device.parent
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "authority.pem").write_text(Desk.authority.pem, "ascii")
    with HTTPServer(("127.0.0.1", 0), Desk) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        address = f"http://127.0.0.1:{server.server_address[1]}/"
        path = certified(place, pens[Role.INSPECTOR]).path
        assert Desk.asked == 0, "nothing is sent unless it is set up"
        settings_of_this_device.write_text(
            f'timestamp_server = "{address}"\ntimestamp_certificate = "authority.pem"\n', "utf-8"
        )
        stamped = countersign(place, path, pens[Role.RESIDENT_ENGINEER])
        assert stamped.note == ""
        assert Desk.asked > 0
        server.shutdown()
    signature = verify_file(stamped.path.read_bytes(), place).signed.signatures[1]
    assert signature.stamped_at == TERM.valid_from + timedelta(days=131, hours=17)
    without = countersign(place, stamped.path, pens[Role.DESIGNER])
    assert without.note == NO_TIMESTAMP
    assert without.new
    assert verify_file(without.path.read_bytes(), place).signed.signatures[2].stamped_at is None


@pytest.mark.parametrize(
    ("told", "wrong"),
    [
        ("timestamp_sever = 'https://time.example'", "timestamp_sever"),
        ("timestamp_server = 'time.example'", "begins with https://"),
        ("timestamp_server = 3", "text in quotes"),
        ("timestamp_certificate = 'nowhere.pem'", "one certificate as PEM text"),
        ("timestamp_server = ", "a TOML file"),
    ],
)
def test_settings_with_a_slip_are_named_and_not_guessed(
    settings_of_this_device: Path, told: str, wrong: str
) -> None:
    assert read_settings() == Settings()
    settings_of_this_device.parent.mkdir(parents=True)
    settings_of_this_device.write_text(told, "utf-8")
    with pytest.raises(Impossible, match=wrong):
        read_settings()


PLAN_ONLY = """\
project   larkwater
device    office
author    Resident engineer
zone      America/Denver
day       2026-05-11

09:35  shaft P9-1  shaft scheduled
  location        pier 9
  method          wet
  fluid           mineral
  design basis    both
  diameter        6' 0"
  reference elevation  5032.50 ft
  tip elevation   5002.50 ft
  piezometric level   alluvium   5021.40 ft
"""


def test_a_shaft_without_a_round_prints_and_says_why_nothing_is_quantified(
    place: Workplace, tmp_path: Path
) -> None:
    path = tmp_path / "P9-1.log"
    path.write_text(PLAN_ONLY, "utf-8")
    add_logs(place, read_logs([path]))
    facts = log_facts(place, "P9-1", place.now(), "Inspector A")
    assert facts.worth is not None
    assert facts.worth.credit is None
    assert "the base was not sounded" in facts.worth.missing[0]
    assert facts.outlook is None
    assert write_shaft_log(place, "P9-1", place.now(), "Inspector A").new


def test_a_log_carries_what_the_base_is_worth_and_names_what_the_plan_lacks(place: Workplace) -> None:
    facts = log_facts(place, "P1-1", shaft_now(place, "P1-1").at, "Inspector A")
    assert facts.worth is not None
    assert facts.worth.round_title == "Round 1"
    assert facts.worth.credit is None
    assert any("rock modulus" in each for each in facts.worth.missing)
    assert facts.outlook is not None
    assert facts.outlook.from_round == 1
