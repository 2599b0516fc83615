"""A bundle taken over: judged whole first, then its files and all of its entries, or nothing at all.

Files are staged hidden beside their place and named only when every entry has been held against the
journal; the entries follow in one transaction.  What is here already is left as it is, so that a bundle may
come any number of times, and bundles in any order.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from fieldapp.desk.clock import Clock
from fieldapp.desk.device import kept_name, take_new_name
from fieldapp.desk.projects.growing import growing_project
from fieldapp.desk.travel.changes import ShaftChange, Stands, changes, stands_of, touched_by
from fieldapp.desk.travel.fitting import Wanted
from fieldapp.desk.travel.inside import check_whole
from fieldapp.desk.travel.sender import BundleSender, cautions_about, check_signatures, sender_of
from fieldapp.desk.travel.staging import Staging, staging
from fieldapp.desk.trust.receiving import receive
from fieldapp.desk.turning_point import TurningPoint
from fieldapp.desk.workplace import Workplace
from fieldapp.exchange.bundle.reading import Bundle, read_bundle
from fieldapp.exchange.bundle.refused import BundleRefused
from fieldapp.record.said import said
from fieldapp.store.arriving import Arrival
from fieldapp.store.pictures import pictures_in
from fieldapp.store.problems import AlreadyThere, OwnChainElsewhere, in_plain_words


@dataclass(frozen=True, slots=True)
class Arrived:
    """What came with a bundle.

    Attributes
    ----------
    new, known
        How many of its entries are new, and how many were here already.
    files
        Pictures and papers that are new.
    sender
        Who sent it; certificates and chains were held against each other.
    first_seen
        Whether nothing of that device was here before.
    changed
        Shafts with new entries or another standing; none for a project that is new here.
    missing
        How many pictures that its entries name are not here yet.
    cautions
        What to know of the sender and of this device, in sentences.
    """

    new: int
    known: int
    files: int
    sender: BundleSender
    first_seen: bool
    changed: tuple[ShaftChange, ...]
    missing: int
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Meant:
    """Which bundle is meant, where somebody looked into it before, and what may come with it.

    ``digest`` is that of `fieldapp.desk.travel.looking.BundleSeen`; a file that changed since is refused.
    ``own_came_back``: entries of this device that are not here any more may come, and it takes a new name.
    """

    digest: str = ""
    own_came_back: bool = False


@dataclass(frozen=True, slots=True)
class NewFolder:
    """Where a bundle becomes a project: not there yet, or empty; by whose clock, under which device name."""

    folder: Path
    clock: Clock | None = None
    device: str = ""


def take_bundle(
    place: Workplace, path: Path, turning: TurningPoint | None = None, meant: Meant | None = None
) -> Arrived:
    """Take over a bundle.

    Parameters
    ----------
    place
        Open for work; an empty project becomes that of the bundle.
    path
        The bundle.
    turning
        Stops it until the first thing is written.
    meant
        What is known of it before.

    Raises
    ------
    BundleRefused with the file and the rule; EntryRefused and what else `receive` raises; Stopped;
    StoreProblem.  Then nothing was written.
    """
    turning, meant = turning or TurningPoint(), meant or Meant()
    place.writer()
    with in_plain_words(path), path.open("rb") as file:
        bundle = read_bundle(path, file)
        _check_it_is_meant(bundle, place.project_id, meant.digest)
        check_signatures(bundle)
        with staging(place.folder) as files:
            taking = _Taking(place, bundle, files, turning)
            arrival = receive(place, _Going(bundle, path, turning), taking, own_came_back=meant.own_came_back)
            return taking.arrived(arrival)


def begin_from_bundle(
    new: NewFolder, path: Path, turning: TurningPoint | None = None, meant: Meant | None = None
) -> Arrived:
    """Make a new project folder of a bundle; this device begins a chain of its own there.

    A device that finds its own chain in the bundle takes a new name: it has lost what it recorded, and may
    not go on with a chain that others hold.

    Raises AlreadyThere for a folder with something in it, and as `take_bundle`; then no folder is left.
    """
    folder = new.folder
    with in_plain_words(folder.parent):
        folder.parent.mkdir(parents=True, exist_ok=True)
        if folder.is_dir() and not any(folder.iterdir()):
            folder.rmdir()
    if folder.exists():
        raise AlreadyThere(folder=folder)
    with growing_project(folder, new.clock, new.device) as place:
        return take_bundle(place, path, turning, meant)


def own_came_back(problem: Exception) -> bool:
    """Whether a bundle was refused for entries of this very device that are not here any more."""
    return isinstance(problem, OwnChainElsewhere)


@dataclass(frozen=True)
class _Going(Iterable[bytes]):
    """The entries of a bundle; each time that they are gone through they are read again."""

    bundle: Bundle
    path: Path
    turning: TurningPoint

    def __iter__(self) -> Iterator[bytes]:
        with in_plain_words(self.path):  # a stick that was pulled out says nothing of the project's disk
            for each in self.bundle.entries():
                self.turning.look()
                yield each


@dataclass
class _Taking:
    """One bundle on its way into the journal."""

    place: Workplace
    bundle: Bundle
    files: Staging
    turning: TurningPoint
    sender: BundleSender | None = None
    before: dict[str, Stands] = field(default_factory=dict)
    known_devices: set[str] = field(default_factory=set)
    was_new: bool = False

    def __post_init__(self) -> None:
        self.known_devices = set(self.place.heads())
        self.was_new = not self.known_devices

    def before_commit(self, arrival: Arrival) -> None:
        """Hold the bundle against the journal as it will be, then name its files.  Raises BundleRefused."""
        journal = self.place.writer()
        check_whole(self.bundle, arrival, journal)
        self.sender = sender_of(self.bundle, journal)
        self.files.stage(self.bundle, Wanted.by(journal), self.turning)
        if not self.was_new:  # the record in hand is still the one without the new entries
            touched = touched_by(self.place, journal.added(arrival))
            self.before = stands_of(self.place, touched, self.place.now())
        self.turning.go_through()
        self.files.name()

    def committed(self) -> None:
        """The entries are durable: whatever happens from now on, their files stay."""
        self.files.keep()

    def arrived(self, arrival: Arrival) -> Arrived:
        """What was taken over."""
        assert self.sender is not None
        place, device = self.place, self.sender.device
        added = place.writer().added(arrival)
        changed: tuple[ShaftChange, ...] = ()
        if not self.was_new:
            changed = changes(added, self.before, stands_of(place, touched_by(place, added), place.now()))
        cautions = cautions_about(self.sender, place.record())
        return Arrived(
            arrival.new,
            arrival.known,
            self.files.came,
            self.sender,
            device not in self.known_devices,
            changed,
            _missing(place, arrival),
            (*cautions, *_own_chain(place, arrival)),
        )


def _check_it_is_meant(bundle: Bundle, project: str, shown: str) -> None:
    if shown and bundle.digest != shown:
        raise BundleRefused(bundle.name, said("It is not the bundle any more that was shown."))
    if project not in {"", bundle.manifest.project}:
        raise BundleRefused(
            bundle.name,
            said(
                "It is of project {found}, and this is project {known}.",
                found=bundle.manifest.project,
                known=project,
            ),
        )


def _missing(place: Workplace, arrival: Arrival) -> int:
    wanted = Wanted.by(place.writer(), arrival.has)
    return len((wanted.pictures | wanted.attached) - pictures_in(place.folder).keys())


def _own_chain(place: Workplace, arrival: Arrival) -> tuple[str, ...]:
    """Take a new name for this device when its own chain came from elsewhere, and say so."""
    if place.device not in arrival.devices or place.device != kept_name():
        return ()
    before, place.device = place.device, take_new_name()
    return (
        said(
            "Entries of this device, {before}, came back from elsewhere: they were not here any more. "
            "From now on this device records as {now}.",
            before=before,
            now=place.device,
        ),
    )
