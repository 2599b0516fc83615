"""What a project expects of a signed paper, as plain data that the caller takes from the record.

With no roster nobody vouches for a signer, and with no list of expected signatures a missing one cannot be
noticed: both then stay unknown, and unknown is never valid.  Files, clocks and the record are the caller's.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from fieldapp.identity.elsewhere import read_any
from fieldapp.identity.errors import UnfitText
from fieldapp.identity.sign_request import DIGEST
from fieldapp.identity.signing_order import SHAFT_LOG_ORDER
from fieldapp.record.words import Role


@dataclass(frozen=True, slots=True)
class KnownSigner:
    """One certificate of the roster, and what its holder may sign as.

    ``fingerprint`` is SHA-256 of the certificate in hex, or None for every certificate that the project's
    authority signed for this name.  From ``revoked_from`` on nothing signed with it counts.
    """

    name: str
    roles: tuple[Role, ...]
    fingerprint: str | None
    valid_from: datetime | None = None
    valid_until: datetime | None = None
    revoked_from: datetime | None = None

    def __post_init__(self) -> None:
        if self.revoked_from is not None and self.revoked_from.utcoffset() is None:
            raise UnfitText("The time of a revocation needs an offset from UTC.")


@dataclass(frozen=True, slots=True)
class ExpectedSigner:
    """A signature that the record says was made: the field, and the person when the record names one."""

    field_name: str
    role: Role
    name: str | None = None


@dataclass(frozen=True, slots=True)
class Policy:
    """What to hold a paper against; what is None is not known, and is not taken for good.

    ``roster`` is None when there is no project.  ``expected`` holds exactly the signatures that must be
    there, in order.  ``fields`` are all signature fields that the paper may have, filled or empty.
    ``record_digest`` is of the record that the paper shows; ``file_digest`` is SHA-256 of the file as the
    signed journal names it.  ``authority_pem`` is the project's authority, ``timestamp_authorities`` are
    certificates (PEM) of servers whose timestamps count, ``at`` is the moment of the verification.
    ``may_be_unsigned`` is for a paper that nobody has to sign: without a signature it is unknown, not false.
    """

    roster: tuple[KnownSigner, ...] | None = None
    expected: tuple[ExpectedSigner, ...] | None = None
    fields: tuple[str, ...] = SHAFT_LOG_ORDER.fields
    record_digest: str | None = None
    file_digest: str | None = None
    authority_pem: str | None = None
    timestamp_authorities: tuple[str, ...] = ()
    at: datetime | None = None
    may_be_unsigned: bool = False

    def __post_init__(self) -> None:
        for digest in (self.record_digest, self.file_digest):
            if digest is not None and not DIGEST.fullmatch(digest):
                raise UnfitText("A digest to verify against must be 64 lower-case hex digits.")

    def expects(self, field_name: str) -> ExpectedSigner | None:
        """What is expected in a field, or None."""
        return next((each for each in self.expected or () if each.field_name == field_name), None)


def known_signer(
    pem: str,
    roles: tuple[Role, ...] | None = None,
    revoked_from: datetime | None = None,
    name: str | None = None,
) -> KnownSigner:
    """A roster entry that pins one certificate.

    Parameters
    ----------
    pem
        The certificate, PEM text.
    roles
        What the roster lets this person be; all roles of the certificate when None.
    revoked_from
        From when on the key is not trusted.
    name
        The roster's name for the holder of a certificate that was made elsewhere; otherwise the
        certificate's own name counts.

    Raises
    ------
    UnreadableCertificate
        The text is no certificate that can sign for a person.
    """
    read = read_any(pem)
    return KnownSigner(
        name if name is not None and read.from_elsewhere else read.name,
        read.roles if roles is None else roles,
        read.fingerprint,
        read.valid_from,
        read.valid_until,
        revoked_from,
    )
