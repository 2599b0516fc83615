"""One changed byte anywhere in a signed paper is noticed.

The whole container and a dense sample of the rest here; all positions in `tests.identity.every_byte`.
"""

from __future__ import annotations

import re

import pytest

from fieldapp.identity.containers import read_container
from fieldapp.identity.pdf_signing import sign_pdf
from fieldapp.identity.verification import FactName, Verdict
from fieldapp.identity.verifying import verify_pdf
from tests.identity.every_byte import changed
from tests.identity.papers import key_of, policy_for, prepared_paper
from tests.identity.signers import INSPECTOR, SEEN
from tests.support.outside import container


@pytest.fixture(scope="module")
def key():
    return key_of(INSPECTOR)


@pytest.fixture(scope="module")
def pdf(key) -> bytes:
    return sign_pdf(prepared_paper(), SEEN, key)


def test_every_position_of_the_container_is_noticed(pdf, key):
    # where the way of writing is still the one way, the signature itself must be what has changed
    policy = policy_for(key)
    assert verify_pdf(pdf, policy).verdict is Verdict.VALID
    byte_range = [int(each) for each in re.findall(rb"/ByteRange \[\s*(\d+) (\d+) (\d+) (\d+)", pdf)[-1]]
    start, end = container(pdf)
    still = []
    for position in range(start - 1, end + 1):
        found = read_container(changed(pdf, position), byte_range)
        if found is not None and found.canonical:
            still.append(position)
    assert 100 < len(still) < 1000
    for position in still[::9]:
        facts = verify_pdf(changed(pdf, position), policy)
        assert FactName.INTACT in {each.name for each in facts.failed}, position


def test_a_sample_of_all_positions_is_noticed(pdf, key):
    policy = policy_for(key)
    assert len(pdf) < 12_000
    missed = [
        position
        for position in range(0, len(pdf), 47)
        if verify_pdf(changed(pdf, position), policy).verdict is not Verdict.REJECTED
    ]
    assert missed == []
