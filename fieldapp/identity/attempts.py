"""Wrong passphrases slow the next try down, and never lock anybody out for good.

A pure state: the caller keeps it (a count and a time) and says what the clock reads.  Only signing
waits; reading and recording go on.  Whoever can set the clock can shorten the wait: the key derivation of
the key file, not this, is what a thief has to beat.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from fieldapp.identity.errors import TooManyTries
from fieldapp.record.said import said

FREE_TRIES = 5
FIRST_DELAY_S = 5
LONGEST_DELAY = timedelta(minutes=15)
MOST_DOUBLINGS = 8  # more would not change the delay: it has reached its longest


@dataclass(frozen=True, slots=True)
class Attempts:
    """Wrong tries in a row, and when the last one was (an aware datetime)."""

    wrong: int = 0
    last_at: datetime | None = None

    @property
    def delay(self) -> timedelta:
        """How long after the last wrong try the next one may be made; it doubles from 5 s to 15 min."""
        if self.wrong < FREE_TRIES:
            return timedelta(0)
        doublings = min(self.wrong - FREE_TRIES, MOST_DOUBLINGS)
        return min(timedelta(seconds=FIRST_DELAY_S << doublings), LONGEST_DELAY)

    def wait(self, now: datetime) -> timedelta:
        """How long from now until the next try; zero when it may be made at once."""
        if self.last_at is None or now < self.last_at:  # set back: one try, then the delay runs from there
            return timedelta(0)
        return max(self.delay - (now - self.last_at), timedelta(0))

    def check(self, now: datetime) -> None:
        """Refuse a try that comes too soon.

        Raises
        ------
        TooManyTries
            With the seconds that are left.
        """
        wait = self.wait(now)
        if wait:
            raise TooManyTries(
                said(
                    "The passphrase was wrong {wrong} times. The next try is open in {seconds} s. "
                    "The record is safe; recording goes on.",
                    wrong=self.wrong,
                    seconds=max(1, round(wait.total_seconds())),
                )
            )

    def failed(self, now: datetime) -> Attempts:
        """After a wrong passphrase."""
        return Attempts(self.wrong + 1, now)

    def succeeded(self) -> Attempts:
        """After the right one: all is forgotten."""
        return Attempts()
