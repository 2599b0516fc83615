"""What a certificate says, what it allows, and what is refused."""

from __future__ import annotations

import base64
import subprocess
from datetime import datetime, timedelta

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec, ed25519
from cryptography.hazmat.primitives.serialization import Encoding
from cryptography.x509.oid import NameOID

from fieldapp.identity import certificates
from fieldapp.identity.certificates import Issuer, Term
from fieldapp.identity.elsewhere import read_any
from fieldapp.identity.errors import NotThisPerson, UnfitText, UnreadableCertificate
from fieldapp.identity.people import CertifiedPerson, SignerIdentity
from fieldapp.record.words import Role
from tests.identity.signers import ENGINEER, INSPECTOR, SITE, TERM


def test_a_certificate_names_the_person_the_roles_and_the_project(engineer):
    subject = engineer.x509_certificate.subject
    assert [each.value for each in subject.get_attributes_for_oid(NameOID.COMMON_NAME)] == ["Engineer B"]
    assert [each.value for each in subject.get_attributes_for_oid(NameOID.ORGANIZATIONAL_UNIT_NAME)] == [
        "resident engineer",
        "designer",
    ]
    assert [each.value for each in subject.get_attributes_for_oid(NameOID.ORGANIZATION_NAME)] == [
        "Sample crossing"
    ]


def test_reading_a_certificate_gives_back_what_went_in(engineer):
    read = certificates.read_certificate(certificates.to_pem(engineer.x509_certificate))
    assert (read.name, read.roles, read.project) == (ENGINEER.name, ENGINEER.roles, ENGINEER.project)
    assert (read.valid_from, read.valid_until) == (TERM.valid_from, TERM.valid_until)
    assert read == engineer.certificate
    assert read.covers(TERM.valid_from)
    assert read.covers(TERM.valid_until)
    assert not read.covers(TERM.valid_from - timedelta(seconds=1))
    assert not read.covers(TERM.valid_until + timedelta(seconds=1))


def test_a_persons_certificate_signs_documents_and_nothing_else(inspector, engineer):
    for held in (inspector, engineer):
        extensions = held.x509_certificate.extensions
        usage = extensions.get_extension_for_class(x509.KeyUsage)
        assert usage.critical
        assert usage.value.digital_signature
        assert usage.value.content_commitment
        for other in ("key_encipherment", "data_encipherment", "key_agreement", "key_cert_sign", "crl_sign"):
            assert not getattr(usage.value, other)
        limits = extensions.get_extension_for_class(x509.BasicConstraints)
        assert limits.critical
        assert limits.value.ca is False
        assert held.x509_certificate.public_key().curve.name == "secp256r1"
        assert isinstance(held.x509_certificate.signature_hash_algorithm, hashes.SHA256)


def test_the_key_identifiers_lead_from_the_person_to_the_one_who_signed(inspector, engineer, authority):
    def identifiers(certificate):
        own = certificate.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value.digest
        signer = certificate.extensions.get_extension_for_class(
            x509.AuthorityKeyIdentifier
        ).value.key_identifier
        return own, signer

    own, signer = identifiers(inspector.x509_certificate)
    assert own == signer
    own, signer = identifiers(engineer.x509_certificate)
    assert own != signer
    assert signer == identifiers(authority.certificate)[0]


def test_a_serial_number_that_is_given_is_used_and_otherwise_one_is_drawn(inspector):
    assert inspector.x509_certificate.serial_number == 4711
    key = ec.generate_private_key(ec.SECP256R1())
    drawn = {
        certificates.self_signed(key, INSPECTOR, Term(TERM.valid_from, TERM.valid_until)).serial_number
        for _ in range(2)
    }
    assert len(drawn) == 2


def test_openssl_accepts_the_chain_from_the_person_to_the_authority(
    engineer, inspector, authority, openssl, tmp_path
):
    root = tmp_path / "authority.pem"
    root.write_text(certificates.to_pem(authority.certificate))
    when = str(int(datetime(2026, 6, 1, tzinfo=SITE).timestamp()))
    for held, accepted in ((engineer, True), (inspector, False)):
        leaf = tmp_path / "person.pem"
        leaf.write_text(certificates.to_pem(held.x509_certificate))
        done = subprocess.run(
            [openssl, "verify", "-x509_strict", "-attime", when, "-CAfile", root, leaf],
            capture_output=True,
            check=False,
        )
        assert (done.returncode == 0) is accepted, done.stderr


