"""What the screens of decisions ask of the desk; everything here runs on the worker.

A page is the shaft as of now, whatever moment other screens show.  What is half written is on disk under a
key of its own; passphrases, keys and drawn signatures never are.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Final

from fieldapp.ui.asks import By, Texts, texts_of
from fieldapp.ui.asks_papers import Signing

if TYPE_CHECKING:
    from fieldapp.desk.decisions.evidence import Evidence
    from fieldapp.desk.papers.paper import Paper
    from fieldapp.desk.shaft.view import ShaftView
    from fieldapp.desk.trust.roster import UnlockedKey
    from fieldapp.desk.turning_point import TurningPoint
    from fieldapp.desk.workplace import Workplace
    from fieldapp.desk.worth.credit_view import CreditView
    from fieldapp.record.entry import Entry

SIGN: Final = "sign-off"
RELEASE: Final = "release"
CREDIT: Final = "disposition"


@dataclass(frozen=True, slots=True)
class DecisionPage:
    """A shaft to be signed or released, with what is half written of it."""

    evidence: Evidence
    typed: Texts
    statement: str
    other_role: bool
    """Whether it is somebody else's to decide than that of the person who holds the tablet."""


@dataclass(frozen=True, slots=True)
class CreditPage:
    """A base to be credited, with what is half written of it.

    ``to_amend`` is the entry that scheduled the shaft, where it lacks numbers that a credit needs.
    """

    view: ShaftView
    credit: CreditView
    typed: Texts
    other_role: bool
    to_amend: str = ""


@dataclass(frozen=True, slots=True)
class Asked:
    """What is decided on a shaft, in the words of the screen; ``until`` for a release."""

    shaft: str
    what: str = ""
    why: str = ""
    conditions: str = ""
    until: datetime | None = None
    credit: str = ""
    displacement: str = ""
    unit: str = ""


@dataclass(frozen=True, slots=True)
class SignedLog:
    """The sign-off as recorded, and the paper made of it."""

    entry: Entry
    paper: Paper


def draft_key(kind: str, shaft: str) -> str:
    """Key of what is half written of a decision."""
    return f"{kind} {shaft}"


def decision_page(place: Workplace, kind: str, shaft: str, person: str = "") -> DecisionPage:
    """A shaft as of now for a decision, in the hand of this person.  Raises UnknownShaft, Impossible."""
    from fieldapp.desk.decisions.evidence import evidence
    from fieldapp.desk.decisions.signing_off import STATEMENT

    return DecisionPage(
        evidence(place, shaft), _typed(place, kind, shaft), STATEMENT, _other_role(place, kind, person)
    )


def credit_page(place: Workplace, shaft: str, person: str = "") -> CreditPage:
    """A base as of now for its designer, in the hand of this person.  Raises UnknownShaft, Impossible."""
    from fieldapp.desk.shaft.view import shaft_view
    from fieldapp.desk.worth.credit_view import credit_view
    from fieldapp.desk.worth.inputs import plan_without_numbers

    view = shaft_view(place, shaft, place.now())
    other_role = _other_role(place, CREDIT, person)
    credit, typed = credit_view(place, shaft), _typed(place, CREDIT, shaft)
    to_amend = "" if credit.rows else plan_without_numbers(place.shaft(shaft))
    return CreditPage(view, credit, typed, other_role, to_amend)


def keep_decision(place: Workplace, kind: str, shaft: str, typed: Texts) -> datetime:
    """Keep on disk what is half written of a decision, and say since when it is there."""
    from fieldapp.desk.inspector import keep_form

    keep_form(place, draft_key(kind, shaft), shaft, {"fields": typed})
    return place.now()


def ready_papers(_place: Workplace) -> None:
    """Load what laying out and signing a paper needs; it is slow the first time."""
    from fieldapp.desk.papers import logs, signing  # noqa: F401 - loaded so that signing does not wait


def open_key(place: Workplace, name: str, passphrase: str) -> UnlockedKey:
    """Open the key of a person.  Raises what `fieldapp.desk.trust.unlocking.unlock_key` raises."""
    from fieldapp.desk.trust.unlocking import unlock_key

    return unlock_key(place, name, passphrase)


