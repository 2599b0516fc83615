"""A person's own certificate, made elsewhere: what it must be, and that the roster alone says whose it is."""

from __future__ import annotations

from dataclasses import replace

import pytest
from asn1crypto import core
from asn1crypto import pkcs12 as asn1
from cryptography import x509
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import BestAvailableEncryption, Encoding, pkcs12

from fieldapp.identity import keys
from fieldapp.identity.certificates import fingerprint, key_digest, load, to_pem
from fieldapp.identity.elsewhere import describe_any, read_any
from fieldapp.identity.errors import (
    DamagedKeyFile,
    IdentityProblem,
    NoKeyInFile,
    NotThisPerson,
    UnfitKeyFile,
    UnreadableCertificate,
    WrongPassphrase,
)
from fieldapp.identity.pdf_signing import sign_pdf
from fieldapp.identity.policy import Policy, known_signer
from fieldapp.identity.verification import Answer, FactName, Trust, Verdict
from fieldapp.identity.verifying import verify_pdf
from fieldapp.record.words import Role
from tests.identity.own_files import OWN_PHRASE, Own, file_without_key, own_certificate, own_file, rsa_file
from tests.identity.papers import EXPECTED, authority_of, key_of, pinned, prepared_paper
from tests.identity.signers import DIGEST, INSPECTOR, SEEN, TERM


@pytest.fixture(scope="module")
def own() -> keys.UnlockedKey:
    return keys.unlock(own_file(), OWN_PHRASE)


@pytest.fixture(scope="module")
def own_signed(own: keys.UnlockedKey) -> bytes:
    return sign_pdf(prepared_paper(), SEEN, keys.vouched(own, "Inspector A", (Role.INSPECTOR,)))


def policy(own: keys.UnlockedKey, name: str = "Inspector A", roles=(Role.INSPECTOR,), since=None) -> Policy:
    entry = known_signer(to_pem(own.x509_certificate), roles, since, name)
    return Policy((entry,), EXPECTED[:1], record_digest=DIGEST)


def answers(found) -> dict[FactName, Answer]:
    return {each.name: each.answer for each in found.signatures[0].facts}


def test_an_own_certificate_gives_its_holder_and_no_roles(own):
    assert own.certificate.from_elsewhere
    assert (own.certificate.name, own.certificate.roles) == ("A. Surveyor (Qualified)", ())
    assert own.certificate.fingerprint == fingerprint(own.x509_certificate)


def test_a_certificate_of_a_project_reads_as_before(inspector):
    assert read_any(to_pem(inspector.x509_certificate)) == inspector.certificate
    assert not inspector.certificate.from_elsewhere
    assert keys.vouched(inspector, "Somebody", (Role.DESIGNER,)) is inspector


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        (Own(signs=False), "not for making digital signatures"),
        (Own(usage=False), "not for making digital signatures"),
        (Own(authority=True), "certificate of an authority"),
        (Own(names=()), "does not name one holder"),
        (Own(names=("A", "B")), "does not name one holder"),
        (Own(names=(" ",)), "does not name one holder"),
    ],
)
def test_an_own_certificate_that_cannot_sign_for_a_person_is_refused(wrong, says):
    key = ec.generate_private_key(ec.SECP256R1())
    with pytest.raises(UnreadableCertificate, match=says):
        describe_any(own_certificate(key, wrong))


def test_an_own_certificate_of_another_curve_is_refused():
    with pytest.raises(UnreadableCertificate, match="P-256"):
        describe_any(own_certificate(ec.generate_private_key(ec.SECP384R1()), Own()))


def test_the_certificate_of_an_authority_is_nobodys(authority):
    with pytest.raises(UnreadableCertificate):
        describe_any(authority.certificate)