def test_the_authority_may_sign_certificates_of_people_only(authority):
    extensions = authority.certificate.extensions
    limits = extensions.get_extension_for_class(x509.BasicConstraints).value
    assert (limits.ca, limits.path_length) == (True, 0)
    usage = extensions.get_extension_for_class(x509.KeyUsage).value
    assert usage.key_cert_sign
    assert usage.crl_sign
    assert not usage.digital_signature
    with pytest.raises(UnreadableCertificate):
        certificates.read_certificate(certificates.to_pem(authority.certificate))


def test_endorsing_keeps_the_person_and_the_key_and_changes_who_signed(inspector, authority: Issuer):
    own = certificates.to_pem(inspector.x509_certificate)
    endorsed = certificates.load(certificates.endorse(own, TERM, authority))
    assert endorsed.public_key() == inspector.x509_certificate.public_key()
    assert endorsed.subject == inspector.x509_certificate.subject
    assert certificates.is_issued_by(endorsed, authority.certificate)
    assert not certificates.is_issued_by(endorsed, inspector.x509_certificate)
    assert not certificates.is_issued_by(inspector.x509_certificate, authority.certificate)


def test_a_certificate_that_its_own_key_did_not_sign_is_not_endorsed(engineer, authority: Issuer):
    with pytest.raises(NotThisPerson, match="was not signed by its own key"):
        certificates.endorse(certificates.to_pem(engineer.x509_certificate), TERM, authority)


def test_a_name_changed_inside_a_self_signed_certificate_is_noticed(inspector, authority: Issuer):
    der = inspector.x509_certificate.public_bytes(Encoding.DER)
    changed = x509.load_der_x509_certificate(der.replace(b"Inspector A", b"Inspector B"))
    with pytest.raises(NotThisPerson):
        certificates.endorse(certificates.to_pem(changed), TERM, authority)


def test_a_certificate_does_not_outlast_the_authority(inspector, authority: Issuer):
    later = Term(TERM.valid_from, TERM.valid_until + timedelta(days=1))
    with pytest.raises(UnfitText, match="2026-01-01 until 2028-01-01"):
        certificates.endorse(certificates.to_pem(inspector.x509_certificate), later, authority)


def test_text_that_is_not_one_whole_certificate_is_refused(inspector):
    pem = certificates.to_pem(inspector.x509_certificate)
    for text in ("", "a certificate", pem[:200], pem + pem, pem.replace("M", "é", 1)):
        with pytest.raises(UnreadableCertificate, match="not one whole certificate"):
            certificates.read_certificate(text)


def _stranger(attributes, key=None) -> str:
    key = key or ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(oid, text) for oid, text in attributes])
    digest = None if isinstance(key, ed25519.Ed25519PrivateKey) else hashes.SHA256()
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(1)
        .not_valid_before(TERM.valid_from)
        .not_valid_after(TERM.valid_until)
        .sign(key, digest)
    )
    return certificates.to_pem(made)


GOOD = (
    (NameOID.ORGANIZATION_NAME, "P"),
    (NameOID.ORGANIZATIONAL_UNIT_NAME, "inspector"),
    (NameOID.COMMON_NAME, "A"),
)


def test_a_certificate_with_any_byte_changed_is_read_or_refused_with_a_sentence(inspector):
    """The library reads key, names and times only when they are asked for, and says then what is wrong."""
    whole = inspector.x509_certificate.public_bytes(Encoding.DER)
    outcomes = set()
    for place in range(len(whole)):
        changed = bytearray(whole)
        changed[place] ^= 0x11
        text = base64.encodebytes(bytes(changed)).decode()
        try:
            read_any(f"-----BEGIN CERTIFICATE-----\n{text}-----END CERTIFICATE-----\n")
        except UnreadableCertificate as problem:
            outcomes.add(str(problem))
    assert len(outcomes) >= 2