def turning_point(passed: Callable[[], None]) -> TurningPoint:
    """Until when a decision can be stopped; ``passed`` is called on the worker when it no longer can."""
    from fieldapp.desk.turning_point import TurningPoint

    return TurningPoint(passed)


def sign_log(place: Workplace, asked: Asked, signing: Signing, by: By, key: UnlockedKey) -> SignedLog:
    """Sign the log of a shaft and write it on paper.  Raises as `sign_off`."""
    from fieldapp.desk.decisions.signing_off import SignOffAsked, sign_off

    said = SignOffAsked(asked.why, signing.drawn, by.confirmed, signing.turning)
    entry, paper = sign_off(place, asked.shaft, said, by.person, key)
    _drop(place, SIGN, asked.shaft)
    return SignedLog(entry, paper)


def release_concrete(place: Workplace, asked: Asked, by: By, key: UnlockedKey) -> Entry:
    """Release concrete.  Raises as `fieldapp.desk.decisions.engineer.release`."""
    from fieldapp.desk.decisions.engineer import ReleaseAsked, release

    assert asked.until is not None
    said = ReleaseAsked(asked.until, asked.conditions, asked.why, by.confirmed)
    entry = release(place, asked.shaft, said, by.person, key)
    _drop(place, RELEASE, asked.shaft)
    return entry


def hold_concrete(place: Workplace, asked: Asked, by: By, key: UnlockedKey) -> Entry:
    """Hold concrete, with the reason.  Raises as `fieldapp.desk.decisions.engineer.hold`."""
    from fieldapp.desk.decisions.engineer import hold

    entry = hold(place, asked.shaft, asked.why, by.person, key)
    _drop(place, RELEASE, asked.shaft)
    return entry


def withdraw_release(place: Workplace, asked: Asked, by: By, key: UnlockedKey) -> Entry:
    """Take the release back, with the reason.  Raises as `fieldapp.desk.decisions.engineer.withdraw`."""
    from fieldapp.desk.decisions.engineer import withdraw

    entry = withdraw(place, asked.shaft, asked.why, by.person, key)
    _drop(place, RELEASE, asked.shaft)
    return entry


def dispose_base(place: Workplace, asked: Asked, by: By, key: UnlockedKey) -> Entry:
    """Decide the credit of a base.  Raises as `fieldapp.desk.decisions.designer.dispose`."""
    from fieldapp.desk.decisions.designer import DispositionAsked, dispose
    from fieldapp.record.reading import Reading
    from fieldapp.record.words import Decision
    from fieldapp.units import with_point

    decision = Decision(asked.what)
    reduced = decision is Decision.REDUCED_CREDIT
    credit = Reading(with_point(asked.credit), "ratio") if reduced and asked.credit else None
    moved = Reading(with_point(asked.displacement), asked.unit) if reduced and asked.displacement else None
    said = DispositionAsked(decision, asked.why, credit, moved, by.confirmed)
    entry = dispose(place, asked.shaft, said, by.person, key)
    _drop(place, CREDIT, asked.shaft)
    return entry


def _other_role(place: Workplace, kind: str, person: str) -> bool:
    """Whether a person on the roster has no role that may decide this; nobody in particular may read."""
    from fieldapp.record.decisions import Disposition, LogSigned, Release
    from fieldapp.record.roles import may_make

    entries = {SIGN: LogSigned.KIND, RELEASE: Release.KIND, CREDIT: Disposition.KIND}
    known = place.setup().person(person)
    return known is not None and not may_make(entries[kind], known.roles)


def _typed(place: Workplace, kind: str, shaft: str) -> Texts:
    from fieldapp.desk.inspector import kept_form

    kept = kept_form(place, draft_key(kind, shaft)) or {}
    return texts_of(kept.get("fields"))


def _drop(place: Workplace, kind: str, shaft: str) -> None:
    from fieldapp.desk.inspector import drop_form

    drop_form(place, draft_key(kind, shaft))
