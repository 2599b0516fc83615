"""What the summary of a project is made of: frozen facts of every shaft, nothing to be looked up.

What the record does not show is None or stands among what is missing; it is never 0 and never left out.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction

from fieldapp.base.credit_facts import CreditSpan
from fieldapp.base.stake import Stake
from fieldapp.criteria.finding import BaseStanding, Outcome, ReleaseState
from fieldapp.criteria.holding import is_within
from fieldapp.record.decisions import Disposition
from fieldapp.record.entry import ChainHead
from fieldapp.record.fold import Line
from fieldapp.record.hole import Delay
from fieldapp.record.reading import Impossible
from fieldapp.record.setup import Instrument, ProjectSetup, ShaftScheduled
from fieldapp.record.words import Fluid


@dataclass(frozen=True, slots=True)
class SummaryCredit:
    """The estimated credit of one base at service and at strength displacement."""

    service: CreditSpan
    strength: CreditSpan


@dataclass(frozen=True, slots=True)
class RoundSeen:
    """A round of soundings: share within the limit, largest and mean [m]; None is not shown.

    ``read`` of ``points`` have a thickness; ``stale`` says what changed the base since; ``broken`` are the
    sentences of the requirements on the base that the round breaks, ``open`` of those that it leaves open.
    """

    number: int
    at: datetime
    read: int
    points: int
    share: Fraction | None = None
    largest_m: Fraction | None = None
    mean_m: Fraction | None = None
    stale: str = ""
    broken: tuple[str, ...] = ()
    open: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Recleaned:
    """Cleanout passes after a round that failed or left the base open, up to the next round, or None."""

    before: RoundSeen
    passes: tuple[str, ...]
    after: RoundSeen | None


@dataclass(frozen=True, slots=True)
class FluidRead:
    """One property of one sample of the last set before concrete; ``value_si`` None where not tested.

    ``outcome`` is that of its own limits; ``why`` says what keeps a sample from counting.
    """

    name: str
    outcome: Outcome
    value_si: Fraction | None
    at: datetime
    why: str = ""


@dataclass(frozen=True, slots=True)
class LimitSeen:
    """A limit that a shaft is held against: SI value, said in the project's units, whether a lower one.

    A strict limit refuses the value itself.
    """

    name: str
    value_si: Fraction
    said: str
    lower: bool = False
    strict: bool = False

    def holds(self, value_si: Fraction) -> bool:
        """Whether a value keeps it, exactly."""
        return is_within(value_si, self.value_si, self.strict, upper=not self.lower)


@dataclass(frozen=True, slots=True)
class Stated:
    """What the designer stated; ``saw_all`` tells whether no evidence came after it."""

    line: Line[Disposition]
    saw_all: bool


@dataclass(frozen=True, slots=True, eq=False)
class SummaryShaft:
    """One shaft of the project.

    Attributes
    ----------
    digest
        SHA-256 of its record, 64 hex letters.
    counts
        How many findings are met, not met, not shown.
    base_reached
        When drilling to the base ended, None before that.
    credit
        The estimate, None where ``missing`` says why.
    at_stake
        What the design counts on, with the best credit at strength taken from it where there is one;
        None where the designer's numbers do not give it.
    last_round
        The last round before concrete, or the latest one while the hole is open.
    fluid
        The last set of samples before concrete, property by property; empty in a dry hole or without one.
    limits
        Limits of fluid, cleanliness and time that hold for this shaft.
    """

    id: str
    plan: ShaftScheduled | None
    digest: str
    standing: BaseStanding
    counts: dict[Outcome, int]
    release: ReleaseState
    base_reached: datetime | None = None
    concrete_started: datetime | None = None
    concrete_finished: datetime | None = None
    credit: SummaryCredit | None = None
    missing: tuple[str, ...] = ()
    at_stake: Stake | None = None
    stated: Stated | None = None
    last_round: RoundSeen | None = None
    recleaned: tuple[Recleaned, ...] = ()
    fluid: tuple[FluidRead, ...] = ()
    limits: tuple[LimitSeen, ...] = ()
    delays: tuple[Delay, ...] = ()

    @property
    def kind_of_fluid(self) -> Fluid | None:
        """What stands in the hole, as planned."""
        return self.plan.fluid if self.plan is not None else None

    @property
    def last_seen(self) -> datetime | None:
        """When the shaft stands on a time axis: concrete, else the last round, else the base."""
        last = self.last_round.at if self.last_round is not None else None
        return self.concrete_started or last or self.base_reached


@dataclass(frozen=True, slots=True, eq=False)
class SummaryFacts:
    """Everything that the summary shows.

    Attributes
    ----------
    setup
        The set-up that holds: name, units shown, time zone, acceptance set, people.
    journal_digest
        SHA-256 over the hashes of all entries of the project, but for signatures on papers, in the order of
        folding.
    at
        The moment that findings, standings and releases are of; with its offset from UTC.
    printed_at
        When the pages were made; with its offset from UTC, else Impossible is raised.
    """

    project_id: str
    setup: ProjectSetup
    shafts: tuple[SummaryShaft, ...]
    journal_digest: str
    heads: tuple[ChainHead, ...]
    instruments: tuple[Line[Instrument], ...]
    at: datetime
    printed_at: datetime
    printed_by: str
    cautions: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for name, moment in (("printed_at", self.printed_at), ("at", self.at)):
            if moment.utcoffset() is None:
                raise Impossible(name, moment.isoformat(), "a time with its offset from UTC")
