"""The structural attacks of the literature and some more: every one rejected, and for the right reason."""

from __future__ import annotations

import hashlib
import tracemalloc
from dataclasses import replace
from datetime import timedelta

import pytest
from pyhanko.sign.fields import MDPPerm

from fieldapp.identity.attachments import attached_files
from fieldapp.identity.certificates import to_pem
from fieldapp.identity.errors import UnreadableAttachment, UnreadablePdf
from fieldapp.identity.pdf_signing import prepare_fields, sign_pdf
from fieldapp.identity.people import CertifiedPerson, SignerIdentity
from fieldapp.identity.policy import KnownSigner
from fieldapp.identity.signing_order import SHAFT_LOG_ORDER, SigningOrder
from fieldapp.identity.verification import Answer, FactName, Verdict
from fieldapp.identity.verifying import verify_pdf
from fieldapp.record.words import Role
from tests.identity import attacks
from tests.identity.papers import (
    EXPECTED,
    PLACES,
    authority_of,
    key_of,
    pinned,
    plain_paper,
    policy_for,
    prepared_paper,
    with_file,
)
from tests.identity.signers import ACCEPTED, DIGEST, ENGINEER, INSPECTOR, RELEASED, SEEN
from tests.support.outside import container

BOX = (40, 300, 210, 372)
STRANGER = CertifiedPerson("Somebody", (Role.INSPECTOR,), "Sample crossing")


@pytest.fixture(scope="module")
def keys():
    return key_of(INSPECTOR), key_of(ENGINEER)


@pytest.fixture(scope="module")
def certified(keys) -> bytes:
    return sign_pdf(prepared_paper(), SEEN, keys[0])


@pytest.fixture(scope="module")
def released(certified, keys) -> bytes:
    return sign_pdf(certified, RELEASED, keys[1])


def rejected_for(pdf, policy) -> set[FactName]:
    found = verify_pdf(pdf, policy)
    assert found.verdict is Verdict.REJECTED
    assert all(each.says.endswith(".") for each in found.failed)
    return {each.name for each in found.failed}


def test_the_papers_of_these_tests_are_valid_before_they_are_attacked(certified, released, keys):
    assert verify_pdf(certified, policy_for(*keys)).verdict is Verdict.VALID
    assert verify_pdf(released, policy_for(*keys, signed=2)).verdict is Verdict.VALID


@pytest.mark.parametrize(
    "attack", [attacks.replaced_page, attacks.overlay, attacks.uncertified], ids=lambda each: each.__name__
)
def test_a_replaced_page_an_overlay_and_a_dropped_certification_are_changes_that_no_signature_made(
    certified, released, keys, attack
):
    for pdf, signed in ((certified, 1), (released, 2)):
        found = rejected_for(attack(pdf), policy_for(*keys, signed=signed))
        assert {FactName.LATER_CHANGES, FactName.WHOLE_FILE, FactName.CERTIFIED} <= found


def test_a_new_title_alone_is_a_change_that_no_signature_made(certified, keys):
    found = rejected_for(attacks.changed_title(certified), policy_for(*keys))
    assert found == {FactName.LATER_CHANGES, FactName.WHOLE_FILE}


def test_a_change_between_two_signatures_is_noticed_though_the_last_covers_the_whole_file(certified, keys):
    pdf = sign_pdf(attacks.changed_title(certified), RELEASED, keys[1])
    assert rejected_for(pdf, policy_for(*keys, signed=2)) == {FactName.LATER_CHANGES}


def test_a_swapped_attachment_is_rejected(keys):
    paper = with_file(plain_paper(), "record.json", b'{"passes": 2}')
    pdf = sign_pdf(prepare_fields(paper, PLACES), SEEN, keys[0])
    assert verify_pdf(pdf, policy_for(*keys)).verdict is Verdict.VALID
    swapped = attacks.swapped_file(pdf, b'{"passes": 3}')
    assert [each.data for each in attached_files(swapped)] == [b'{"passes": 3}']
    assert {FactName.LATER_CHANGES, FactName.WHOLE_FILE} <= rejected_for(swapped, policy_for(*keys))


def test_a_file_cut_back_to_the_inspectors_signature_is_whole_and_still_rejected(certified, released, keys):
    assert released.startswith(certified)
    policy = policy_for(*keys, signed=2)
    assert rejected_for(released[: len(certified)], policy) == {FactName.EXPECTED}
    (fact,) = verify_pdf(certified, policy).failed
    assert "missing that the record has: resident engineer" in fact.says


@pytest.mark.parametrize("more", [b"\n", b"\0", b"x" * 40, b"\n%%EOF\n", b"startxref\n0\n%%EOF\n"])
def test_bytes_after_the_end_are_rejected(certified, keys, more):
    assert rejected_for(certified + more, policy_for(*keys)) & {FactName.WHOLE_FILE, FactName.READABLE}


