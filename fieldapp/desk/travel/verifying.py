"""Verify a bundle without taking it over: its bytes and sender, chains, and files; nothing is written.

A roster inside a bundle is no trust: whoever makes a false bundle makes its roster too.  With a project the
sender is held against what that project knows already, and its journal tells what would be new.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
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
from fieldapp.desk.travel.papers_inside import paper_inside, together
from fieldapp.desk.travel.sender import check_device_key, check_device_signature, check_person_signature
from fieldapp.desk.trust.receiving import wrongly_made
from fieldapp.desk.trust.signatures import how_far, signatures_in
from fieldapp.desk.workplace import Workplace
from fieldapp.exchange.bundle.manifest import PAPER, PICTURE, Member
from fieldapp.exchange.bundle.reading import Bundle, read_bundle
from fieldapp.exchange.bundle.refused import BundleRefused
from fieldapp.identity.verification import Answer
from fieldapp.record.chain import breaks_in, heads_of
from fieldapp.record.codec import UnknownKind
from fieldapp.record.entry import DamagedEntry, Entry, open_sealed
from fieldapp.record.fold import in_order
from fieldapp.record.reading import Impossible
from fieldapp.record.said import said, said_of
from fieldapp.record.said_lists import sentences
from fieldapp.store.problems import in_plain_words

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
    entries: tuple[Entry, ...] = ()
    papers: list[PaperInside] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)

    def verdict(self) -> BundleVerdict:
        """Ask everything; what rests on entries is not asked where these cannot be read."""
        inside, sender = self._inside(), (self._device(), self._person())
        try:
            self.entries = self._opened()
        except (BundleRefused, DamagedEntry, UnknownKind, Impossible) as problem:
            rule = problem.rule if isinstance(problem, BundleRefused) else said_of(problem)
            answer = Answer.UNKNOWN if isinstance(problem, UnknownKind) else Answer.NO
            return BundleVerdict(self.bundle.name, (BundleFact(_NAME.WHOLE, answer, rule), *sender), inside)
        facts = [*sender, self._chains(), *self._made(), vouched(self.bundle, self.entries, self.place)]
        new = None
        if self.place is not None:
            fact, new = fits(self.entries, self.place)
            facts.append(fact)
        sound = all(each.answer is not Answer.NO for each in facts)
        whole = self._files_read(self.place if sound else None)
        facts = [whole, *facts, self._files()]
        return BundleVerdict(self.bundle.name, tuple(facts), self._counted(inside, new), tuple(self.papers))

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

    def _opened(self) -> tuple[Entry, ...]:
        return tuple(in_order([open_sealed(each) for each in self.bundle.entries()]))

    def _files_read(self, place: Workplace | None) -> BundleFact:
        """Read every file to its end; each is looked at while it is in hand, and not kept."""
        held = together(place, self.entries) if place is not None else None
        wanted = Wanted.by(self.entries)

        def read_all() -> None:
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

    def _chains(self) -> BundleFact:
        stated, name = self.bundle.manifest, _NAME.CHAINS
        broken = breaks_in(self.entries)
        if broken:
            return BundleFact(name, Answer.NO, said("{first}.", first=str(broken[0])))
        if heads_of(self.entries) != {each.device: each for each in stated.heads}:
            return BundleFact(
                name, Answer.NO, said("It does not hold the entries of the chains that it states.")
            )
        if any(each.draft.project != stated.project for each in self.entries):
            return BundleFact(name, Answer.NO, said("Its entries are of another project than it says."))
        says = said(
            "The chains of {devices} device(s) are whole: {count} entries, every hash and link right.",
            devices=len(stated.heads),
            count=len(self.entries),
        )
        return BundleFact(name, Answer.YES, says)

    def _made(self) -> Iterator[BundleFact]:
        """Who made the entries, and whose signatures they carry."""
        yield _asked(
            _NAME.DEVICE_KEY,
            lambda: check_device_key(self.bundle, self.entries),
            said("The key of device {device} stands in its own chain.", device=self.bundle.manifest.device),
        )
        yield _worked(_NAME.STRETCHES, self._stretches)
        yield _worked(_NAME.ROLES, self._roles)

    def _stretches(self) -> BundleFact:
        found = signatures_in(self.entries)
        if found.wrong:
            entry, why = found.wrong[0]
            return BundleFact(_NAME.STRETCHES, Answer.NO, _of_entry(entry, why))
        far = how_far(found).values()
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

    def _roles(self) -> BundleFact:
        ids = {each.id for each in self.entries}
        first = next(wrongly_made(self.entries, ids), None)
        if first is not None:
            return BundleFact(_NAME.ROLES, Answer.NO, _of_entry(*first))
        says = said("Every entry is one that its author may make, by the roster inside.")
        return BundleFact(_NAME.ROLES, Answer.YES, says)

    def _counted(self, inside: BundleInside, new: int | None) -> BundleInside:
        wanted, names = Wanted.by(self.entries), {each.name for each in self.bundle.files}
        here = {each.sha256 for each in self.bundle.files}
        papers = sum(1 for each in names if PAPER.fullmatch(each))
        named = wanted.pictures | wanted.attached | wanted.papers.keys()
        return replace(
            inside,
            shafts=tuple(sorted({each.shaft for each in self.entries if each.shaft is not None})),
            entries=len(self.entries),
            pictures=len(names) - papers,
            papers=papers,
            missing=len(named - here),
            new_entries=new,
        )


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
