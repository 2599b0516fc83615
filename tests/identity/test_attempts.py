"""Wrong passphrases: five tries are free, then each waits longer, and nobody is locked out for good."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from fieldapp.identity.attempts import Attempts
from fieldapp.identity.errors import TooManyTries

NOW = datetime(2026, 5, 4, 14, 0, tzinfo=UTC)


def after(wrong: int) -> Attempts:
    state = Attempts()
    for _ in range(wrong):
        state = state.failed(NOW)
    return state


def test_the_first_five_tries_are_free_and_then_the_delay_doubles_up_to_a_quarter_of_an_hour():
    # by hand: 5 s after the fifth wrong try, doubled each time, at most 900 s
    assert [after(wrong).delay.total_seconds() for wrong in range(15)] == [
        *[0] * 5,
        *[5, 10, 20, 40, 80, 160, 320, 640, 900, 900],
    ]
    assert after(100_000).delay == timedelta(minutes=15)


def test_a_try_that_comes_too_soon_is_refused_with_the_seconds_left_and_is_open_afterwards():
    state = after(7)
    with pytest.raises(
        TooManyTries, match=r"wrong 7 times. The next try is open in 20 s\. The record is safe"
    ):
        state.check(NOW)
    with pytest.raises(TooManyTries, match="open in 5 s"):
        state.check(NOW + timedelta(seconds=15))
    state.check(NOW + timedelta(seconds=20))


def test_the_right_passphrase_forgets_the_wrong_ones():
    assert after(9).succeeded() == Attempts()
    Attempts().check(NOW)


def test_a_clock_set_back_by_years_does_not_lock_anybody_out():
    earlier = NOW - timedelta(days=4000)
    state = after(20)
    state.check(earlier)
    again = state.failed(earlier)
    with pytest.raises(TooManyTries):
        again.check(earlier)
    assert again.wait(earlier) == timedelta(minutes=15)
    again.check(earlier + timedelta(minutes=15))


def test_the_wait_is_never_longer_than_a_quarter_of_an_hour():
    for wrong in range(40):
        for shift_s in (-(10**8), -1, 0, 1, 899, 900, 10**8):
            wait = after(wrong).wait(NOW + timedelta(seconds=shift_s))
            assert timedelta(0) <= wait <= timedelta(minutes=15)
