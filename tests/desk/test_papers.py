"""Shaft logs: signed as they are saved, one for each state of the record, verified from outside."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pytest

from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.office import shaft_now
from fieldapp.desk.papers import log_facts, write_shaft_log
from fieldapp.desk.people import key_file, make_key, unlock_key
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.errors import WeakPassphrase, WrongPassphrase
from fieldapp.record.hole import Note
from fieldapp.record.reading import Impossible

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


def signed_log(place: Workplace) -> Path:
    make_key(place, "Inspector A", PASSPHRASE)
    key = unlock_key(place, "Inspector A", PASSPHRASE)
    return write_shaft_log(place, "P1-1", shaft_now(place, "P1-1").at, "Inspector A", key).path


@needs_pdfsig
def test_an_independent_program_calls_the_signature_valid_and_a_flipped_byte_not(place: Workplace) -> None:
    path = signed_log(place)
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


def test_the_roster_pins_the_certificate_and_the_journal_learns_no_secret(place: Workplace) -> None:
    make_key(place, "Inspector A", PASSPHRASE)
    person = place.setup().person("Inspector A")
    assert person is not None
    assert "BEGIN CERTIFICATE" in person.certificate
    everything = b"".join(each.sealed for each in place.entries())
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
