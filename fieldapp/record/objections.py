"""What the record says against a draft before it is appended: the impossible.

An impossible draft is refused, with the field, what was read and what was expected.  What is merely
unlikely is asked about; see `fieldapp.record.questions`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Final

from fieldapp.record.attesting import PaperSigned, Revocation
from fieldapp.record.cleaning import CleanoutPass, SoundingRound
from fieldapp.record.concrete import ConcreteStarted
from fieldapp.record.decisions import Amend, LogSigned, Release, Strike
from fieldapp.record.entry import Draft
from fieldapp.record.fold import CHANGES, NEVER_CHANGED, Line
from fieldapp.record.hole import BaseSighting, ExcavationStage, StandingWater
from fieldapp.record.kinds import Values
from fieldapp.record.own_log import log_owners
from fieldapp.record.questions import Objection, questions
from fieldapp.record.revoked import is_since, revoked_devices
from fieldapp.record.roles import MAY_MAKE, may_make
from fieldapp.record.said import Said, said
from fieldapp.record.said_lists import either, first_few, with_an, word
from fieldapp.record.setup import ProjectSetup, ShaftScheduled
from fieldapp.record.shaft import ProjectRecord, ShaftRecord

CLOCK_SLACK: Final = timedelta(minutes=10)
_OF_THE_OPEN_HOLE: Final = (CleanoutPass, SoundingRound, BaseSighting, StandingWater, ConcreteStarted)


def objections(project: ProjectRecord, draft: Draft) -> tuple[Objection, ...]:
    """Everything the record says against a draft, impossible things first."""
    return (*_impossible(project, draft), *questions(project, draft))


def lasting_objections(project: ProjectRecord, draft: Draft) -> Iterator[Objection]:
    """What is impossible about an entry however much of the journal is known: who, when, what it changes.

    What the record may lack so far, such as drilling before a sounding, is not asked.
    """
    shaft = project.shaft(draft.shaft) if draft.shaft else None
    values = draft.values
    yield from _who(project, draft)
    yield from _when(draft)
    if isinstance(values, CHANGES):
        yield from _about_target(project, shaft, draft, values)
        values = values.says if isinstance(values, Amend) else values
    if isinstance(values, SoundingRound) and shaft is not None and shaft.scheduled is not None:
        yield from _points_outside(shaft.scheduled, values)


def _impossible(project: ProjectRecord, draft: Draft) -> Iterator[Objection]:
    yield from lasting_objections(project, draft)
    shaft = project.shaft(draft.shaft) if draft.shaft else None
    values = draft.values.says if isinstance(draft.values, Amend) else draft.values
    if draft.shaft is None or isinstance(values, ShaftScheduled):
        return
    if shaft is None or shaft.scheduled is None:
        known = first_few(project.shafts)
        says = said("Shaft {shaft} is not scheduled; known are: {known}.", shaft=draft.shaft, known=known)
        yield _no(
            "unknown-shaft",
            "shaft",
            says,
            draft.shaft,
            said("a shaft that is scheduled: {known}", known=known),
        )
        return
    yield from _before_it_was_open(shaft, draft, values)
    if isinstance(values, Release):
        yield from _own_log(project, shaft, draft)


def _who(project: ProjectRecord, draft: Draft) -> Iterator[Objection]:
    present = project.setup.values if project.setup else None
    new = draft.values if isinstance(draft.values, ProjectSetup) else None
    people = present or new
    if people is None:
        yield _no(
            "no-setup",
            "project",
            said("The project has no set-up yet; set it up first."),
            said("nothing"),
            said("a set-up"),
        )
        return
    person = people.person(draft.author)
    if person is None:
        names = ", ".join(each.name for each in people.people)
        says = said("{author} is not on the project's roster ({names}).", author=draft.author, names=names)
        yield _no(
            "unknown-person",
            "author",
            says,
            draft.author,
            said("somebody on the roster: {names}", names=names),
        )
    elif new is not None and present is not None and _only_own_certificate(present, new, draft.author):
        return
    elif isinstance(draft.values, PaperSigned) and draft.values.role not in person.roles:
        says = said(
            "{author} is not {role} on the roster, and cannot sign as that.",
            author=draft.author,
            role=draft.values.role,
        )
        yield _no("other-role", "role", says, draft.values.role, either(person.roles))
    elif isinstance(draft.values, Revocation) and draft.values.holder == draft.author:
        return
    elif not may_make(draft.values.KIND, person.roles):
        able = either(sorted(MAY_MAKE[draft.values.KIND]))
        yield _no(
            "other-role",
            "author",
            with_an(_not_for(draft, able)),
            draft.author,
            with_an(said("a {able}", able=able)),
        )


def _not_for(draft: Draft, able: Said) -> Said:
    if isinstance(draft.values, LogSigned):
        return said("{author} may not sign the log: that takes a {able}.", author=draft.author, able=able)
    return said(
        "{author} may not make a {kind}: that takes a {able}.",
        author=draft.author,
        kind=word(draft.values.KIND),
        able=able,
    )


def _only_own_certificate(present: ProjectSetup, new: ProjectSetup, author: str) -> bool:
    """Whether a new set-up differs from the present one by the author's own certificate alone."""
    mine = present.person(author)
    theirs = new.person(author)
    if mine is None or theirs is None:
        return False
    people = tuple(
        replace(each, certificate=theirs.certificate) if each.name == author else each
        for each in present.people
    )
    return replace(present, people=people) == new


