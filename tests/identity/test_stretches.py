"""The signature of a stretch: bound to project, device, place and purpose, and made by one key."""

from __future__ import annotations

import json
import subprocess
import time
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric import ec, rsa

from fieldapp.identity.certificates import Term, read_certificate, self_signed, to_pem
from fieldapp.identity.device_keys import (
    device_certificate,
    device_named_in,
    load_device_key,
    new_device_key,
    same_key,
)
from fieldapp.identity.errors import DamagedKeyFile, UnreadableCertificate
from fieldapp.identity.people import CertifiedPerson
from fieldapp.identity.stretches import Stretch, sign_stretch_bytes, stretch_bytes, verify
from fieldapp.record.attesting import StretchSigned
from fieldapp.record.words import Role

TERM = Term(datetime(2026, 5, 12, tzinfo=UTC), datetime(2046, 5, 12, tzinfo=UTC))
STRETCH = Stretch("larkwater", "tablet south", 7, "ab" * 32)
PKCS8 = new_device_key()
DEVICE = load_device_key(PKCS8, device_certificate(PKCS8, "tablet south", TERM))
SIGNATURE = sign_stretch_bytes(STRETCH, DEVICE)


def test_a_signature_holds_for_its_stretch_and_fits_into_its_entry() -> None:
    assert verify(STRETCH, SIGNATURE, DEVICE.certificate)
    assert StretchSigned(STRETCH.seq, STRETCH.hash, SIGNATURE).device_signature == SIGNATURE


@pytest.mark.parametrize(
    "other",
    [
        replace(STRETCH, project="vesker"),
        replace(STRETCH, device="tablet north"),
        replace(STRETCH, seq=8),
        replace(STRETCH, hash="ac" * 32),
    ],
)
def test_a_signature_holds_for_no_other_stretch(other: Stretch) -> None:
    assert not verify(other, SIGNATURE, DEVICE.certificate)


def test_a_signature_by_another_key_does_not_hold() -> None:
    pkcs8 = new_device_key()
    twin = load_device_key(pkcs8, device_certificate(pkcs8, "tablet south", TERM))
    assert not verify(STRETCH, sign_stretch_bytes(STRETCH, twin), DEVICE.certificate)


def test_no_changed_bit_of_a_signature_holds() -> None:
    whole = bytes.fromhex(SIGNATURE)
    for bit in range(8 * len(whole)):
        changed = bytearray(whole)
        changed[bit // 8] ^= 1 << bit % 8
        assert not verify(STRETCH, changed.hex(), DEVICE.certificate), bit


@pytest.mark.parametrize(
    "signature",
    ["", "zz", "30", SIGNATURE + "00", SIGNATURE[:-2]],
    ids=["nothing", "no hex", "short", "longer", "shorter"],
)
def test_what_is_no_signature_is_false_and_no_error(signature: str) -> None:
    assert not verify(STRETCH, signature, DEVICE.certificate)


@pytest.mark.parametrize(
    "pem",
    ["", "PEM", DEVICE.certificate * 2, DEVICE.certificate[:200]],
    ids=["nothing", "no certificate", "two", "half"],
)
def test_what_is_no_certificate_is_false_and_no_error(pem: str) -> None:
    assert not verify(STRETCH, SIGNATURE, pem)


def test_what_is_signed_is_canonical_and_names_its_purpose() -> None:
    # RFC 8785: sorted names, no spaces; written out by hand.
    expected = (
        '{"device":"tablet south","hash":"' + "ab" * 32 + '","project":"larkwater",'
        '"purpose":"basenote stretch of a chain, version 1","seq":7}'
    )
    assert stretch_bytes(STRETCH) == expected.encode()
    assert json.loads(stretch_bytes(STRETCH))["seq"] == 7


def test_another_program_agrees_on_a_signature(tmp_path: Path) -> None:
    (tmp_path / "signed").write_bytes(stretch_bytes(STRETCH))
    (tmp_path / "signature").write_bytes(bytes.fromhex(SIGNATURE))
    public = DEVICE.private_key.public_key().public_bytes(
        serialization.Encoding.PEM, serialization.PublicFormat.SubjectPublicKeyInfo
    )
    (tmp_path / "key.pem").write_bytes(public)
    command = ["openssl", "dgst", "-sha256", "-verify", "key.pem", "-signature", "signature", "signed"]
    assert subprocess.run(command, cwd=tmp_path, capture_output=True, check=False).returncode == 0
    (tmp_path / "signed").write_bytes(stretch_bytes(replace(STRETCH, seq=8)))
    assert subprocess.run(command, cwd=tmp_path, capture_output=True, check=False).returncode == 1


def test_a_thousand_signatures_are_verified_quickly() -> None:
    begun = time.process_time()
    assert all(verify(STRETCH, SIGNATURE, DEVICE.certificate) for _ in range(1000))
    assert time.process_time() - begun < 0.3


def test_a_device_certificate_names_its_device_and_never_passes_as_a_persons() -> None:
    assert device_named_in(DEVICE.certificate) == DEVICE.device == "tablet south"
    with pytest.raises(UnreadableCertificate):
        read_certificate(DEVICE.certificate)


def test_a_persons_certificate_never_passes_as_a_devices() -> None:
    key = ec.generate_private_key(ec.SECP256R1())
    person = CertifiedPerson("tablet south", (Role.INSPECTOR,), "Larkwater crossing")
    with pytest.raises(UnreadableCertificate):
        device_named_in(to_pem(self_signed(key, person, TERM)))


def test_two_certificates_of_one_key_are_known_as_such() -> None:
    again = device_certificate(PKCS8, "tablet south", Term(TERM.valid_from, TERM.valid_until))
    assert again != DEVICE.certificate
    assert same_key(again, DEVICE.certificate)
    assert not same_key(device_certificate(new_device_key(), "tablet south", TERM), DEVICE.certificate)


def test_the_key_of_a_device_is_shown_nowhere() -> None:
    assert "PRIVATE" not in repr(DEVICE)
    assert "private_key" not in repr(DEVICE)


def other_keys() -> list[bytes]:
    kinds = [ec.generate_private_key(ec.SECP384R1()), rsa.generate_private_key(65537, 2048)]
    plain = serialization.NoEncryption()
    pem, pkcs8 = serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8
    sealed = DEVICE.private_key.private_bytes(pem, pkcs8, serialization.BestAvailableEncryption(b"words"))
    return [b"", b"no key", PKCS8[:100], sealed, *(each.private_bytes(pem, pkcs8, plain) for each in kinds)]


@pytest.mark.parametrize("pkcs8", other_keys(), ids=range(len(other_keys())))
def test_what_is_no_key_of_a_device_is_refused(pkcs8: bytes) -> None:
    with pytest.raises(DamagedKeyFile):
        load_device_key(pkcs8, DEVICE.certificate)


def test_a_key_with_the_certificate_of_another_is_refused() -> None:
    other = device_certificate(new_device_key(), "tablet south", TERM)
    for certificate in (other, "", "PEM"):
        with pytest.raises(DamagedKeyFile):
            load_device_key(PKCS8, certificate)
