"""What verification says of good papers: separate facts, and unknown where nobody can know."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, replace
from datetime import timedelta

import pytest

from fieldapp.identity import pdf_signing
from fieldapp.identity.certificates import Term, to_pem
from fieldapp.identity.errors import UnfitText, UnreadableCertificate
from fieldapp.identity.pdf_signing import prepare_fields, sign_pdf
from fieldapp.identity.policy import Policy, known_signer
from fieldapp.identity.reasons import SignedReason, read_reason
from fieldapp.identity.signing_order import CLOCK_TOLERANCE
from fieldapp.identity.verification import Answer, Changes, Coverage, FactName, Trust, Verdict
from fieldapp.identity.verifying import verify_pdf
from fieldapp.record.words import Role
from tests.identity.papers import PLACES, key_of, pinned, plain_paper, policy_for, prepared_paper, with_file
from tests.identity.signers import ACCEPTED, DIGEST, ENGINEER, INSPECTOR, RELEASED, SEEN, TERM


@pytest.fixture(scope="module")
def keys():
    return key_of(INSPECTOR), key_of(ENGINEER)


@pytest.fixture(scope="module")
def signed_by_all(keys) -> bytes:
    inspector, engineer = keys
    certified = sign_pdf(prepared_paper(), SEEN, inspector)
    return sign_pdf(sign_pdf(certified, RELEASED, engineer), ACCEPTED, engineer)


def test_a_paper_signed_by_all_three_is_valid_and_every_fact_is_there_by_itself(signed_by_all, keys):
    found = verify_pdf(signed_by_all, policy_for(*keys, signed=3))
    assert found.verdict is Verdict.VALID
    assert found.says[0] == "This paper is valid: everything that was asked of it holds."
    assert [each.field_name for each in found.signatures] == ["Inspector", "ResidentEngineer", "Designer"]
    assert [each.order for each in found.signatures] == [1, 2, 3]
    assert [each.signer for each in found.signatures] == ["Inspector A", "Engineer B", "Engineer B"]
    assert [each.role for each in found.signatures] == list(Role)
    assert [each.known_roles for each in found.signatures] == [
        INSPECTOR.roles,
        ENGINEER.roles,
        ENGINEER.roles,
    ]
    assert [each.coverage for each in found.signatures] == [
        Coverage.WHOLE_REVISION,
        Coverage.WHOLE_REVISION,
        Coverage.WHOLE_FILE,
    ]
    assert [each.later_changes for each in found.signatures] == [
        Changes.FORM_FILLING,
        Changes.FORM_FILLING,
        Changes.NONE,
    ]
    assert {each.trust for each in found.signatures} == {Trust.ROSTER}
    assert {each.record_digest for each in found.signatures} == {DIGEST}
    assert [each.signed_at for each in found.signatures] == [
        each.signed_at for each in (SEEN, RELEASED, ACCEPTED)
    ]
    assert [each.meaning for each in found.signatures] == [
        each.meaning for each in (SEEN, RELEASED, ACCEPTED)
    ]
    asked = {each.name for each in found.all_facts}
    assert asked == set(FactName) - {FactName.TIMESTAMP, FactName.FILE_DIGEST}
    with pytest.raises(FrozenInstanceError):
        found.facts = ()


def test_every_fact_has_a_sentence_and_the_time_is_called_a_claim(signed_by_all, keys):
    found = verify_pdf(signed_by_all, policy_for(*keys, signed=3))
    assert len(found.says) == 1 + len(found.all_facts) + 3
    assert all(each.endswith(".") for each in found.says)
    assert [each for each in found.says if "signer's own clock; no trusted timestamp confirms" in each] == [
        each.time_says for each in found.signatures
    ]


def test_without_a_project_trust_is_unknown_and_never_valid(signed_by_all):
    found = verify_pdf(signed_by_all, Policy())
    assert found.verdict is Verdict.UNKNOWN
    assert not found.failed
    assert {each.trust for each in found.signatures} == {Trust.UNKNOWN}
    assert {each.name for each in found.open} == {
        FactName.SIGNER_KNOWN,
        FactName.ROLE,
        FactName.NOT_REVOKED,
        FactName.DIGEST,
        FactName.EXPECTED,
    }
    assert found.answer(FactName.INTACT) is Answer.YES
    assert any("without a project nobody vouches" in each for each in found.says)


@pytest.mark.parametrize(
    ("lacking", "asked"),
    [("roster", FactName.SIGNER_KNOWN), ("expected", FactName.EXPECTED), ("record_digest", FactName.DIGEST)],
)
def test_what_the_project_does_not_say_stays_unknown(signed_by_all, keys, lacking, asked):
    found = verify_pdf(signed_by_all, replace(policy_for(*keys, signed=3), **{lacking: None}))
    assert found.verdict is Verdict.UNKNOWN
    assert found.answer(asked) is Answer.UNKNOWN


def test_an_empty_roster_is_a_project_that_knows_nobody(signed_by_all, keys):
    found = verify_pdf(signed_by_all, replace(policy_for(*keys, signed=3), roster=()))
    assert found.verdict is Verdict.REJECTED
    assert {each.name for each in found.failed} == {FactName.SIGNER_KNOWN}
    assert {each.trust for each in found.signatures} == {Trust.NOBODY}


def test_an_unsigned_paper_proves_nothing(keys):
    for pdf in (prepared_paper(), plain_paper()):
        found = verify_pdf(pdf, policy_for(*keys))
        assert found.verdict is Verdict.REJECTED
        assert FactName.SIGNED in {each.name for each in found.failed}


def test_a_certificate_that_was_not_good_yet_or_no_longer_is_rejected_by_name(keys):
    # the holder signs with another program, for sign_pdf refuses such a time
    day = timedelta(days=1)
    for term, words in (
        (Term(SEEN.signed_at + day, TERM.valid_until), "before the certificate was good"),
        (Term(TERM.valid_from, SEEN.signed_at - day), "after the certificate expired"),
    ):
        key = key_of(INSPECTOR, term=term)
        now_good = sign_pdf(
            prepared_paper(),
            replace(SEEN, signed_at=term.valid_from + (term.valid_until - term.valid_from) / 2),
            key,
        )
        assert verify_pdf(now_good, policy_for(key)).verdict is Verdict.VALID
        pdf = _signed_anyway(key)
        found = verify_pdf(pdf, policy_for(key))
        assert {each.name for each in found.failed} == {FactName.IN_TIME}
        assert words in found.failed[0].says


def _signed_anyway(key) -> bytes:
    wide = replace(
        key, certificate=replace(key.certificate, valid_from=TERM.valid_from, valid_until=TERM.valid_until)
    )
    return sign_pdf(prepared_paper(), SEEN, wide)


@pytest.mark.parametrize(("later_s", "answer"), [(0, Answer.YES), (1, Answer.NO)])
def test_a_clock_that_was_set_back_between_two_signatures_is_noticed(keys, monkeypatch, later_s, answer):
    # sign_pdf refuses such a time, so its look at the clock is taken out: another program has none
    monkeypatch.setattr(pdf_signing, "check_clock", lambda *_: None)
    first = RELEASED.signed_at + CLOCK_TOLERANCE + timedelta(seconds=later_s)
    pdf = sign_pdf(prepared_paper(), replace(SEEN, signed_at=first), keys[0])
    found = verify_pdf(sign_pdf(pdf, RELEASED, keys[1]), policy_for(*keys, signed=2))
    assert found.answer(FactName.TIME_ORDER) is answer
    assert {each.name for each in found.failed} == ({FactName.TIME_ORDER} if answer is Answer.NO else set())


def test_a_time_that_has_not_come_yet_is_noticed_when_the_moment_is_given(signed_by_all, keys):
    policy = policy_for(*keys, signed=3)
    for at, answer in (
        (ACCEPTED.signed_at - timedelta(days=1), Answer.NO),
        (ACCEPTED.signed_at, Answer.YES),
        (ACCEPTED.signed_at + timedelta(days=9000), Answer.YES),
    ):
        assert verify_pdf(signed_by_all, replace(policy, at=at)).answer(FactName.TIME_ORDER) is answer


WORDS = ("Řeka", "田中", "pass 2: 12 mm", "(brackets) and \\ strokes", "%%EOF startxref 7", "<< /Prev 9 >>")


def good_papers(keys, number: int) -> tuple[bytes, ...]:
    """One paper of its own content as it looks after one, two and three signatures."""
    lines = tuple(
        f"{WORDS[(number + row) % len(WORDS)]} {number * 7919 % 1000}" for row in range(number % 30)
    )
    paper = plain_paper(lines, 1 + number % 3)
    if number % 4 == 0:
        paper = with_file(paper, "record.json", b"{}" * number)
    stroke = ((0.0, 0.1), (0.4, 0.6), (1.0, 0.2))
    request = replace(
        SEEN,
        meaning=f"Inspector: {WORDS[number % 3]}",
        signed_at=SEEN.signed_at + timedelta(seconds=number),
        location=WORDS[number % 5],
        drawn=(stroke,) if number % 5 == 0 else (),
    )
    first = sign_pdf(prepare_fields(paper, PLACES), request, keys[0])
    second = sign_pdf(first, RELEASED, keys[1])
    return first, second, sign_pdf(second, ACCEPTED, keys[1])


# Twenty have every attachment with every stroke; two hundred files need the time of the long walk.
@pytest.mark.parametrize("papers", [20, pytest.param(67, marks=pytest.mark.long_walk)])
def test_no_false_alarm_on_good_papers(keys, papers):
    alarms, verified = [], 0
    for number in range(papers):
        for signed, pdf in enumerate(good_papers(keys, number), 1):
            found = verify_pdf(pdf, policy_for(*keys, signed=signed))
            alarms += [(number, signed, each.says) for each in found.failed + found.open]
            verified += 1
    assert alarms == []
    assert verified == 3 * papers


def test_a_roster_entry_takes_name_roles_and_term_from_the_certificate(keys):
    entry = known_signer(to_pem(keys[1].x509_certificate))
    assert (entry.name, entry.roles) == (ENGINEER.name, ENGINEER.roles)
    assert (entry.valid_from, entry.valid_until) == (TERM.valid_from, TERM.valid_until)
    assert entry.fingerprint == keys[1].certificate.fingerprint
    with pytest.raises(UnreadableCertificate):
        known_signer("no certificate")
    with pytest.raises(UnfitText):
        replace(entry, revoked_from=TERM.valid_from.replace(tzinfo=None))
    with pytest.raises(UnfitText):
        Policy(pinned(keys[0]), record_digest=DIGEST[:16])


def test_a_reason_carries_meaning_role_and_digest_and_nothing_else_is_taken_for_one():
    for meaning in ("Inspector: recorded as seen", "a (b) c", "two\nlines", "x (signed as inspector, record"):
        reason = SignedReason(meaning, Role.RESIDENT_ENGINEER, DIGEST)
        assert read_reason(reason.text) == reason
    for text in ("", "Inspector: recorded as seen", f"x (signed as owner, record SHA-256 {DIGEST})"):
        assert read_reason(text) is None
