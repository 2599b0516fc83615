"""What the screens of bundles ask of the desk: what can go out, what a file would bring, and the doing of it.

A bundle is written beside the work, out of the journal as it was at one moment; taking one over needs the
journal itself, and waits for its turn.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from fieldapp.desk.clock import Clock
    from fieldapp.desk.travel.arriving import Arrived
    from fieldapp.desk.travel.looking import BundleSeen
    from fieldapp.desk.travel.sending import Asked, Ready, SentBundle
    from fieldapp.desk.trust.roster import UnlockedKey
    from fieldapp.desk.turning_point import TurningPoint
    from fieldapp.desk.workplace import Workplace

BUNDLES: Final = (".zip",)


@dataclass(frozen=True, slots=True)
class OutPage:
    """A project that can go out: its shafts by name, how many entries there are, the proposed file name."""

    shafts: tuple[str, ...]
    entries: int
    file_name: str


@dataclass(frozen=True, slots=True)
class InPage:
    """A bundle that was looked into, and whether it is of the project in hand or of another one."""

    seen: BundleSeen
    of_this: bool
    folder: Path
    """Where a new project of it is put."""


@dataclass(frozen=True, slots=True)
class InResult:
    """What a bundle brought, in sentences; then each shaft that changed.

    Of a shaft: its name, sentences, whether it lost its release, new entries.  ``folder`` is that of a new
    project, None for the one in hand.
    """

    says: tuple[str, ...]
    shafts: tuple[tuple[str, tuple[str, ...], bool, int], ...]
    folder: Path | None


def out_page(place: Workplace) -> OutPage:
    """What can go out.  Raises StoreProblem."""
    from fieldapp.desk.travel.sending import bundle_name

    shafts = tuple(place.record().shafts)
    return OutPage(shafts, len(place.entries()), bundle_name(place.project_id, place.now()))


def ready(place: Workplace, person: str, shafts: tuple[str, ...] | None, key: UnlockedKey | None) -> Ready:
    """Sign the chain and take the journal as it is.  Raises as `ready_to_send` of the desk."""
    from fieldapp.desk.travel.sending import Asked, ready_to_send

    asked: Asked = Asked(person, shafts, key)
    return ready_to_send(place, asked)


def write(made: Ready, path: Path, turning: TurningPoint) -> SentBundle:
    """Write it, beside the work.  Raises as `fieldapp.desk.travel.sending.write_ready`."""
    from fieldapp.desk.travel.sending import write_ready

    return write_ready(made, path, turning)


def look(path: Path, place: Workplace | None) -> InPage:
    """What a bundle would bring.  Raises BundleRefused, StoreProblem."""
    from fieldapp.desk.projects.folders import place_of_projects
    from fieldapp.desk.travel.looking import look_into
    from fieldapp.desk.workplace import file_name_of

    seen = look_into(path, place)
    here = place.project_id if place is not None else ""
    return InPage(
        seen,
        place is not None and here in {"", seen.project},
        place_of_projects() / file_name_of(seen.project),
    )


def take(place: Workplace, seen: BundleSeen, turning: TurningPoint, *, own_came_back: bool) -> InResult:
    """Take it over into the project in hand.  Raises as `fieldapp.desk.travel.arriving.take_bundle`."""
    from fieldapp.desk.travel.arriving import Meant, take_bundle

    return _result(take_bundle(place, seen.path, turning, Meant(seen.digest, own_came_back)), None)


def begin(folder: Path, seen: BundleSeen, turning: TurningPoint, by: tuple[Clock, str]) -> InResult:
    """Make a new project of it and remember that.  Raises as `begin_from_bundle`."""
    from fieldapp.desk.projects.known import remember_project
    from fieldapp.desk.travel.arriving import Meant, NewFolder, begin_from_bundle

    clock, device = by
    arrived = begin_from_bundle(NewFolder(folder, clock, device), seen.path, turning, Meant(seen.digest))
    remember_project(folder, clock)
    return _result(arrived, folder)


def own_came_back(problem: Exception) -> bool:
    """Whether a bundle holds entries of this very device that are not here any more."""
    from fieldapp.desk.travel.arriving import own_came_back

    return own_came_back(problem)


def _result(arrived: Arrived, folder: Path | None) -> InResult:
    from fieldapp.desk.travel.told import told_of

    shafts = tuple((each.shaft, each.says, each.lost_release, each.entries) for each in arrived.changed)
    return InResult(told_of(arrived), shafts, folder)
