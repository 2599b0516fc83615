"""The people, times and passphrase of the signing tests; nothing here is used outside them."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone

from fieldapp.identity.certificates import Term
from fieldapp.identity.pdf_signing import SignRequest
from fieldapp.identity.people import CertifiedPerson, SignerIdentity
from fieldapp.record.words import Role

PASSPHRASE = "tape rod casing socket tip base"
SITE = timezone(timedelta(hours=-5))
TERM = Term(datetime(2026, 1, 1, tzinfo=SITE), datetime(2028, 1, 1, tzinfo=SITE), 4711)
INSPECTOR = CertifiedPerson("Inspector A", (Role.INSPECTOR,), "Sample crossing")
ENGINEER = CertifiedPerson("Engineer B", (Role.RESIDENT_ENGINEER, Role.DESIGNER), "Sample crossing")
DIGEST = "0123456789abcdef" * 4

SEEN = SignRequest(
    "Inspector",
    SignerIdentity("Inspector A", Role.INSPECTOR),
    "Inspector: recorded as seen",
    datetime(2026, 5, 4, 14, 32, 5, tzinfo=SITE),
    DIGEST,
    location="Pier 4",
    certify=True,
)
RELEASED = SignRequest(
    "ResidentEngineer",
    SignerIdentity("Engineer B", Role.RESIDENT_ENGINEER),
    "Resident engineer: released until 18:00",
    datetime(2026, 5, 4, 15, 10, 0, tzinfo=SITE),
    DIGEST,
)
ACCEPTED = SignRequest(
    "Designer",
    SignerIdentity("Engineer B", Role.DESIGNER),
    "Designer: full credit",
    datetime(2026, 6, 1, 9, 0, 0, tzinfo=SITE),
    DIGEST,
)