@pytest.mark.parametrize("box", [BOX, (0, 0, 0, 0)], ids=["visible", "invisible"])
def test_a_signature_in_a_field_of_its_own_is_rejected(certified, keys, box):
    pdf = attacks.foreign_signature(certified, key_of(STRANGER), "Owner", box)
    found = rejected_for(pdf, policy_for(*keys))
    assert {FactName.FIELDS, FactName.EXPECTED, FactName.SIGNER_KNOWN, FactName.CERTIFIED} <= found


def test_a_field_of_its_own_is_rejected_even_when_a_known_engineer_signs_it(certified, keys):
    pdf = attacks.foreign_signature(certified, keys[1], "Owner", BOX)
    assert {FactName.FIELDS, FactName.EXPECTED} <= rejected_for(pdf, policy_for(*keys))


@pytest.mark.parametrize("box", [BOX, (0, 0, 0, 0)], ids=["visible", "invisible"])
def test_an_empty_field_added_later_is_rejected(certified, keys, box):
    found = rejected_for(attacks.empty_field(certified, box), policy_for(*keys))
    assert {FactName.FIELDS, FactName.LATER_CHANGES, FactName.WHOLE_FILE} <= found


def test_a_certificate_of_a_look_alike_authority_is_not_known(certified, keys):
    real, false = authority_of("Sample crossing"), authority_of("Sample crossing")
    true_key, false_key = key_of(ENGINEER, real), key_of(ENGINEER, false)
    assert false.certificate.subject == real.certificate.subject
    policy = _with_authority(policy_for(keys[0], signed=2), real)
    assert verify_pdf(sign_pdf(certified, RELEASED, true_key), policy).verdict is Verdict.VALID
    found = verify_pdf(sign_pdf(certified, RELEASED, false_key), policy)
    assert {each.name for each in found.failed} == {FactName.SIGNER_KNOWN}
    assert "forged, or replaced" in found.failed[0].says


def _with_authority(policy, authority):
    by_name = KnownSigner("Engineer B", ENGINEER.roles, None)
    roster = (*policy.roster, by_name)
    return replace(policy, roster=roster, authority_pem=to_pem(authority.certificate))


def test_a_forged_certificate_with_the_same_name_is_not_known(keys):
    pdf = sign_pdf(prepared_paper(), SEEN, key_of(INSPECTOR))
    found = verify_pdf(pdf, policy_for(*keys))
    assert {each.name for each in found.failed} == {FactName.SIGNER_KNOWN}
    assert "has the name Inspector A, but is not the one" in found.failed[0].says


def test_a_known_key_under_another_persons_name_is_rejected(certified, keys):
    pdf = attacks.foreign_signature(
        certified, keys[1], "ResidentEngineer", name="Inspector A", reason=RELEASED.reason.text
    )
    assert FactName.SIGNER_KNOWN in rejected_for(pdf, policy_for(*keys, signed=2))


def test_what_was_signed_after_the_revocation_is_rejected_and_what_was_signed_before_stays(certified, keys):
    for shift_s, answer in ((1, Answer.YES), (0, Answer.NO), (-1, Answer.NO)):
        moment = SEEN.signed_at + timedelta(seconds=shift_s)
        roster = tuple(replace(each, revoked_from=moment) for each in pinned(keys[0]))
        found = verify_pdf(certified, replace(policy_for(*keys), roster=roster))
        assert found.signatures[0].answer(FactName.NOT_REVOKED) is answer
        assert found.verdict is (Verdict.VALID if answer is Answer.YES else Verdict.REJECTED)
    assert any("the key was revoked from" in each for each in found.says)


def test_a_revoked_signer_who_writes_an_earlier_time_into_the_file_is_found_out(certified, keys):
    roster = tuple(replace(each, revoked_from=SEEN.signed_at) for each in pinned(keys[0]))
    earlier = attacks.claimed(certified, SEEN.signed_at, SEEN.signed_at - timedelta(days=1))
    assert earlier != certified
    found = rejected_for(earlier, replace(policy_for(*keys), roster=roster))
    assert found == {FactName.INTACT}


def test_a_cut_container_is_rejected(released, keys):
    policy = policy_for(*keys, signed=2)
    assert FactName.INTACT in rejected_for(attacks.cut_container(released), policy)


def test_a_container_in_lower_case_or_with_something_behind_it_is_rejected(released, keys):
    start, end = container(released)
    policy = policy_for(*keys, signed=2)
    lower = released[:start] + released[start:end].lower() + released[end:]
    behind = released[: end - 2] + b"01" + released[end:]
    for pdf in (lower, behind):
        assert rejected_for(pdf, policy) == {FactName.CANONICAL}


