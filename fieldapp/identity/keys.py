"""One P-256 key per person, made on the person's device and kept under a passphrase.

The key never leaves its file except in the `UnlockedKey` that signs; drop that object to lock.  Times
come in as arguments.  A passphrase that is quickly guessed is refused; a forgotten one is not recovered.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec

from fieldapp.identity import certificates
from fieldapp.identity.certificates import Issuer, PersonCertificate, Term
from fieldapp.identity.elsewhere import read_any
from fieldapp.identity.errors import NoKeyInFile, NotThisPerson, WeakPassphrase
from fieldapp.identity.keyfile import KeyFile, open_sealed, seal, typed
from fieldapp.identity.people import CertifiedPerson
from fieldapp.record.said import said
from fieldapp.record.words import Role

MIN_CHARACTERS = 10
MIN_WORDS = 6
MIN_DIFFERENT = 5


@dataclass(frozen=True, slots=True, weakref_slot=True)
class UnlockedKey:
    """A person's key, ready to sign.  It shows the certificate and never the key.

    ``certificate`` is what the certificate says, or what the roster says of one that was made elsewhere.
    """

    certificate: PersonCertificate
    x509_certificate: x509.Certificate = field(repr=False)
    issuers: tuple[x509.Certificate, ...] = field(repr=False)
    private_key: ec.EllipticCurvePrivateKey = field(repr=False)

    def sign(self, content: bytes) -> bytes:
        """ECDSA over SHA-256 of the content; the signature is DER."""
        return self.private_key.sign(content, ec.ECDSA(hashes.SHA256()))


def check_passphrase(passphrase: str) -> None:
    """Refuse a passphrase that is quickly guessed.

    Raises
    ------
    WeakPassphrase
        Unless it has 10 characters or 6 words, and is neither a bare number nor the same few letters.
    """
    text = typed(passphrase)
    if len(text) < MIN_CHARACTERS and len(text.split()) < MIN_WORDS:
        raise WeakPassphrase(
            said(
                "This passphrase is too short. Take at least {min_characters} characters, or "
                "{min_words} words.",
                min_characters=MIN_CHARACTERS,
                min_words=MIN_WORDS,
            )
        )
    if text.replace(" ", "").isdigit():
        raise WeakPassphrase(
            said("A number alone is guessed in days. Add words or letters to the passphrase.")
        )
    if len(set(text)) < MIN_DIFFERENT:
        raise WeakPassphrase(said("This passphrase repeats a few characters. Take several words instead."))
    if not text.isprintable():
        raise WeakPassphrase(
            said("This passphrase holds a character that cannot be typed. Take letters and words.")
        )


def make_person_key(
    person: CertifiedPerson, term: Term, passphrase: str, issuer: Issuer | None = None
) -> bytes:
    """Make a key and its certificate for a person, sealed under the passphrase.

    Parameters
    ----------
    person
        Name, roles and project, as in the roster.
    term
        When the certificate is good (aware datetimes), and its serial number if one is wanted.
    passphrase
        Known to this person only.
    issuer
        The project's authority, unlocked; without one the certificate is signed by its own key.

    Returns
    -------
    bytes
        A PKCS#12 file.

    Raises
    ------
    WeakPassphrase
        The passphrase is quickly guessed.
    """
    check_passphrase(passphrase)
    return seal_key(new_person_key(person, term, issuer), passphrase)


def new_person_key(person: CertifiedPerson, term: Term, issuer: Issuer | None = None) -> UnlockedKey:
    """A new key with its certificate, in memory only; the arguments are those of `make_person_key`."""
    key = ec.generate_private_key(ec.SECP256R1())
    if issuer is None:
        certificate, issuers = certificates.self_signed(key, person, term), ()
        return UnlockedKey(certificates.describe(certificate), certificate, issuers, key)
    certificate = certificates.issued(key.public_key(), person, term, issuer)
    return UnlockedKey(certificates.describe(certificate), certificate, (issuer.certificate,), key)


def seal_key(key: UnlockedKey, passphrase: str) -> bytes:
    """A key file (PKCS#12) of an unlocked key.

    Raises
    ------
    WeakPassphrase
        The passphrase is quickly guessed.
    """
    check_passphrase(passphrase)
    return seal(KeyFile(key.private_key, key.x509_certificate, key.issuers), passphrase)


def make_authority_key(project: str, term: Term, passphrase: str) -> bytes:
    """Make the key and certificate of a project's authority, a PKCS#12 file to be kept off the tablets.

    Raises
    ------
    WeakPassphrase
        The passphrase is quickly guessed.
    """
    return seal_authority(new_authority(project, term), passphrase)


def new_authority(project: str, term: Term) -> Issuer:
    """A new authority of a project, in memory only."""
    key = ec.generate_private_key(ec.SECP256R1())
    return Issuer(certificates.authority_certificate(key, project, term), key)


def seal_authority(authority: Issuer, passphrase: str) -> bytes:
    """A key file of an authority.  Raises WeakPassphrase."""
    check_passphrase(passphrase)
    return seal(KeyFile(authority.key, authority.certificate), passphrase)


def unlock(p12: bytes, passphrase: str) -> UnlockedKey:
    """Open a person's key file, or a PKCS#12 file of the person's own.

    Raises
    ------
    WrongPassphrase, DamagedKeyFile, NoKeyInFile, UnfitKeyFile
        The file does not open, is not whole, or cannot sign.
    UnreadableCertificate
        The certificate in it can sign for nobody here.
    """
    opened = open_sealed(p12, passphrase)
    described = read_any(certificates.to_pem(opened.certificate))  # which holds that all of it can be read
    return UnlockedKey(described, opened.certificate, opened.issuers, opened.key)


def unlock_authority(p12: bytes, passphrase: str) -> Issuer:
    """Open the key file of a project's authority.

    Raises
    ------
    WrongPassphrase, DamagedKeyFile, NoKeyInFile
        The file does not open, is not whole, or may not sign certificates.
    """
    opened = open_sealed(p12, passphrase)
    try:
        limits = opened.certificate.extensions.get_extension_for_class(x509.BasicConstraints).value
    except x509.ExtensionNotFound:
        limits = x509.BasicConstraints(ca=False, path_length=None)
    if not limits.ca:
        raise NoKeyInFile(
            said(
                "This is the key file of a person, and only the project's authority signs "
                "certificates. Take the authority's key file."
            )
        )
    return Issuer(opened.certificate, opened.key)


def with_certificate(p12: bytes, passphrase: str, pem: str, authority_pem: str) -> bytes:
    """Put the certificate that the authority signed into the person's key file.

    Parameters
    ----------
    pem, authority_pem
        The person's new certificate and the authority's own, PEM text.

    Returns
    -------
    bytes
        A new PKCS#12 file under the same passphrase; keep the old one until this one has been saved.

    Raises
    ------
    NotThisPerson
        The certificate is for another key or name, or another authority signed it.
    WrongPassphrase, DamagedKeyFile, NoKeyInFile, UnreadableCertificate
        The file or the certificate cannot be read.
    """
    return seal_key(endorsed(unlock(p12, passphrase), pem, authority_pem), passphrase)


def endorsed(held: UnlockedKey, pem: str, authority_pem: str) -> UnlockedKey:
    """The same key with the certificate that the authority signed; the rules are `with_certificate`'s."""
    new, authority = certificates.load(pem), certificates.load(authority_pem)
    described = certificates.describe(new)
    same_key = new.public_key() == held.private_key.public_key()
    if not same_key or described.name != held.certificate.name:
        raise NotThisPerson(
            said(
                "This certificate is not for the key of {name}. The key file was left as it "
                "was; ask the office for the certificate that was made from this tablet's "
                "request.",
                name=held.certificate.name,
            )
        )
    if not certificates.is_issued_by(new, authority):
        raise NotThisPerson(
            said(
                "This certificate was not signed by the project's authority. The key file was "
                "left as it was; ask the office for the certificate and for the authority's "
                "own certificate again."
            )
        )
    return UnlockedKey(described, new, (authority,), held.private_key)


def vouched(key: UnlockedKey, name: str, roles: tuple[Role, ...]) -> UnlockedKey:
    """The key as the roster vouches for it: a certificate from elsewhere gets its name and roles there."""
    if not key.certificate.from_elsewhere:
        return key
    return replace(key, certificate=replace(key.certificate, name=name, roles=roles))


def with_passphrase(p12: bytes, old: str, new: str) -> bytes:
    """The same key under a new passphrase.

    Raises
    ------
    WeakPassphrase
        The new one is quickly guessed.
    WrongPassphrase, DamagedKeyFile, NoKeyInFile
        The old one does not open the file, or the file is not whole.
    """
    check_passphrase(new)
    return seal(open_sealed(p12, old), new)
