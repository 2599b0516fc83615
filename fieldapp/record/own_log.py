"""Whose log of a shaft it is, so that nobody releases concrete on his own without the project saying so.

A log belongs to those who signed it.  Where nobody has signed, it belongs to those who made a round of
soundings that counts, or said by an amendment what such a round should be.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from fieldapp.record.cleaning import SoundingRound
from fieldapp.record.decisions import Amend, LogSigned
from fieldapp.record.fold import Line
from fieldapp.record.shaft import ShaftRecord


def whose_log(signed: Iterable[Line[LogSigned]], rounds: Iterable[Line[SoundingRound]]) -> frozenset[str]:
    """Names of the people whose log it is, from the signatures and the rounds that count."""
    signers = frozenset(each.original.draft.author for each in signed)
    return signers or frozenset(name for each in rounds for name in _made_by(each))


def log_owners(shaft: ShaftRecord) -> frozenset[str]:
    """Names of the people whose log of a shaft it is now, whatever became of their roles."""
    return whose_log(shaft.of(LogSigned), shaft.of(SoundingRound))


def _made_by(line: Line[SoundingRound]) -> Iterator[str]:
    yield line.original.draft.author
    yield from (each.draft.author for each in line.changes if isinstance(each.values, Amend))
