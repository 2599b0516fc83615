"""One unlocked key for a stated time: it is dropped when the time is over, on idling, and when asked.

Pure: it reads no clock.  Every call says how many seconds a clock shows that runs on evenly whatever the
wall clock is set to; a count that runs backwards locks.  Dropping the key leaves nothing here that leads to
it; memory that the library has freed is not wiped, which Python cannot do.
"""

from __future__ import annotations

from typing import Final

from fieldapp.identity.errors import Locked
from fieldapp.identity.keys import UnlockedKey
from fieldapp.record.said import said

OPEN_FOR_S: Final = 600.0
IDLE_S: Final = 180.0


class KeyHolder:
    """Holds at most one unlocked key: ``open_for_s`` from unlocking, ``idle_s`` from the last touch."""

    __slots__ = ("_end_s", "_idle_end_s", "_idle_s", "_key", "_open_for_s", "_seen_s")

    def __init__(self, open_for_s: float = OPEN_FOR_S, idle_s: float = IDLE_S) -> None:
        self._open_for_s = open_for_s
        self._idle_s = idle_s
        self._key: UnlockedKey | None = None
        self._end_s = self._idle_end_s = self._seen_s = 0.0

    def __repr__(self) -> str:
        return "KeyHolder(locked)" if self._key is None else f"KeyHolder({self._key.certificate.name})"

    def hold(self, key: UnlockedKey, now_s: float) -> None:
        """Hold a key that was unlocked just now, in the place of any other."""
        self._key = key
        self._end_s = now_s + self._open_for_s
        self._idle_end_s = now_s + self._idle_s
        self._seen_s = now_s

    def touched(self, now_s: float) -> None:
        """Somebody is at work: idling begins anew.  The stated time from unlocking stays."""
        if self.left_s(now_s) > 0:
            self._idle_end_s = now_s + self._idle_s

    def key(self, now_s: float) -> UnlockedKey:
        """The key while it is unlocked.  Raises Locked, and has dropped the key then."""
        if self.left_s(now_s) > 0 and self._key is not None:
            return self._key
        raise Locked(
            said(
                "No key is unlocked: none was, or its time is over ({open_for_s:g} min, "
                "{idle_s:g} min without a touch). Nothing was signed, and the record is safe; "
                "unlock the key with its passphrase.",
                open_for_s=self._open_for_s / 60,
                idle_s=self._idle_s / 60,
            )
        )

    def left_s(self, now_s: float) -> float:
        """How many seconds the key stays unlocked if nothing is touched; 0 when none is."""
        if self._key is None:
            return 0.0
        end_s = min(self._end_s, self._idle_end_s)
        if not self._seen_s <= now_s < end_s:
            self.lock()
            return 0.0
        self._seen_s = now_s
        return end_s - now_s

    def lock(self) -> None:
        """Drop the key: when asked, and when the app goes into the background."""
        self._key = None