@pytest.mark.parametrize(
    ("content", "phrase", "error", "says"),
    [
        (file_without_key(), OWN_PHRASE, NoKeyInFile, "holds no P-256 key with its certificate"),
        (rsa_file(), OWN_PHRASE, NoKeyInFile, "holds an RSA key, and only P-256 keys sign here"),
        (
            own_file(key=ec.generate_private_key(ec.SECP384R1())),
            OWN_PHRASE,
            NoKeyInFile,
            "holds a key of another kind",
        ),
        (own_file()[:-3], OWN_PHRASE, DamagedKeyFile, "not a whole key file"),
        (b"\x30\x82 not a key", OWN_PHRASE, DamagedKeyFile, "not a whole key file"),
        (own_file(), OWN_PHRASE + "s", WrongPassphrase, "does not open this key file"),
    ],
    ids=["no key", "rsa", "other curve", "cut", "not a file", "wrong passphrase"],
)
def test_an_own_file_that_cannot_be_used_is_refused_with_its_own_sentence(content, phrase, error, says):
    with pytest.raises(error, match=says):
        keys.unlock(content, phrase)


def test_an_own_file_with_a_name_of_bits_is_refused_with_a_sentence():
    """The library reads a name only when it is asked for, and says then with a TypeError what it is."""
    key = ec.generate_private_key(ec.SECP256R1())
    whole = own_certificate(key, Own(names=("A. Surveyor",))).public_bytes(Encoding.DER)
    letters, bits = b"\x55\x04\x03\x0c\x0bA. Surveyor", b"\x55\x04\x03\x03\x0b\x00. Surveyor"
    assert letters in whole
    certificate = x509.load_der_x509_certificate(whole.replace(letters, bits))
    sealed = pkcs12.serialize_key_and_certificates(
        b"own", key, certificate, None, BestAvailableEncryption(OWN_PHRASE.encode())
    )
    with pytest.raises(UnreadableCertificate, match="not one whole certificate"):
        keys.unlock(sealed, OWN_PHRASE)


@pytest.mark.parametrize("what", ["mac", "key", "certificate"])
def test_a_file_that_asks_for_endless_rounds_is_refused_before_they_begin(what):
    # 2**31 - 1 rounds took this machine some four minutes, in which nothing else ran
    file = asn1.Pfx.load(own_file())
    endless = 2**31 - 1
    if what == "mac":
        code = file["mac_data"]
        file["mac_data"] = {"mac": code["mac"], "mac_salt": code["mac_salt"], "iterations": endless}
    else:
        file["auth_safe"]["content"] = core.OctetString(_with_rounds(file, what, endless))
    with pytest.raises(UnfitKeyFile, match="asks for more than 10,000,000 rounds"):
        keys.unlock(file.dump(force=True), OWN_PHRASE)


def _with_rounds(file: asn1.Pfx, what: str, rounds: int) -> bytes:
    safe = asn1.AuthenticatedSafe.load(file["auth_safe"]["content"].native)
    for content in safe:
        if what == "certificate" and content["content_type"].native == "encrypted_data":
            info = content["content"]["encrypted_content_info"]
            _ask(info["content_encryption_algorithm"], rounds)
        elif what == "key" and content["content_type"].native == "data":
            bags = asn1.SafeContents.load(content["content"].native)
            for bag in bags:
                _ask(bag["bag_value"]["encryption_algorithm"], rounds)
            content["content"] = core.OctetString(bags.dump(force=True))
    return safe.dump(force=True)


def _ask(algorithm, rounds: int) -> None:
    algorithm["parameters"]["key_derivation_func"]["parameters"]["iteration_count"] = rounds


def test_a_bit_flipped_anywhere_in_an_own_file_gives_a_sentence_or_the_same_key():
    content = own_file()
    certificate = keys.unlock(content, OWN_PHRASE).certificate
    refused = 0
    for position in range(len(content)):
        changed = bytearray(content)
        changed[position] ^= 0x10
        try:
            assert keys.unlock(bytes(changed), OWN_PHRASE).certificate == certificate
        except IdentityProblem:
            refused += 1
    assert refused >= len(content) - 5  # a few header bytes may be written in more than one way


