"""A finding: one requirement held against the record, with everything that it rests on.

Outcomes are facts, not colours: screens and reports phrase and draw them.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum


class Outcome(StrEnum):
    """What the record says of a requirement."""

    MET = "met"
    NOT_MET = "not met"
    NOT_SHOWN = "not shown"
    NOT_ASKED = "not asked"


class Group(StrEnum):
    """The part of the record that a requirement looks at."""

    GROUND = "ground"
    BASE = "base"
    WATER = "standing water"
    FLUID = "fluid"
    HEAD = "head"
    TIME = "time"
    EVIDENCE = "evidence"
    GEOMETRY = "geometry"
    CONCRETE = "concrete"


class Work(StrEnum):
    """What the next useful step does.

    On the open hole it mends a finding which is not met, or shows one which is not shown; with concrete
    begun, its end has to be recorded.
    """

    CLEAN_AGAIN = "clean the base again"
    EXCHANGE_FLUID = "exchange the fluid"
    RESTORE_HEAD = "restore the head"
    OVERREAM = "overream the bottom"
    DEWATER_OR_FLOOD = "pump the base dry or flood the hole"
    SOUND = "sound the base"
    TEST_FLUID = "test the fluid"
    READ_HEAD = "read the head"
    MEASURE_WATER = "measure the water on the base"
    SEE_BASE = "look at the base from the surface"
    SURVEY = "measure the hole from the surface"
    CHECK_INSTRUMENT = "check the instrument"
    SETTLE = "settle the amendments that disagree"
    ENTER_LIMIT = "enter the limit in the acceptance set"
    ASK_ENGINEER = "ask the engineer"
    FINISH_CONCRETE = "record that concrete finished"


class Standing(StrEnum):
    """What the findings say of the base."""

    NOT_CREDITABLE = "not creditable"
    REWORK = "rework"
    NOT_SHOWN = "not shown"
    REDUCED = "reduced"
    CLEAN = "clean"


class ReleaseStatus(StrEnum):
    """Where the decision on concrete stands; ``none`` before the resident engineer has decided."""

    NONE = "none"
    HELD = "held"
    RELEASED = "released"
    LAPSED = "lapsed"
    WITHDRAWN = "withdrawn"


@dataclass(frozen=True, slots=True)
class Finding:
    """One requirement held against the record of one shaft.

    Attributes
    ----------
    requirement
        Stable name of the requirement, such as ``base area share``.
    measured, limit
        Text in the units of the project: ``45 % under 1/2 in`` and ``at least 50 %``; empty when unknown.
    where, when
        Place (``points 4, 5``) and moment of the observation it hangs on.
    entries
        Identifiers of the entries that it rests on.
    source
        The document or judgment behind the limit, with its confidence.
    says
        One short sentence for a person in a hurry, in the units of the project.
    work
        What can mend or show it while the hole is open.
    excludes_base
        The evidence or the ground excludes base resistance, hole open or not.
    keeps_credit_open
        Without it the credit cannot be quantified once concrete is in.
    weight
        Order among reasons; larger is weightier.
    """

    requirement: str
    group: Group
    outcome: Outcome
    says: str
    measured: str = ""
    limit: str = ""
    where: str = ""
    when: datetime | None = None
    entries: tuple[str, ...] = ()
    source: str = ""
    work: Work | None = None
    excludes_base: bool = False
    keeps_credit_open: bool = False
    weight: int = 0


@dataclass(frozen=True, slots=True)
class NextStep:
    """The next useful thing to do, and the requirement that it serves."""

    says: str
    work: Work | None
    requirement: str = ""


@dataclass(frozen=True, slots=True)
class BaseStanding:
    """The standing with its reasons in order of weight, and the next useful step."""

    standing: Standing
    reasons: tuple[Finding, ...]
    next_step: NextStep


@dataclass(frozen=True, slots=True)
class ReleaseState:
    """The decision on concrete: status, until when, why it lapsed, its conditions, the entry that made it.

    ``remarks`` are sentences about a release that stay with it wherever it is shown: that it is on the
    author's own log, and what it passes over.
    """

    status: ReleaseStatus
    until: datetime | None = None
    reason: str = ""
    conditions: str = ""
    entry: str = ""
    author: str = ""
    remarks: tuple[str, ...] = ()
