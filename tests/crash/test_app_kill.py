"""The app in its window, killed at random moments of work by touch; see also ``tests/screens/journeys``."""

from __future__ import annotations

import sys

import pytest

from tests.crash.app_kills import app_kills

WORKS = ("note", "photo", "bundle")
SEED = 7

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="SIGKILL of POSIX")


def test_nothing_is_lost_or_half_whenever_the_app_is_killed():
    rows = list(app_kills(len(WORKS), SEED, WORKS))
    assert [fault for each in rows for fault in each.faults] == []
    assert sum(each.kills for each in rows) == len(WORKS)
    assert sum(each.lost for each in rows) == 0


@pytest.mark.long_walk
def test_a_paper_that_is_made_or_signed_leaves_nothing_half():
    for row in app_kills(6, SEED, ("report", "sign")):
        assert row.faults == []
