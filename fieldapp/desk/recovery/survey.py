"""What a project folder still proves, whatever happened to it: entries, pictures and papers, each by name.

It reads and never writes.  An entry proves itself by its hash and its place in a chain, a picture by the
SHA-256 that it is called, a paper by its SHA-256 in the journal or by its own signatures.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from fieldapp.exchange.bounded import read_at_most
from fieldapp.record.attesting import PaperSigned
from fieldapp.record.entry import Entry
from fieldapp.record.fold import in_order
from fieldapp.record.proved import ProvedChain
from fieldapp.store.damaged import Remains, Told, remains_of
from fieldapp.store.papers import REPORTS, is_paper_name
from fieldapp.store.pictures import PICTURES, pictures_named_in
from fieldapp.store.problems import in_plain_words

LARGEST: Final = 256 * 2**20
_NOT_READ: Final = "larger than any file of a project"
_UNSIGNED: Final = "not signed"
_HOLDS: Final = "its signatures hold"


@dataclass(frozen=True, slots=True)
class Kept:
    """A file that proves itself: where it stands, and what it is called when it is brought elsewhere."""

    path: Path
    name: str


@dataclass(frozen=True, slots=True)
class Spoilt:
    """A picture or paper that is missing or does not prove itself: its name, what is wrong, who names it."""

    name: str
    what: str
    named_by: tuple[Entry, ...] = ()


@dataclass(frozen=True, slots=True)
class Survey:
    """What a folder proves and what it does not.

    ``told`` are names for entries that rows beside them gave; they are no evidence.
    """

    chains: tuple[ProvedChain, ...]
    told: Mapping[tuple[str, int], Told]
    pictures: tuple[Kept, ...] = ()
    papers: tuple[Kept, ...] = ()
    spoilt_pictures: tuple[Spoilt, ...] = ()
    spoilt_papers: tuple[Spoilt, ...] = ()
    unsigned: tuple[str, ...] = ()

    @property
    def entries(self) -> tuple[Entry, ...]:
        """Proved entries of chains without a gap before them, in the order of folding."""
        return tuple(in_order(entry for chain in self.chains for entry in chain.entries))

    @property
    def after_gaps(self) -> tuple[Entry, ...]:
        """Proved entries that follow a gap, in the order of folding."""
        return tuple(in_order(entry for chain in self.chains for entry in chain.after_gap))

    @property
    def entries_missing(self) -> bool:
        """Whether entries are lost or stand after a gap, or nothing tells that none are."""
        return not all(chain.whole for chain in self.chains) or not self.chains


def survey(folder: Path, more: Remains | None = None, beside: Iterable[Path] = ()) -> Survey:
    """Look at a project folder; ``more`` are remains from elsewhere, ``beside`` folders with more files.

    Raises NotAProject when there is no journal.db at all, StoreProblem for what cannot be read.
    """
    remains = remains_of(folder)
    if more is not None:
        remains.take(more)
    chains = remains.chains()
    known = [entry for chain in chains for entry in (*chain.entries, *chain.after_gap)]
    folders = (folder, *beside)
    pictures, spoilt_pictures = _pictures(folders, known)
    papers, spoilt_papers, unsigned = _papers(folders, known)
    return Survey(chains, remains.told, pictures, papers, spoilt_pictures, spoilt_papers, unsigned)


def _files(folders: Iterable[Path], where: str, pattern: str) -> Iterator[tuple[Path, str]]:
    """Files in these folders with the SHA-256 of each; empty for one that is too large to be read."""
    for folder in folders:
        with in_plain_words(folder):
            for path in sorted((folder / where).glob(pattern)):
                if path.is_file():
                    content = read_at_most(path, LARGEST)
                    yield path, "" if content is None else hashlib.sha256(content).hexdigest()


def _pictures(folders: Iterable[Path], known: Iterable[Entry]) -> tuple[tuple[Kept, ...], tuple[Spoilt, ...]]:
    named: dict[str, list[Entry]] = {}
    for each in known:
        for digest in pictures_named_in(each.values):
            named.setdefault(digest, []).append(each)
    good: dict[str, Kept] = {}
    wrong: dict[str, str] = {}
    for path, digest in _files(folders, PICTURES, "[!.]*"):
        called = path.name.partition(".")[0]
        if digest and digest in {called, *named}:
            good.setdefault(digest, Kept(path, f"{digest}{path.suffix}"))
        if digest != called:
            wrong[called] = "changed" if digest else _NOT_READ
    lacking = [each for each in named if each not in good]
    spoilt = [Spoilt(each, wrong.pop(each, "missing"), tuple(named[each])) for each in sorted(lacking)]
    spoilt += [Spoilt(name, what) for name, what in sorted(wrong.items()) if name not in good]
    return tuple(good[each] for each in sorted(good)), tuple(spoilt)


def _papers(
    folders: Iterable[Path], known: Iterable[Entry]
) -> tuple[tuple[Kept, ...], tuple[Spoilt, ...], tuple[str, ...]]:
    named: dict[str, list[Entry]] = {}
    last: dict[tuple[str, str], PaperSigned] = {}
    for each in known:
        if isinstance(each.values, PaperSigned) and is_paper_name(each.values.file_name):
            named.setdefault(each.values.file_digest, []).append(each)
            last[each.values.file_name, each.device] = each.values
    good: dict[str, Kept] = {}
    others: dict[str, str] = {}
    for path, digest in _files(folders, REPORTS, "*.pdf"):
        signed_for = named.get(digest)
        if signed_for is not None and isinstance(signed_for[0].values, PaperSigned):
            name = path.name if is_paper_name(path.name) else signed_for[0].values.file_name
            good.setdefault(digest, Kept(path, name))
            continue
        what = _by_itself(path) if digest else _NOT_READ
        if what == _HOLDS and is_paper_name(path.name):
            good.setdefault(digest, Kept(path, path.name))
        else:
            others[path.name] = what
    wanted = {each.file_digest: each.file_name for each in last.values()}
    spoilt = [
        Spoilt(name, "changed" if others.pop(name, "") else "missing", tuple(named[digest]))
        for digest, name in sorted(wanted.items(), key=lambda each: each[1])
        if digest not in good
    ]
    spoilt += [Spoilt(name, what) for name, what in sorted(others.items()) if what != _UNSIGNED]
    unsigned = (name for name, what in sorted(others.items()) if what == _UNSIGNED)
    return tuple(good.values()), tuple(spoilt), tuple(unsigned)


def _by_itself(path: Path) -> str:
    """What a paper shows that no entry names: that its signatures hold, or what is wrong with it."""
    from fieldapp.desk.papers.verifying import verify_file  # noqa: PLC0415 - heavy, and seldom needed
    from fieldapp.identity.verification import Answer, FactName  # noqa: PLC0415

    content = read_at_most(path, LARGEST) or b""
    if b"/ByteRange" not in content:
        return _UNSIGNED
    found = verify_file(content).signed
    asked = {FactName.READABLE, FactName.SIGNED, FactName.INTACT, FactName.CANONICAL}
    asked |= {FactName.LATER_CHANGES, FactName.WHOLE_FILE}
    against = [each for each in found.all_facts if each.name in asked and each.answer is Answer.NO]
    if not found.signatures or against:
        return against[0].says.rstrip(".").lower() if against else "its signatures cannot be read"
    return _HOLDS