def _when(draft: Draft) -> Iterator[Objection]:
    seen_at = draft.observed_at
    if isinstance(draft.values, Amend) and draft.values.observed_at is not None:
        seen_at = max(seen_at, draft.values.observed_at)
    if seen_at > draft.recorded_at + CLOCK_SLACK:
        says = said("It was observed later than it was recorded; check the day and the time.")
        recorded = said("a time not after {recorded_at:%Y-%m-%d %H:%M}", recorded_at=draft.recorded_at)
        yield _no("seen-later", "observed_at", says, f"{seen_at:%Y-%m-%d %H:%M}", recorded)
    if isinstance(draft.values, Release) and draft.values.until <= draft.observed_at:
        until = f"{draft.values.until:%Y-%m-%d %H:%M}"
        yield _no(
            "until-past",
            "until",
            said("The release would end before it begins."),
            until,
            said("a later time"),
        )


def _about_target(
    project: ProjectRecord, shaft: ShaftRecord | None, draft: Draft, values: Amend | Strike
) -> Iterator[Objection]:
    lines = shaft.lines if shaft else project.lines
    target = next((each for each in lines if each.id == values.target), None)
    if target is None:
        says = said("The entry to be changed is not in the record of this shaft.")
        yield _no("unknown-entry", "target", says, values.target, said("an entry of this shaft"))
        return
    kind = target.original.kind
    if isinstance(target.original.values, NEVER_CHANGED):
        says = said(
            "A {kind} is not amended or struck; make a new one (a withdrawal takes a release back).",
            kind=word(kind),
        )
        yield _no("decision", "target", with_an(says), word(kind), said("an observation"))
    setup = project.setup.values if project.setup else None
    person = setup.person(draft.author) if setup else None
    if person is not None and not may_make(kind, person.roles):
        able = either(sorted(MAY_MAKE[kind]))
        says = said(
            "{author} may not change a {kind}: that takes a {able}.",
            author=draft.author,
            kind=word(kind),
            able=able,
        )
        yield _no("other-role", "author", with_an(says), draft.author, with_an(said("a {able}", able=able)))
    if target.struck and not _strikes_again(project, values, target):
        says = said("The entry was struck and stays struck. Enter it anew.")
        yield _no("struck-entry", "target", says, said("a struck entry"), said("an entry that counts"))
    if isinstance(values, Amend) and kind != values.says.KIND:
        says = said("The entry is a {kind}, not a {other}.", kind=word(kind), other=word(values.says.KIND))
        yield _no(
            "other-kind", "says", with_an(says), values.says.KIND, with_an(said("a {kind}", kind=word(kind)))
        )
    unknown = set(draft.parents) - set(target.entries)
    if unknown or not draft.parents:
        says = said("A change names the version of the entry that it follows.")
        yield _no(
            "no-parent",
            "parents",
            says,
            ", ".join(sorted(unknown)) or said("nothing"),
            said("versions of the entry"),
        )


