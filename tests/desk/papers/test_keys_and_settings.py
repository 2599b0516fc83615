"""Keys that sign shaft logs, an independent program that looks at them, and timestamps."""

from __future__ import annotations

import os
import shutil
import subprocess
import threading
import tomllib
from datetime import timedelta
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path

import pytest

from fieldapp.desk.papers.paper import Pen
from fieldapp.desk.papers.signing import NO_TIMESTAMP, countersign
from fieldapp.desk.papers.verifying import verify_file
from fieldapp.desk.settings import Settings, keep_server, read_settings
from fieldapp.desk.trust.people import key_file, make_key, unlock_key
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.attachments import attached_files
from fieldapp.identity.errors import (
    WeakPassphrase,
    WrongPassphrase,
)
from fieldapp.record.reading import Impossible
from fieldapp.record.words import Role
from tests.desk.signed_papers import certified, pin_all
from tests.identity.signers import TERM
from tests.identity.test_timestamps import authority

PASSPHRASE = "seven quiet herons on the bank"
needs_pdfsig = pytest.mark.skipif(
    shutil.which("pdfsig") is None and not os.environ.get("CI"), reason="pdfsig (poppler-utils) is not here"
)


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
        ("timestamp_server = 'https://'", "begins with https://"),
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


SERVER = "https://time.example/stamp?kind=a%20b"


@pytest.mark.parametrize(
    "before",
    [
        "",
        "timestamp_server = 'http://old.example'",
        'timestamp_server = """\\\nhttp://old.example"""\n',
        '"timestamp_server" = "http://old.example"\n# the office\n',
    ],
    ids=["no file", "one line", "several lines", "quoted"],
)
def test_a_server_is_named_and_taken_back_whatever_the_file_says(
    settings_of_this_device: Path, before: str
) -> None:
    if before:
        settings_of_this_device.parent.mkdir(parents=True)
        settings_of_this_device.write_text(before, "utf-8")
    keep_server(f"  {SERVER} ")
    assert read_settings() == Settings(SERVER)
    keep_server("")
    assert read_settings() == Settings()


def test_naming_a_server_leaves_the_certificate_and_the_notes_of_the_office(
    settings_of_this_device: Path,
) -> None:
    folder = settings_of_this_device.parent
    folder.mkdir(parents=True)
    (folder / "authority.pem").write_text(Desk.authority.pem, "ascii")
    certificate = "timestamp_certificate = 'authority.pem'  # until 2030"
    settings_of_this_device.write_text(
        f"# by the office\ntimestamp_server = 'http://old.example'\n{certificate}\n", "utf-8"
    )
    keep_server(SERVER)
    assert read_settings() == Settings(SERVER, Desk.authority.pem)
    told = settings_of_this_device.read_text("utf-8")
    assert "# by the office\n" in told
    assert certificate in told
    assert tomllib.loads(told)["timestamp_server"] == SERVER


@pytest.mark.parametrize(
    "address",
    [
        "time.example", "ftp://time.example", "file:///etc/passwd", "https://", "https:///stamp", "http://[",
        "https://time.example:99999/", "https://time.example/a b", "https://time.example/\nx", "javascript:1",
        "https://" + "a" * 600,
    ],
)  # fmt: skip
def test_what_is_no_address_is_refused_and_the_old_one_stays(
    settings_of_this_device: Path, address: str
) -> None:
    keep_server(SERVER)
    with pytest.raises(Impossible, match="begins with https:// or http://") as problem:
        keep_server(address)
    assert problem.value.field_name == "timestamp_server"
    assert read_settings() == Settings(SERVER)


@pytest.mark.parametrize(
    ("told", "wrong"),
    [("timestamp_server = ", "a TOML file"), ("timestamp_sever = 'x'", "only"), ("\udcff", "a TOML file")],
)
def test_a_file_that_cannot_be_read_is_left_as_it_is(
    settings_of_this_device: Path, told: str, wrong: str
) -> None:
    settings_of_this_device.parent.mkdir(parents=True)
    content = told.encode("utf-8", "surrogateescape")
    settings_of_this_device.write_bytes(content)
    with pytest.raises(Impossible, match=wrong):
        keep_server(SERVER)
    assert settings_of_this_device.read_bytes() == content
