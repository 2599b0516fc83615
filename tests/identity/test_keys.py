"""The key file: how strongly it is sealed, and what is said when it does not open."""

from __future__ import annotations

import hashlib
import subprocess
import sys
from dataclasses import FrozenInstanceError
from pathlib import Path

import pytest
from asn1crypto import pkcs12 as asn1
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import BestAvailableEncryption, pkcs12

from fieldapp.identity import certificates, keyfile, keys
from fieldapp.identity.certificates import Issuer
from fieldapp.identity.errors import (
    DamagedKeyFile,
    NoKeyInFile,
    NotThisPerson,
    WeakPassphrase,
    WrongPassphrase,
)
from fieldapp.identity.people import CertifiedPerson
from fieldapp.record.words import Role
from tests.identity.signers import INSPECTOR, PASSPHRASE, TERM


def _encryptions(p12: bytes) -> list[asn1.EncryptionAlgorithm]:
    found = []
    for content in asn1.Pfx.load(p12).authenticated_safe:
        if content["content_type"].native == "encrypted_data":
            found.append(content["content"]["encrypted_content_info"]["content_encryption_algorithm"])
        else:
            for bag in asn1.SafeContents.load(content["content"].native):
                assert bag["bag_id"].native == "pkcs8_shrouded_key_bag"
                found.append(bag["bag_value"]["encryption_algorithm"])
    return found


@pytest.fixture(scope="module")
def shipped_p12(shipped_rounds) -> bytes:
    with shipped_rounds():
        return keys.make_person_key(INSPECTOR, TERM, PASSPHRASE)


def test_key_and_certificate_are_encrypted_with_600000_rounds_of_pbkdf2_sha256(shipped_p12):
    # the figure of the OWASP password storage cheat sheet for PBKDF2-HMAC-SHA256
    encryptions = _encryptions(shipped_p12)
    assert len(encryptions) == 2
    for each in encryptions:
        assert each["algorithm"].native == "pbes2"
        assert each.kdf == "pbkdf2"
        assert each.kdf_iterations >= 600_000
        assert each.kdf_hmac == "sha256"
        assert each.encryption_cipher == "aes"
        assert each.key_length == 32


def test_the_integrity_code_costs_a_guesser_no_less_than_the_encryption(shipped_p12):
    # PBKDF2-HMAC takes two SHA-256 blocks a round, the key derivation of RFC 7292 one
    code = asn1.Pfx.load(shipped_p12)["mac_data"]
    assert code["mac"]["digest_algorithm"]["algorithm"].native == "sha256"
    assert code["iterations"].native >= 1_200_000


def test_openssl_opens_the_file_and_agrees_with_the_integrity_code(shipped_p12, openssl, tmp_path):
    path = tmp_path / "inspector.p12"
    path.write_bytes(shipped_p12)
    for phrase, opens in ((PASSPHRASE, True), (PASSPHRASE + "s", False)):
        done = subprocess.run(
            [openssl, "pkcs12", "-in", path, "-info", "-noout", "-passin", f"pass:{phrase}"],
            capture_output=True,
            text=True,
            check=False,
        )
        assert (done.returncode == 0) is opens, done.stderr
    assert "verify error" in done.stderr


@pytest.mark.parametrize(
    "phrase", ["a", "käse schäkel öse", "x" * 31 + "yzabc", "x" * 32 + "yzab", "seil \U0001f6a7 casing"]
)
def test_any_passphrase_of_letters_opens_what_it_sealed(phrase, inspector):
    # lengths around the 64-byte block of the key derivation, accents, and a character outside the BMP
    from fieldapp.identity.keyfile import KeyFile, open_sealed, seal

    p12 = seal(KeyFile(inspector.private_key, inspector.x509_certificate), phrase)
    assert open_sealed(p12, phrase).certificate == inspector.x509_certificate


def test_a_passphrase_typed_with_combining_accents_opens_the_same_file(inspector):
    from fieldapp.identity.keyfile import KeyFile, open_sealed, seal

    p12 = seal(KeyFile(inspector.private_key, inspector.x509_certificate), "sch\u00e4kel casing")
    assert open_sealed(p12, "scha\u0308kel casing").certificate == inspector.x509_certificate


def test_unlocking_gives_the_person_of_the_certificate(inspector):
    assert inspector.certificate.name == "Inspector A"
    assert inspector.certificate.roles == (Role.INSPECTOR,)


def test_an_unlocked_key_signs_what_its_certificate_verifies(inspector):
    signature = inspector.sign(b"an entry")
    public = certificates.person_key(inspector.x509_certificate)
    public.verify(signature, b"an entry", ec.ECDSA(hashes.SHA256()))
    with pytest.raises(InvalidSignature):
        public.verify(signature, b"an entrY", ec.ECDSA(hashes.SHA256()))


def test_an_unlocked_key_is_frozen_and_does_not_show_the_key(inspector):
    with pytest.raises(FrozenInstanceError):
        inspector.private_key = None
    number = inspector.private_key.private_numbers().private_value
    assert str(number) not in repr(inspector)
    assert "PrivateKey" not in repr(inspector)


def test_two_keys_of_one_person_are_different_keys(inspector):
    other = keys.unlock(keys.make_person_key(INSPECTOR, TERM, PASSPHRASE), PASSPHRASE)
    assert other.certificate.fingerprint != inspector.certificate.fingerprint
    assert other.private_key.public_key() != inspector.private_key.public_key()


