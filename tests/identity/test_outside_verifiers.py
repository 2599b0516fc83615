"""Programs that are not ours, pdfsig and openssl, judge good and changed papers in the same way.

The papers have a file attached, as every log has its journal.
"""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from fieldapp.identity.attachments import AttachedFile, attach_file
from fieldapp.identity.certificates import to_pem
from fieldapp.identity.keys import UnlockedKey
from fieldapp.identity.pdf_signing import prepare_fields, sign_pdf
from fieldapp.identity.verification import Answer, FactName, Verdict
from fieldapp.identity.verifying import verify_pdf
from tests.identity import attacks
from tests.identity.every_byte import changed
from tests.identity.papers import PLACES, key_of, plain_paper, policy_for
from tests.identity.signers import ACCEPTED, ENGINEER, INSPECTOR, RELEASED, SEEN
from tests.support import outside
from tests.support.outside import VALID, WHOLE, container, pdfsig_says


@pytest.fixture(scope="module")
def keys():
    return key_of(INSPECTOR), key_of(ENGINEER)


@pytest.fixture(scope="module")
def papers(keys) -> tuple[bytes, ...]:
    file = AttachedFile("journal.json", b'{"shaft":"P4-2"}' * 200)
    paper = prepare_fields(attach_file(plain_paper(), file, "application/json"), PLACES)
    certified = sign_pdf(paper, SEEN, keys[0])
    released = sign_pdf(certified, RELEASED, keys[1])
    return certified, released, sign_pdf(released, ACCEPTED, keys[1])


def openssl_accepts(openssl: str, folder: Path, pdf: bytes, key: UnlockedKey) -> bool:
    when = ACCEPTED.signed_at + timedelta(days=1)
    return outside.openssl_accepts(openssl, folder, pdf, to_pem(key.x509_certificate), when)


def test_all_agree_that_a_good_paper_is_good(papers, keys, pdfsig, openssl, tmp_path):
    for signed, pdf in enumerate(papers, 1):
        assert verify_pdf(pdf, policy_for(*keys, signed=signed)).verdict is Verdict.VALID
        said = pdfsig_says(pdfsig, tmp_path, pdf)
        assert said.count(VALID) == signed
        assert said.count(WHOLE) == 1
        assert openssl_accepts(openssl, tmp_path, pdf, keys[min(signed, 2) - 1])


def test_all_agree_that_a_changed_paper_is_not(papers, keys, pdfsig, openssl, tmp_path):
    released = papers[1]
    policy = policy_for(*keys, signed=2)
    start, end = container(released)
    signed = [*range(0, start - 1), *range(end + 1, len(released))]
    for position in signed[:: len(signed) // 20]:
        pdf = changed(released, position)
        assert verify_pdf(pdf, policy).verdict is Verdict.REJECTED
        assert pdfsig_says(pdfsig, tmp_path, pdf).count(VALID) < 2
        assert not openssl_accepts(openssl, tmp_path, pdf, keys[1])


def test_a_change_in_the_container_that_the_others_let_pass_is_rejected_here(papers, keys, pdfsig, tmp_path):
    # the version number of the outer structure: nothing signs it
    released = papers[1]
    start, end = container(released)
    position = released.index(b"020101", start, end) + 5
    pdf = released[:position] + b"3" + released[position + 1 :]
    assert pdfsig_says(pdfsig, tmp_path, pdf).count(VALID) == 2
    found = verify_pdf(pdf, policy_for(*keys, signed=2))
    assert {each.name for each in found.failed} == {FactName.CANONICAL}


@pytest.mark.parametrize(
    "attack",
    [
        attacks.replaced_page,
        attacks.overlay,
        attacks.changed_title,
        lambda pdf: attacks.empty_field(pdf, (40, 300, 210, 372)),
        lambda pdf: pdf + b"more",
    ],
)
def test_pdfsig_sees_that_something_was_added_wherever_we_say_so(papers, keys, pdfsig, tmp_path, attack):
    pdf = attack(papers[0])
    assert WHOLE not in pdfsig_says(pdfsig, tmp_path, pdf)
    assert verify_pdf(pdf, policy_for(*keys)).answer(FactName.WHOLE_FILE) is Answer.NO