def _strikes_again(project: ProjectRecord, values: Amend | Strike, target: Line[Values]) -> bool:
    """Whether a strike is said again because the one before came from a device that was revoked."""
    first = revoked_devices(project) if isinstance(values, Strike) else {}
    return any(is_since(first, each) for each in target.changes)


def _before_it_was_open(shaft: ShaftRecord, draft: Draft, values: Values) -> Iterator[Objection]:
    seen_at = draft.observed_at
    if isinstance(draft.values, Amend):
        target = next((each for each in shaft.lines if each.id == draft.values.target), None)
        seen_at = draft.values.observed_at or (target.observed_at if target else seen_at)
    read = f"{seen_at:%Y-%m-%d %H:%M}"
    planned = [each.observed_at for each in shaft.of(ShaftScheduled)]
    if planned and seen_at < min(planned):
        says = said("It is before shaft {shaft} was scheduled.", shaft=shaft.id)
        yield _no(
            "before-plan",
            "observed_at",
            says,
            read,
            said("a time from {planned:%Y-%m-%d %H:%M}", planned=min(planned)),
        )
    if not isinstance(values, _OF_THE_OPEN_HOLE):
        return
    opened = opened_at(shaft)
    if opened is None:
        says = said(
            "Shaft {shaft} has no drilling in the record yet; record the excavation stage first.",
            shaft=shaft.id,
        )
        yield _no("not-open", "shaft", says, shaft.id, said("a shaft with an excavation stage in the record"))
    elif seen_at < opened:
        says = said(
            "It is before shaft {shaft} was opened at {opened:%Y-%m-%d %H:%M}. Check day and time.",
            shaft=shaft.id,
            opened=opened,
        )
        yield _no(
            "before-open",
            "observed_at",
            says,
            read,
            said("a time from {opened:%Y-%m-%d %H:%M}", opened=opened),
        )


def opened_at(shaft: ShaftRecord) -> datetime | None:
    """When drilling began, as far as the record shows."""
    begun = [each.values.started_at or each.observed_at for each in shaft.of(ExcavationStage)]
    return min(begun, default=None)


def _own_log(project: ProjectRecord, shaft: ShaftRecord, draft: Draft) -> Iterator[Objection]:
    setup = project.setup.values if project.setup else None
    person = setup.person(draft.author) if setup else None
    if setup is None or setup.own_log_release or person is None:
        return
    if may_make(Release.KIND, person.roles) and draft.author in log_owners(shaft):
        says = said(
            "The log of shaft {shaft} is {author}'s own, and nobody releases on that. Another "
            "resident engineer releases, or the project set-up allows it and every report "
            "says so.",
            shaft=shaft.id,
            author=draft.author,
        )
        yield _no("own-log", "author", says, draft.author, said("a resident engineer whose log it is not"))


def _points_outside(plan: ShaftScheduled, values: SoundingRound) -> Iterator[Objection]:
    for point in values.points:
        if point.r is not None and point.r.si > plan.diameter.si / 2:
            says = said(
                "Point {label} at r {r} lies outside the base of {diameter} diameter.",
                label=point.label,
                r=point.r,
                diameter=plan.diameter,
            )
            expected = said("a place on the base of {diameter} diameter", diameter=plan.diameter)
            yield _no(
                "outside-base", said("point {label}", label=point.label), says, f"r {point.r}", expected
            )


def _no(code: str, field: str, says: str, read: str, expected: str) -> Objection:
    return Objection(code, field, says, read, expected, impossible=True)
