"""Entries that decide or correct: amend, strike, log signed, release, hold, withdrawal, disposition.

A decision names the journal positions and the record digest it rests on, so that it can be seen to
lapse when the evidence changes.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, ClassVar, Final

from fieldapp.record.hole import check_digest, check_span
from fieldapp.record.reading import (
    Impossible,
    Reading,
    check_readings,
    check_text,
    maybe_quantity,
    maybe_small_length,
)
from fieldapp.record.said import said
from fieldapp.record.words import Decision

if TYPE_CHECKING:
    from fieldapp.record.kinds import Values


@dataclass(frozen=True, slots=True)
class Position:
    """The last entry of one device that a decision has seen."""

    device: str
    seq: int


@dataclass(frozen=True, slots=True)
class Basis:
    """What a decision rests on: positions in every chain, and the digest of the shaft record there."""

    positions: tuple[Position, ...]
    record_digest: str

    def __post_init__(self) -> None:
        check_digest("record_digest", self.record_digest)
        if not self.positions:
            raise Impossible(
                "positions", said("nothing"), said("the journal positions that the decision rests on")
            )


@dataclass(frozen=True, slots=True)
class Amend:
    """What an earlier entry should say, in full, and why; ``observed_at`` when its time was wrong too."""

    KIND: ClassVar[str] = "amend"
    VERSION: ClassVar[int] = 1

    target: str
    says: Values
    why: str
    observed_at: datetime | None = None

    def __post_init__(self) -> None:
        check_text("why", self.why)
        check_span(self.observed_at, None)
        if self.says.KIND in {"amend", "strike"}:
            raise Impossible(
                "amend", self.says.KIND, said("an entry of the record; amend the entry itself again instead")
            )


@dataclass(frozen=True, slots=True)
class Strike:
    """An earlier entry that should not count, and why."""

    KIND: ClassVar[str] = "strike"
    VERSION: ClassVar[int] = 1

    target: str
    why: str

    def __post_init__(self) -> None:
        check_text("why", self.why)


@dataclass(frozen=True, slots=True)
class LogSigned:
    """The inspector's sign-off of a shaft log."""

    KIND: ClassVar[str] = "log signed"
    VERSION: ClassVar[int] = 1

    basis: Basis
    statement: str

    def __post_init__(self) -> None:
        check_text("statement", self.statement)


@dataclass(frozen=True, slots=True)
class Release:
    """Concrete may start until a time, under conditions.

    ``reason`` is asked for where something is not met or not shown.
    """

    KIND: ClassVar[str] = "release"
    VERSION: ClassVar[int] = 1

    basis: Basis
    until: datetime
    conditions: str = ""
    reason: str = ""

    def __post_init__(self) -> None:
        check_span(self.until, None)


@dataclass(frozen=True, slots=True)
class Hold:
    """Concrete may not start, and why."""

    KIND: ClassVar[str] = "hold"
    VERSION: ClassVar[int] = 1

    basis: Basis
    reason: str

    def __post_init__(self) -> None:
        check_text("reason", self.reason)


@dataclass(frozen=True, slots=True)
class Withdrawal:
    """A release taken back, and why."""

    KIND: ClassVar[str] = "withdrawal"
    VERSION: ClassVar[int] = 1

    release: str
    reason: str

    def __post_init__(self) -> None:
        check_text("reason", self.reason)


@dataclass(frozen=True, slots=True)
class Disposition:
    """The designer's decision on the base, at a displacement."""

    KIND: ClassVar[str] = "disposition"
    VERSION: ClassVar[int] = 1

    basis: Basis
    decision: Decision
    why: str
    credit: Reading | None = maybe_quantity("ratio", "0", "1", "ratio")
    displacement: Reading | None = maybe_small_length("0", "1000")

    def __post_init__(self) -> None:
        check_text("why", self.why)
        check_readings(self)
        needs_credit = self.decision is Decision.REDUCED_CREDIT
        if needs_credit and (self.credit is None or self.displacement is None):
            raise Impossible(
                "credit", str(self.credit), said("a credit and the displacement that it belongs to")
            )


DECISIONS: Final = (LogSigned, Release, Hold, Withdrawal, Disposition)