def test_a_name_of_bits_where_only_letters_may_stand_is_refused_with_a_sentence(inspector):
    """Found by poison: the library says so with an error of its own for a wrong type."""
    whole = inspector.x509_certificate.public_bytes(Encoding.DER)
    letters, bits = b"\x55\x04\x03\x0c\x0bInspector A", b"\x55\x04\x03\x03\x0b\x00nspector A"
    assert letters in whole
    text = base64.encodebytes(whole.replace(letters, bits)).decode()
    with pytest.raises(UnreadableCertificate, match="not one whole certificate"):
        read_any(f"-----BEGIN CERTIFICATE-----\n{text}-----END CERTIFICATE-----\n")


def test_the_stranger_of_the_next_test_is_refused_for_what_is_changed_only():
    assert certificates.read_certificate(_stranger(GOOD)).roles == (Role.INSPECTOR,)


@pytest.mark.parametrize(
    "attributes",
    [
        GOOD[:2],
        GOOD[1:],
        (GOOD[0], GOOD[2]),
        (*GOOD, (NameOID.COMMON_NAME, "B")),
        (GOOD[0], (NameOID.ORGANIZATIONAL_UNIT_NAME, "owner"), GOOD[2]),
        (GOOD[0], GOOD[1], GOOD[1], GOOD[2]),
    ],
)
def test_a_certificate_without_one_name_one_project_and_known_roles_is_refused(attributes):
    with pytest.raises(UnreadableCertificate, match="roles that are known here"):
        certificates.read_certificate(_stranger(attributes))


@pytest.mark.parametrize(
    "key", [ec.generate_private_key(ec.SECP384R1()), ed25519.Ed25519PrivateKey.generate()]
)
def test_a_certificate_for_a_key_of_another_kind_is_refused(key):
    with pytest.raises(UnreadableCertificate, match="P-256"):
        certificates.read_certificate(_stranger(GOOD, key))


def test_a_term_needs_offsets_order_and_a_fit_serial_number():
    naive = TERM.valid_from.replace(tzinfo=None)
    for wrong in (
        lambda: Term(naive, TERM.valid_until),
        lambda: Term(TERM.valid_until, TERM.valid_from),
        lambda: Term(TERM.valid_from, TERM.valid_until, 0),
        lambda: Term(TERM.valid_from, TERM.valid_until, 2**159),
    ):
        with pytest.raises(UnfitText):
            wrong()


@pytest.mark.parametrize("name", ["", " ", "Inspector A ", "Inspector\nA", "x" * 65])
def test_a_name_that_a_certificate_cannot_carry_is_refused_with_a_sentence(name):
    with pytest.raises(UnfitText, match=r"\.$"):
        CertifiedPerson(name, (Role.INSPECTOR,), "P")
    with pytest.raises(UnfitText):
        SignerIdentity(name, Role.INSPECTOR)


def test_a_person_needs_roles_each_once_and_a_project():
    for roles, project in (((), "P"), ((Role.INSPECTOR, Role.INSPECTOR), "P"), ((Role.INSPECTOR,), " ")):
        with pytest.raises(UnfitText):
            CertifiedPerson("Inspector A", roles, project)


def test_a_long_project_name_and_a_name_in_any_script_fit():
    person = CertifiedPerson("Łukasz Őry 田中", (Role.DESIGNER,), "long " * 20 + "name")
    key = ec.generate_private_key(ec.SECP256R1())
    read = certificates.read_certificate(certificates.to_pem(certificates.self_signed(key, person, TERM)))
    assert read.name == person.name
    assert read.project == person.project[:64]


def test_a_name_of_letters_of_two_bytes_fits_up_to_the_limit_and_is_refused_beyond():
    key = ec.generate_private_key(ec.SECP256R1())
    person = CertifiedPerson("Ω" * 32, (Role.DESIGNER,), "Ω" * 40)
    read = certificates.read_certificate(certificates.to_pem(certificates.self_signed(key, person, TERM)))
    assert (read.name, read.project) == ("Ω" * 32, "Ω" * 32)
    with pytest.raises(UnfitText, match="takes 66 bytes"):
        CertifiedPerson("Ω" * 33, (Role.DESIGNER,), "P")