def test_a_file_with_stacked_filters_is_refused_without_unpacking_it(certified, keys):
    bomb, tables = attacks.stacked_bomb(certified), attacks.table_bomb(certified)
    assert len(bomb) < len(certified) + 20_000
    tracemalloc.start()
    assert FactName.LATER_CHANGES in rejected_for(bomb, policy_for(*keys))
    assert rejected_for(tables, policy_for(*keys)) == {FactName.READABLE}
    with pytest.raises(UnreadableAttachment, match="packed more than once"):
        attached_files(bomb)
    with pytest.raises(UnreadablePdf):
        attached_files(tables)
    with pytest.raises(UnreadablePdf):
        sign_pdf(tables, RELEASED, keys[1])
    assert tracemalloc.get_traced_memory()[1] < 16 * 2**20
    tracemalloc.stop()


def test_signatures_in_the_wrong_order_are_rejected(keys):
    steps = SHAFT_LOG_ORDER.steps
    turned = SigningOrder((steps[1], steps[0], steps[2]))
    first = sign_pdf(prepared_paper(), replace(RELEASED, certify=True), keys[1], turned)
    second = replace(SEEN, certify=False, signed_at=RELEASED.signed_at + timedelta(minutes=1))
    pdf = sign_pdf(first, second, keys[0], turned)
    found = verify_pdf(pdf, policy_for(*keys, signed=2))
    assert {each.name for each in found.failed} == {FactName.EXPECTED}
    assert "wrong order" in found.failed[0].says


def test_a_signature_that_the_record_does_not_have_is_rejected(released, keys):
    assert rejected_for(released, policy_for(*keys, signed=1)) == {FactName.EXPECTED}


def test_another_person_of_the_same_role_is_rejected_where_the_record_names_one(keys):
    other = key_of(replace(INSPECTOR, name="Inspector C"))
    request = replace(SEEN, signer=SignerIdentity("Inspector C", Role.INSPECTOR))
    pdf = sign_pdf(prepared_paper(), request, other)
    assert rejected_for(pdf, policy_for(*keys, other)) == {FactName.EXPECTED}


def test_a_role_that_the_roster_no_longer_gives_is_rejected(released, keys):
    policy = policy_for(*keys, signed=2)
    narrower = tuple(
        replace(each, roles=(Role.DESIGNER,)) if each.name == "Engineer B" else each for each in policy.roster
    )
    assert rejected_for(released, replace(policy, roster=narrower)) == {FactName.ROLE}


def test_a_signature_over_another_state_of_the_record_is_rejected(certified, keys):
    other = "fedcba9876543210" * 4
    policy = replace(policy_for(*keys), record_digest=other)
    assert rejected_for(certified, policy) == {FactName.DIGEST}
    mixed = sign_pdf(certified, replace(RELEASED, record_digest=other), keys[1])
    found = verify_pdf(mixed, policy_for(*keys, signed=2))
    assert {each.name for each in found.failed} == {FactName.DIGEST}
    assert [each.record_digest for each in found.signatures] == [DIGEST, other]


def test_a_file_that_is_not_the_one_of_the_journal_is_rejected(certified, keys):
    digest = hashlib.sha256(certified).hexdigest()
    assert verify_pdf(certified, replace(policy_for(*keys), file_digest=digest)).verdict is Verdict.VALID
    again = sign_pdf(prepared_paper(), SEEN, keys[0])
    assert rejected_for(again, replace(policy_for(*keys), file_digest=digest)) == {FactName.FILE_DIGEST}


def test_a_paper_that_nobody_certified_or_that_allows_notes_is_rejected(keys):
    said = {"name": "Inspector A", "reason": SEEN.reason.text}
    plain = attacks.foreign_signature(prepared_paper(), keys[0], "Inspector", **said)
    assert FactName.CERTIFIED in rejected_for(plain, policy_for(*keys))
    loose = attacks.foreign_signature(
        prepared_paper(), keys[0], "Inspector", certify=True, docmdp_permissions=MDPPerm.ANNOTATE, **said
    )
    assert FactName.CERTIFIED in rejected_for(loose, policy_for(*keys))


def test_a_signature_after_the_closing_one_is_rejected(keys):
    optional = SigningOrder(tuple(replace(each, required=False) for each in SHAFT_LOG_ORDER.steps))
    closed = sign_pdf(sign_pdf(prepared_paper(), SEEN, keys[0]), ACCEPTED, keys[1], optional)
    late = attacks.foreign_signature(
        closed, keys[1], "ResidentEngineer", name="Engineer B", reason=RELEASED.reason.text
    )
    policy = replace(policy_for(*keys), expected=(EXPECTED[0], EXPECTED[2]))
    assert verify_pdf(closed, policy).verdict is Verdict.VALID
    assert {FactName.CERTIFIED, FactName.EXPECTED} <= rejected_for(late, policy)


@pytest.mark.parametrize("junk", [b"", b"%PDF-1.4", b"not a PDF", b"%PDF-1.4\nstartxref\n9\n%%EOF\n"])
def test_what_is_no_pdf_is_rejected_with_a_sentence_and_never_raises(keys, junk):
    assert rejected_for(junk, policy_for(*keys)) == {FactName.READABLE}