@pytest.mark.parametrize("phrase", ["", "casing", PASSPHRASE + " ", PASSPHRASE.upper()])
def test_a_wrong_passphrase_is_said_to_be_wrong(inspector_p12, phrase):
    with pytest.raises(WrongPassphrase, match=r"does not open this key file\. Nothing was signed"):
        keys.unlock(inspector_p12, phrase)


def test_a_file_that_is_not_whole_is_said_to_be_damaged(inspector_p12):
    damaged = (
        b"",
        b"not a key file",
        inspector_p12[:-1],
        inspector_p12[:200],
        inspector_p12 + b"\n",
        b"\x30\x00",
    )
    for each in damaged:
        with pytest.raises(DamagedKeyFile, match="take the key file from your backup"):
            keys.unlock(each, PASSPHRASE)


def test_a_changed_byte_anywhere_in_the_sealed_content_keeps_the_file_shut(inspector_p12):
    refused = 0
    for position in range(0, len(inspector_p12), len(inspector_p12) // 12):
        changed = bytearray(inspector_p12)
        changed[position] ^= 0x01
        with pytest.raises((DamagedKeyFile, WrongPassphrase)):
            keys.unlock(bytes(changed), PASSPHRASE)
        refused += 1
    assert refused >= 12


def test_a_file_without_a_key_is_said_to_hold_none(inspector):
    only_certificate = pkcs12.serialize_key_and_certificates(
        None, None, None, [inspector.x509_certificate], BestAvailableEncryption(PASSPHRASE.encode())
    )
    with pytest.raises(NoKeyInFile, match="holds no P-256 key with its certificate"):
        keys.unlock(only_certificate, PASSPHRASE)


def test_a_file_with_a_key_of_another_curve_is_refused(inspector):
    other = ec.generate_private_key(ec.SECP384R1())
    p12 = pkcs12.serialize_key_and_certificates(
        None, other, None, None, BestAvailableEncryption(PASSPHRASE.encode())
    )
    with pytest.raises(NoKeyInFile):
        keys.unlock(p12, PASSPHRASE)


@pytest.mark.parametrize(
    "phrase", ["", "short", "nine char", "1234567890", "12345 67890 12345", "aaaaaaaaaaaa", "abababababab"]
)
def test_a_passphrase_that_is_quickly_guessed_is_refused_with_a_sentence(phrase):
    with pytest.raises(WeakPassphrase, match=r"\.$"):
        keys.make_person_key(INSPECTOR, TERM, phrase)


@pytest.mark.parametrize("phrase", ["ten charac", "tape rod casing socket tip base", "a b c d e f"])
def test_ten_characters_or_six_words_are_enough(phrase):
    keys.check_passphrase(phrase)


def test_a_new_passphrase_opens_the_same_key_and_the_old_one_no_longer(inspector_p12, inspector):
    p12 = keys.with_passphrase(inspector_p12, PASSPHRASE, "another phrase of words")
    assert keys.unlock(p12, "another phrase of words").certificate == inspector.certificate
    with pytest.raises(WrongPassphrase):
        keys.unlock(p12, PASSPHRASE)


def test_the_key_file_of_a_person_cannot_act_as_the_authority(inspector_p12):
    with pytest.raises(NoKeyInFile, match="only the project's authority signs certificates"):
        keys.unlock_authority(inspector_p12, PASSPHRASE)


def test_the_authoritys_certificate_replaces_the_self_signed_one_and_the_key_stays(
    inspector_p12, inspector, authority: Issuer
):
    own = certificates.to_pem(inspector.x509_certificate)
    pem = certificates.endorse(own, TERM, authority)
    p12 = keys.with_certificate(inspector_p12, PASSPHRASE, pem, certificates.to_pem(authority.certificate))
    held = keys.unlock(p12, PASSPHRASE)
    assert held.private_key.public_key() == inspector.private_key.public_key()
    assert held.certificate.fingerprint != inspector.certificate.fingerprint
    assert held.issuers == (authority.certificate,)
    assert {each.kdf_iterations for each in _encryptions(p12)} == {keyfile.KDF_ROUNDS}


def test_a_certificate_of_another_key_name_or_authority_is_not_put_into_the_file(
    inspector_p12, inspector, engineer, authority: Issuer
):
    root = certificates.to_pem(authority.certificate)
    public = inspector.private_key.public_key()
    renamed = certificates.issued(
        public, CertifiedPerson("Inspector C", (Role.INSPECTOR,), "P"), TERM, authority
    )
    own = certificates.to_pem(inspector.x509_certificate)
    for pem in (certificates.to_pem(engineer.x509_certificate), certificates.to_pem(renamed), own):
        with pytest.raises(NotThisPerson, match="The key file was left as it was"):
            keys.with_certificate(inspector_p12, PASSPHRASE, pem, root)


def test_importing_the_package_loads_no_signing_library():
    code = (
        "import sys, fieldapp.identity, fieldapp.identity.people;"
        "print([n for n in ('pyhanko', 'cryptography', 'asn1crypto', 'aiohttp') if n in sys.modules])"
    )
    root = Path(__file__).parents[2]
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=root)
    assert done.stdout.strip() == "[]"


def test_the_fingerprint_is_sha256_of_the_certificate(inspector):
    from cryptography.hazmat.primitives.serialization import Encoding

    der = inspector.x509_certificate.public_bytes(Encoding.DER)
    assert inspector.certificate.fingerprint == hashlib.sha256(der).hexdigest()
