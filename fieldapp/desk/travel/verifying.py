"""Verify a bundle without taking it over: its bytes and sender, chains, and files; nothing is written.

A roster inside a bundle is no trust: whoever makes a false bundle makes its roster too.  With a project the
sender is held against what that project knows already, and its journal tells what would be new.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, ExitStack, nullcontext
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path
from typing import Final

from fieldapp.desk.papers.anew import NotWorkedOut, guarded
from fieldapp.desk.pictures.reading import SUFFIXES, check_kept_picture
from fieldapp.desk.pictures.refused import PictureRefused
from fieldapp.desk.travel.bundle_fact import (
    BundleFact,
    BundleFactName,
    BundleInside,
    BundleVerdict,
    PaperInside,
)
from fieldapp.desk.travel.fitting import Wanted
from fieldapp.desk.travel.held_against import fits, vouched
from fieldapp.desk.travel.inside import check_whole
from fieldapp.desk.travel.papers_inside import paper_inside, together
from fieldapp.desk.travel.sender import check_device_key, check_device_signature, check_person_signature
from fieldapp.desk.trust.receiving import wrongly_made
from fieldapp.desk.trust.signatures import how_far, signatures_in
from fieldapp.desk.workplace import Workplace
from fieldapp.exchange.bundle.manifest import PAPER, PICTURE, Member
from fieldapp.exchange.bundle.reading import Bundle, read_bundle
from fieldapp.exchange.bundle.refused import BundleRefused
from fieldapp.identity.verification import Answer
from fieldapp.record.codec import UnknownKind
from fieldapp.record.entry import Entry
from fieldapp.record.said import said, said_of
from fieldapp.record.said_lists import sentences
from fieldapp.store.arriving import Arrival, NotAnEntry
from fieldapp.store.kept import KeptJournal
from fieldapp.store.problems import (
    AnotherProject,
    BrokenLink,
    FarAhead,
    Forked,
    RepeatedId,
    StoreProblem,
    in_plain_words,
)
from fieldapp.store.scratch import scratch_journal

NOT_ONE_JOURNAL: Final = (AnotherProject, BrokenLink, FarAhead, Forked, RepeatedId)
BEGINS: Final = b"PK\x03\x04"
_NAME = BundleFactName


def is_bundle(path: Path) -> bool:
    """Whether a file begins as a bundle does, whatever its name.  Raises OSError."""
    with path.open("rb") as file:
        return file.read(len(BEGINS)) == BEGINS


def verify_bundle(path: Path, place: Workplace | None = None, at: datetime | None = None) -> BundleVerdict:
    """Everything that can be found of a bundle, alone or with a project.

    Parameters
    ----------
    path
        The bundle.
    place
        The project that vouches for the sender; without it the verdict is at most unknown.
    at
        The moment of verification, with its offset; what papers inside are held against.

    Raises
    ------
    StoreProblem
        The file cannot be read from this disk.  Nothing in a bundle makes this raise anything else.
    """
    with in_plain_words(path), path.open("rb") as file:
        try:
            bundle = read_bundle(path, file)
        except BundleRefused as problem:
            return BundleVerdict(path.name, (BundleFact(_NAME.WHOLE, Answer.NO, problem.rule),))
        return _Look(bundle, place, at).verdict()


@dataclass
class _Look:
    """One bundle, looked through member by member."""

    bundle: Bundle
    place: Workplace | None
    at: datetime | None
    papers: list[PaperInside] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)

    def verdict(self) -> BundleVerdict:
        """Ask everything; what rests on entries is not asked where these cannot be read."""
        inside, sender = self._inside(), (self._device(), self._person())
        with ExitStack() as open_until:
            try:
                entries = open_until.enter_context(
                    scratch_journal(self.bundle.entries(), Path(self.bundle.name))
                )
            except BundleRefused as problem:
                return self._unread(Answer.NO, problem.rule, sender)
            except NotAnEntry as problem:
                answer = Answer.UNKNOWN if isinstance(problem.why, UnknownKind) else Answer.NO
                return self._unread(answer, said_of(problem.why), sender)
            except NOT_ONE_JOURNAL as problem:
                facts = (*sender, BundleFact(_NAME.CHAINS, Answer.NO, _not_one(problem)))
                return BundleVerdict(self.bundle.name, facts, inside)
            return self._with_entries(inside, sender, *entries)

    def _unread(self, answer: Answer, rule: str, sender: tuple[BundleFact, ...]) -> BundleVerdict:
        whole = BundleFact(_NAME.WHOLE, answer, rule)
        return BundleVerdict(self.bundle.name, (whole, *sender), self._inside())

    def _with_entries(
        self, inside: BundleInside, sender: tuple[BundleFact, ...], journal: KeptJournal, arrival: Arrival
    ) -> BundleVerdict:
        facts = [*sender, self._chains(journal, arrival), *self._made(journal, arrival)]
        facts.append(vouched(self.bundle, journal, self.place))
        new = None
        if self.place is not None:
            fact, new = fits(self.bundle, journal, self.place)
            facts.append(fact)
        sound = all(each.answer is not Answer.NO for each in facts)
        wanted = Wanted.by(journal)
        whole = self._files_read(wanted, self._beside(journal) if sound else nullcontext())
        facts = [whole, *facts, self._files()]
        counted = self._counted(inside, journal, wanted, new)
        return BundleVerdict(self.bundle.name, tuple(facts), counted, tuple(self.papers))

    def _inside(self) -> BundleInside:
        stated = self.bundle.manifest
        return BundleInside(stated.project, stated.device, stated.made_by, stated.made_at, stated.shafts)

    def _device(self) -> BundleFact:
        says = said("The signature of device {device} holds.", device=self.bundle.manifest.device)
        return _asked(_NAME.DEVICE, lambda: check_device_signature(self.bundle), says)

    def _person(self) -> BundleFact:
        person = self.bundle.manifest.made_by
        says = (
            said("The signature of {person} holds.", person=person)
            if person
            else said("No person signed it, and it says so.")
        )
        return _asked(_NAME.PERSON, lambda: check_person_signature(self.bundle), says)

    def _beside(self, journal: KeptJournal) -> AbstractContextManager[Workplace | None]:
        """The project with these entries, where papers have to be held against it."""
        papers = any(PAPER.fullmatch(each.name) for each in self.bundle.files)
        return together(self.place, journal) if self.place is not None and papers else nullcontext()

    def _files_read(self, wanted: Wanted, beside: AbstractContextManager[Workplace | None]) -> BundleFact:
        """Read every file to its end; each is looked at while it is in hand, and not kept."""

        def read_all() -> None:
            with beside as held:
                for member in self.bundle.files:
                    self._look_at(member, b"".join(self.bundle.content(member)), wanted, held)

        says = said("The file is a whole bundle, and every file in it is that of its hash.")
        return _asked(_NAME.WHOLE, read_all, says)

    def _look_at(self, member: Member, content: bytes, wanted: Wanted, held: Workplace | None) -> None:
        paper, picture = PAPER.fullmatch(member.name), PICTURE.fullmatch(member.name)
        if paper is not None:
            self.papers.append(paper_inside(member, content, held, self.at))
            named = paper["digest"] in wanted.papers
        else:
            named = picture is not None and wanted.has_picture(picture["digest"], picture["suffix"])
        if not named:
            self.wrong.append(said("It holds '{name}', which no entry names.", name=member.name[:80]))
        if picture is not None and picture["suffix"] in SUFFIXES:
            self._look_at_picture(member, content)

    def _look_at_picture(self, member: Member, content: bytes) -> None:
        try:
            check_kept_picture(content)
        except PictureRefused as problem:
            why = said_of(problem)
            self.wrong.append(
                said("The picture '{name}' is not one to keep: {why}", name=member.name[:80], why=why)
            )

    def _files(self) -> BundleFact:
        if self.wrong:
            return BundleFact(_NAME.FILES, Answer.NO, sentences(self.wrong[:4]))
        says = said("Every file in it is one that an entry names, and every picture is one.")
        return BundleFact(_NAME.FILES, Answer.YES, says)

    def _chains(self, journal: KeptJournal, arrival: Arrival) -> BundleFact:
        if arrival.breaks:
            return BundleFact(_NAME.CHAINS, Answer.NO, said("{first}.", first=str(arrival.breaks[0])))
        says = said(
            "The chains of {devices} device(s) are whole: {count} entries, every hash and link right.",
            devices=len(self.bundle.manifest.heads),
            count=arrival.new,
        )
        return _asked(_NAME.CHAINS, lambda: check_whole(self.bundle, arrival, journal), says)

    def _made(self, journal: KeptJournal, arrival: Arrival) -> Iterator[BundleFact]:
        """Who made the entries, and whose signatures they carry."""
        yield _asked(
            _NAME.DEVICE_KEY,
            lambda: check_device_key(self.bundle, journal),
            said("The key of device {device} stands in its own chain.", device=self.bundle.manifest.device),
        )
        yield _worked(_NAME.STRETCHES, lambda: _stretches(journal, arrival))
        yield _worked(_NAME.ROLES, lambda: _roles(journal))

    def _counted(
        self, inside: BundleInside, journal: KeptJournal, wanted: Wanted, new: int | None
    ) -> BundleInside:
        names = {each.name for each in self.bundle.files}
        here = {each.sha256 for each in self.bundle.files}
        papers = sum(1 for each in names if PAPER.fullmatch(each))
        named = wanted.pictures | wanted.attached | wanted.papers.keys()
        return replace(
            inside,
            shafts=tuple(journal.shaft_names()),
            entries=len(journal.entries()),
            pictures=len(names) - papers,
            papers=papers,
            missing=len(named - here),
            new_entries=new,
        )


def _stretches(journal: KeptJournal, arrival: Arrival) -> BundleFact:
    found = signatures_in(journal, arrival.breaks)
    if found.wrong:
        entry, why = found.wrong[0]
        return BundleFact(_NAME.STRETCHES, Answer.NO, _of_entry(entry, why))
    far = how_far(found, journal.heads()).values()
    signed = [
        said(
            "Device {device} is signed through entry {seq} of {last}.",
            device=each.device,
            seq=each.seq,
            last=each.last,
        )
        for each in far
        if each.seq
    ]
    if not signed:
        return BundleFact(_NAME.STRETCHES, Answer.UNKNOWN, said("No chain in it is signed."))
    bare = [each.device for each in far if not each.seq]
    if bare:
        signed.append(said("Not signed at all: {devices}.", devices=", ".join(bare)))
    return BundleFact(_NAME.STRETCHES, Answer.YES, sentences(signed))


def _roles(journal: KeptJournal) -> BundleFact:
    first = next(wrongly_made(journal), None)
    if first is not None:
        return BundleFact(_NAME.ROLES, Answer.NO, _of_entry(*first))
    says = said("Every entry is one that its author may make, by the roster inside.")
    return BundleFact(_NAME.ROLES, Answer.YES, says)


def _not_one(problem: Exception) -> str:
    """Why entries are not one journal, in a sentence; nobody was about to take them over."""
    facts = problem.facts if isinstance(problem, StoreProblem) else {}
    if isinstance(problem, AnotherProject):
        return said("Its entries are of two projects, {known} and {found}.", **facts)
    if isinstance(problem, RepeatedId):
        return said("It holds the entry {id} twice.", **facts)
    if isinstance(problem, Forked):
        return said("It holds entry {seq} of device {device} in two versions.", **facts)
    if isinstance(problem, FarAhead):
        return said(
            "Entry {seq} of device {device} counts further ahead than any project has entries.", **facts
        )
    return said("Entry {seq} of device {device} does not follow entry {last}.", **facts)


def _of_entry(entry: Entry, why: str) -> str:
    return said("Entry {seq} of {device}: {why}", seq=entry.seq, device=entry.device, why=why)


def _asked(name: BundleFactName, question: Callable[[], None], says: str) -> BundleFact:
    """Yes with its sentence, or no with the rule that was broken."""
    try:
        question()
    except BundleRefused as problem:
        return BundleFact(name, Answer.NO, problem.rule)
    return BundleFact(name, Answer.YES, says)


def _worked(name: BundleFactName, question: Callable[[], BundleFact]) -> BundleFact:
    """What comes of holding rules against entries that anybody may have made."""
    try:
        return guarded(question)
    except NotWorkedOut:
        says = said("The rules could not be held against its entries.")
        return BundleFact(name, Answer.NO, says)
