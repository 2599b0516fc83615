"""What the office asks: begin a project folder, list its shafts, back it up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from fieldapp.criteria.finding import BaseStanding, Finding, Outcome, ReleaseState
from fieldapp.criteria.findings import findings_and_release
from fieldapp.criteria.standing import base_standing, disposition_of
from fieldapp.desk.projector import as_of
from fieldapp.desk.workplace import Workplace
from fieldapp.record.reading import Impossible
from fieldapp.record.shaft import ProjectRecord, ShaftRecord
from fieldapp.record.words import Decision
from fieldapp.store.backup import BackedUp, back_up
from fieldapp.store.opening import create_store
from fieldapp.store.problems import AlreadyThere


@dataclass(frozen=True, slots=True)
class ShaftNow:
    """A shaft held against its acceptance set at a moment."""

    shaft: ShaftRecord
    at: datetime
    findings: tuple[Finding, ...]
    standing: BaseStanding
    release: ReleaseState
    credit: str

    def with_outcome(self, outcome: Outcome) -> tuple[Finding, ...]:
        """The findings of one outcome, in their order."""
        return tuple(each for each in self.findings if each.outcome is outcome)


def begin_project(folder: Path) -> bool:
    """Make an empty project folder unless one is there, and say whether it was made.

    Its name comes with its first entry, the project set-up.  Raises StoreProblem.
    """
    try:
        create_store(folder)
    except AlreadyThere:
        return False
    return True


def shaft_now(place: Workplace, shaft_id: str, at: datetime | None = None) -> ShaftNow:
    """A shaft at a moment, or as of its latest entry when none is given.  Raises UnknownShaft."""
    return shaft_at(place, shaft_id, at or moment_of(place, shaft_id))


def shaft_at(place: Workplace, shaft_id: str, moment: datetime) -> ShaftNow:
    """A shaft at just this moment, whatever the clock here says: a paper is of the moment it states.

    Raises UnknownShaft.
    """
    project, shaft = place.record(), place.shaft(shaft_id)
    found, release = findings_and_release(project, shaft, moment)
    standing = base_standing(project, shaft, found, release)
    return ShaftNow(shaft, moment, found, standing, release, _credit(project, shaft))


def moment_of(place: Workplace, shaft_id: str) -> datetime:
    """The moment of the latest entry of a shaft, in the project's time zone.  Raises UnknownShaft."""
    return as_of(place.record(), place.shaft(shaft_id)).astimezone(place.now().tzinfo)


def all_shafts(place: Workplace, at: datetime | None = None) -> tuple[ShaftNow, ...]:
    """Every shaft of the project, by name."""
    return tuple(shaft_now(place, each, at) for each in place.record().shafts)


def _credit(project: ProjectRecord, shaft: ShaftRecord) -> str:
    """The base credit that the designer has stated, with its displacement; empty before that."""
    stated = disposition_of(project, shaft)
    if stated is None:
        return ""
    said = stated.values
    if said.decision is Decision.REDUCED_CREDIT:
        return f"{said.credit} at {said.displacement}"
    return str(said.decision)


def save_backup(folder: Path, target: Path) -> BackedUp:
    """A whole copy of a project folder, made while it may be in use.

    Raises StoreProblem, or Impossible for a target inside the project, which would be lost with it.
    """
    if target.resolve().is_relative_to(folder.resolve()):
        raise Impossible(
            "target", str(target), "a folder outside the project, on another disk if there is one"
        )
    return back_up(folder, target)


def plain_logs_in(paths: Sequence[Path]) -> list[Path]:
    """The plain log files among these paths, folders being looked into.  Raises Impossible for no file."""
    found: list[Path] = []
    for each in paths:
        if each.exists() and not (each.is_dir() or each.is_file()):
            raise Impossible("file", str(each), "a plain log file or a folder of them")
        found.extend(sorted(each.glob("*.log")) if each.is_dir() else [each])
    if not found:
        raise Impossible("files", ", ".join(map(str, paths)), "at least one .log file in it")
    return found