def test_an_own_key_signs_only_as_the_roster_vouches_for_it(own):
    with pytest.raises(NotThisPerson):
        sign_pdf(prepared_paper(), SEEN, own)
    with pytest.raises(NotThisPerson):
        sign_pdf(prepared_paper(), SEEN, keys.vouched(own, "Inspector A", (Role.DESIGNER,)))


def test_a_paper_signed_with_a_pinned_own_certificate_is_valid(own, own_signed):
    found = verify_pdf(own_signed, policy(own))
    assert found.verdict is Verdict.VALID
    (signature,) = found.signatures
    assert (signature.signer, signature.trust) == ("Inspector A", Trust.ROSTER)
    assert signature.known_roles == (Role.INSPECTOR,)


def test_the_roster_not_the_certificate_decides_whose_it_is_and_in_which_role(own, own_signed):
    other_name = answers(verify_pdf(own_signed, policy(own, name="Inspector B")))
    assert other_name[FactName.SIGNER_KNOWN] is Answer.NO
    other_role = answers(verify_pdf(own_signed, policy(own, roles=(Role.DESIGNER,))))
    assert other_role[FactName.ROLE] is Answer.NO


def test_an_own_certificate_that_nobody_pinned_is_not_known(own_signed):
    inspector = key_of(INSPECTOR)
    stranger = Policy(pinned(inspector), EXPECTED[:1], record_digest=DIGEST)
    found = verify_pdf(own_signed, stranger)
    assert found.verdict is Verdict.REJECTED
    assert answers(found)[FactName.SIGNER_KNOWN] is Answer.NO


def test_without_a_project_an_own_certificate_is_unknown_and_never_valid(own_signed):
    found = verify_pdf(own_signed, Policy())
    said = answers(found)
    assert said[FactName.SIGNER_KNOWN] is Answer.UNKNOWN
    assert said[FactName.ROLE] is Answer.UNKNOWN
    assert found.verdict is not Verdict.VALID
    assert any("the certificate gives no roles" in each.says for each in found.signatures[0].facts)


def test_a_revoked_own_certificate_counts_up_to_its_revocation(own, own_signed):
    before = answers(verify_pdf(own_signed, policy(own, since=SEEN.signed_at)))
    assert before[FactName.NOT_REVOKED] is Answer.NO
    later = SEEN.signed_at.replace(year=2027)
    assert answers(verify_pdf(own_signed, policy(own, since=later)))[FactName.NOT_REVOKED] is Answer.YES


def test_an_own_certificate_with_the_name_of_a_person_is_not_that_person_by_authority():
    # the authority's trust goes by name; a certificate that it did not sign gets nothing from a name
    key = ec.generate_private_key(ec.SECP256R1())
    forged = own_certificate(key, Own(names=("Inspector A",)))
    held = keys.UnlockedKey(describe_any(forged), forged, (), key)
    pdf = sign_pdf(prepared_paper(), SEEN, keys.vouched(held, "Inspector A", (Role.INSPECTOR,)))
    authority = authority_of("Sample crossing")
    named = replace(known_signer(to_pem(key_of(INSPECTOR, authority).x509_certificate)), fingerprint=None)
    found = verify_pdf(
        pdf,
        Policy((named,), EXPECTED[:1], authority_pem=to_pem(authority.certificate), record_digest=DIGEST),
    )
    assert answers(found)[FactName.SIGNER_KNOWN] is Answer.NO
    assert any("forged, or replaced" in each.says for each in found.signatures[0].facts)


def test_the_digest_of_a_key_is_the_same_in_every_certificate_of_it(inspector, engineer):
    other = own_certificate(inspector.private_key, Own())
    assert key_digest(other) == key_digest(inspector.x509_certificate)
    assert key_digest(other) != key_digest(engineer.x509_certificate)
    assert fingerprint(other) != fingerprint(load(to_pem(inspector.x509_certificate)))
    assert TERM.serial != other.serial_number
