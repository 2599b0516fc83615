"""Keys and a small document, made once for the signing tests."""

from __future__ import annotations

import io

import pytest
from reportlab.pdfgen import canvas

from fieldapp.identity import keys
from fieldapp.identity.certificates import Issuer
from fieldapp.identity.pdf_signing import FieldPlace, prepare_fields, sign_pdf
from tests.identity.papers import key_of
from tests.identity.signers import ENGINEER, INSPECTOR, PASSPHRASE, SEEN, TERM


@pytest.fixture(scope="session")
def inspector_p12() -> bytes:
    return keys.make_person_key(INSPECTOR, TERM, PASSPHRASE)


@pytest.fixture(scope="session")
def inspector(inspector_p12: bytes) -> keys.UnlockedKey:
    return keys.unlock(inspector_p12, PASSPHRASE)


@pytest.fixture(scope="session")
def authority() -> Issuer:
    return keys.unlock_authority(keys.make_authority_key("Sample crossing", TERM, PASSPHRASE), PASSPHRASE)


@pytest.fixture(scope="session")
def engineer(authority: Issuer) -> keys.UnlockedKey:
    return key_of(ENGINEER, authority)


@pytest.fixture(scope="session")
def page() -> bytes:
    out = io.BytesIO()
    sheet = canvas.Canvas(out, pagesize=(612, 792), invariant=1)
    sheet.drawString(72, 700, "Shaft log, shaft P4-2")
    sheet.showPage()
    sheet.drawString(72, 700, "Signatures")
    sheet.showPage()
    sheet.save()
    return out.getvalue()


@pytest.fixture(scope="session")
def prepared(page: bytes) -> bytes:
    places = (
        FieldPlace("Inspector", 1, (60, 60, 215, 124)),
        FieldPlace("ResidentEngineer", 1, (230, 60, 385, 124)),
        FieldPlace("Designer", 1, (400, 60, 555, 124), closes=True),
    )
    return prepare_fields(page, places)


@pytest.fixture(scope="session")
def certified(prepared: bytes, inspector: keys.UnlockedKey) -> bytes:
    return sign_pdf(prepared, SEEN, inspector)
