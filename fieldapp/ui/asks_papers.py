"""What the screens of papers ask of the desk: the list, one in the making, a verdict, a further signature.

A paper is made beside the work: by a reader of its own, in a folder of its own, and it becomes a paper of the
project only when it is whole and nobody has stopped it.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from threading import Event
from typing import TYPE_CHECKING, Final, Protocol

from fieldapp.ui.asks import By

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fieldapp.desk.clock import Clock
    from fieldapp.desk.papers.paper import Paper
    from fieldapp.desk.papers.verifying import PaperVerdict
    from fieldapp.desk.trust.roster import UnlockedKey
    from fieldapp.desk.turning_point import TurningPoint
    from fieldapp.desk.workplace import Workplace

_PAPER: Final = re.compile(r"(?P<shaft>.+)-(?P<short>[a-z]+)-\d{8}-\d{4}-(?P<digest>[0-9a-f]{12})-")
_SUMMARY: Final = re.compile(r"project-summary-\d{8}-\d{4}-(?P<digest>[0-9a-f]{12})-(un)?signed(-\d+)?\.pdf")
LOG: Final = "shaft log"
SUMMARY: Final = "project summary"
Drawing = tuple[tuple[tuple[float, float], ...], ...]
"""Strokes of a signature, each as its points in a unit square."""


@dataclass(frozen=True, slots=True)
class Signing:
    """The strokes drawn by hand, and until when signing can be stopped."""

    drawn: Drawing
    turning: TurningPoint


class Told(Protocol):
    """A fact as the desk tells it."""

    @property
    def answer(self) -> str: ...

    @property
    def says(self) -> str: ...


@dataclass(frozen=True, slots=True)
class PaperRow:
    """A report on disk: shaft, kind, who signed it, whether it was signed further, which record it shows.

    ``most`` is the number of signatures that a paper of its kind can have, ``next_role`` whose turn it is.
    """

    path: Path
    shaft: str
    kind: str
    most: int
    signed: tuple[tuple[str, str], ...]
    further: bool
    as_now: bool | None
    next_role: str = ""
    yours: bool = False
    """Whether the next signature is that of the person who holds the tablet."""


@dataclass(frozen=True, slots=True)
class FactGroup:
    """Facts about one thing: pairs of answer and sentence; ``role`` and ``name`` for a signature."""

    about: str
    role: str
    name: str
    facts: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class PaperPage:
    """What was found of a paper, and whose signature comes next; ``first`` when it would be the first one.

    ``other_role``: it is not that of the person who holds the tablet.
    """

    path: Path
    shaft: str
    kind: str
    verdict: str
    says: str
    groups: tuple[FactGroup, ...]
    next_role: str
    first: bool = False
    other_role: bool = False


def papers_of(place: Workplace, shaft: str, person: str = "") -> tuple[PaperRow, ...]:
    """The reports of a shaft, or of the project when no shaft is named; the newest first.

    ``person`` holds the tablet.
    """
    from fieldapp.desk.workplace import file_name_of

    folder = place.folder / "reports"
    found = sorted(folder.glob("*.pdf"), key=lambda each: each.stat().st_mtime, reverse=True)
    names = {file_name_of(each): each for each in place.record().shafts}
    rows = (_row(place, each, names) for each in found)
    roles = _roles(place, person)
    return tuple(
        replace(each, yours=each.next_role in roles) for each in rows if not shaft or each.shaft == shaft
    )


def _roles(place: Workplace, person: str) -> tuple[str, ...]:
    known = place.setup().person(person)
    return tuple(map(str, known.roles)) if known is not None else ()


def _row(place: Workplace, path: Path, names: dict[str, str]) -> PaperRow:
    """What the journal says of the paper of this name; its page holds the file itself against that."""
    from fieldapp.desk.papers.forms import SHORT, most_signatures
    from fieldapp.desk.papers.policy import signatures_up_to, signed_further, signed_of
    from fieldapp.desk.papers.signing import role_after
    from fieldapp.record.attesting import PaperSigned
    from fieldapp.record.words import PaperKind

    summary, said = _SUMMARY.fullmatch(path.name), _PAPER.match(path.name)
    kind = SHORT.get(said["short"]) if said else None
    shaft, as_now = names.get(said["shaft"], "") if said and kind else "", None
    if summary:
        kind, shaft = PaperKind.PROJECT_SUMMARY, ""
        as_now = place.digest().startswith(summary["digest"])
    elif said and shaft:
        as_now = place.shaft(shaft).digest.startswith(said["digest"])
    lines = place.record().lines
    named = [each.values for each in lines if isinstance(each.values, PaperSigned)]
    digest = next((each.file_digest for each in named if each.file_name == path.name), "")
    before = signatures_up_to(place.record(), digest) if digest else ()
    signed = tuple((each.draft.author, str(signed_of(each).role)) for each in before)
    further = bool(digest) and bool(signed_further(place.record(), digest))
    most = most_signatures(kind) if kind else 0
    waits = not further and len(signed) < most
    role = role_after(before) if waits else None
    return PaperRow(path, shaft, str(kind or ""), most, signed, further, as_now, str(role or ""))


@dataclass(frozen=True, slots=True)
class Making:
    """A paper to be made: of which shaft, which kind, by whom, and whether somebody has stopped it.

    ``tell`` gets how far a summary is, on the worker.
    """

    shaft: str
    kind: str
    by: str
    stopped: Event
    tell: Callable[[int, int], None] = lambda _number, _count: None


def make_paper(folder: Path, clock: Clock, making: Making) -> Paper | None:
    """Make a paper of a shaft as of now, unsigned; None when it was stopped, and then no file is left.

    It reads the project for itself, so that recording goes on meanwhile.  Raises UnknownShaft, Impossible,
    StoreProblem.
    """
    from fieldapp.desk.papers.aside import made_aside, name_paper
    from fieldapp.desk.papers.forms import FORMS
    from fieldapp.desk.papers.writing import Wanted, write_paper
    from fieldapp.desk.workplace import read_project
    from fieldapp.record.words import PaperKind

    form, stopped = FORMS[PaperKind(making.kind)], making.stopped
    reports = folder / "reports"
    with read_project(folder) as reading, made_aside(reports) as scratch:
        place = replace(reading, clock=clock, folder=scratch)
        if stopped.is_set():
            return None
        paper = write_paper(place, Wanted(form, making.shaft, place.now(), making.by))
        if stopped.is_set():
            return None
        target, new = name_paper(paper.path, reports)
        return replace(paper, path=target, new=new)


def make_summary(folder: Path, clock: Clock, making: Making) -> Paper | None:
    """Make the summary of all shafts as of now; None when it was stopped, and then no file is left.

    Raises as `make_paper`.
    """
    from fieldapp.desk.papers.summary import SummaryStopped, Watch, write_summary
    from fieldapp.desk.workplace import read_project

    with read_project(folder) as reading:
        place = replace(reading, clock=clock)
        try:
            return write_summary(place, place.now(), making.by, Watch(making.tell, making.stopped.is_set))
        except SummaryStopped:
            return None


def paper_page(place: Workplace, path: Path, person: str = "") -> PaperPage:
    """Hold a file against the record of the project; ``person`` holds the tablet.

    Raises OSError, Impossible.
    """
    from fieldapp.desk.papers.certifying import first_role
    from fieldapp.desk.papers.signing import next_role
    from fieldapp.desk.papers.verifying import read_paper, verify_file

    found = verify_file(read_paper(path), place)
    first = first_role(found)
    role = first or next_role(place, path)
    return PaperPage(
        path=path,
        shaft=found.journal.shaft if found.journal is not None else "",
        kind=str(found.kind),
        verdict=str(found.verdict),
        says=found.says,
        groups=_groups(found),
        next_role=str(role or ""),
        first=first is not None,
        other_role=bool(role and person) and str(role) not in _roles(place, person),
    )


def _groups(found: PaperVerdict) -> tuple[FactGroup, ...]:
    from fieldapp.desk.papers.verify_text import role_of

    signatures = (
        FactGroup(
            "signature",
            role_of(each),
            each.signer or "",
            (*_facts(each.facts), *((("", each.time_says),) if each.time_says else ())),
        )
        for each in found.signed.signatures
    )
    paper = FactGroup("paper", "", "", _facts(found.signed.facts))
    return (paper, *signatures, FactGroup("record", "", "", _facts(found.record)))


def _facts(facts: Sequence[Told]) -> tuple[tuple[str, str], ...]:
    return tuple((str(each.answer), each.says) for each in facts)


def sign(place: Workplace, path: Path, signing: Signing, by: By, key: UnlockedKey) -> Paper:
    """Put the next signature on a paper, be it the first one.

    Raises as `certify` and `countersign` of the desk's papers.
    """
    from fieldapp.desk.papers.certifying import certify, first_role
    from fieldapp.desk.papers.paper import PaperRefused, Pen
    from fieldapp.desk.papers.signing import countersign, next_role
    from fieldapp.desk.papers.verifying import read_paper, verify_file
    from fieldapp.record.said import said

    if key.certificate.name != by.person:
        raise PaperRefused(
            said("The unlocked key is not that of {person}. Nothing was signed.", person=by.person)
        )
    role = next_role(place, path)
    if role is not None:
        return countersign(place, path, Pen(key, role, signing.drawn), by.confirmed, signing.turning)
    role = first_role(verify_file(read_paper(path), place))
    if role is None:
        raise PaperRefused(said("This paper takes no further signature. Nothing was signed."))
    return certify(place, path, Pen(key, role, signing.drawn), by.confirmed, signing.turning)
